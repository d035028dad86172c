"""Reference values for crates/identity and cargo xtask score.

identity_distance.csv: optimal string alignment distance by RapidFuzz (rapidfuzz.distance.OSA).
identity_bcubed.csv: B-cubed precision and recall (Bagga and Baldwin 1998) from scikit-learn's contingency matrix; scikit-learn has no
B-cubed of its own, so the last step is written here: sum over cells n_ij**2 / n_j (or n_i), divided by the number of items.
Versions used: rapidfuzz 3.14.6, scikit-learn 1.9.1, numpy 2.4.6, Python 3.11 or later. Run in this folder. All names are invented.
"""
import csv, random
import numpy, rapidfuzz, sklearn
from rapidfuzz.distance import OSA
from sklearn.metrics.cluster import contingency_matrix

R = random.Random(5)
LETTERS = "ABCP0123456789-"

def damaged(text):
    at, how = R.randrange(len(text)), R.randrange(4)
    if how == 0: return text[:at] + text[at + 1:]
    if how == 1: return text[:at] + R.choice(LETTERS) + text[at:]
    if how == 2: return text[:at] + R.choice(LETTERS) + text[at + 1:]
    return text[:at] + text[at + 1:at + 2] + text[at] + text[at + 2:]

with open("identity_distance.csv", "w", newline="") as f:
    out = csv.writer(f, lineterminator="\n"); out.writerow(["a", "b", "distance"])
    for _ in range(120):
        a = "".join(R.choice(LETTERS) for _ in range(R.randint(3, 12))); b = a
        for _ in range(R.randint(0, 4)): b = damaged(b) or "P"
        out.writerow([a, b, OSA.distance(a, b)])

with open("identity_bcubed.csv", "w", newline="") as f:
    out = csv.writer(f, lineterminator="\n"); out.writerow(["case", "true", "found", "precision", "recall"])
    for case in range(8):
        n, k = R.randint(5, 40), R.randint(1, 8)
        true = [R.randrange(k) for _ in range(n)]
        found = [t if R.random() < 1 - case / 10 else R.randrange(k + 3) for t in true]
        m = contingency_matrix(true, found).astype(float)
        p = float((m ** 2 / m.sum(axis=0, keepdims=True)).sum() / n)
        r = float((m ** 2 / m.sum(axis=1, keepdims=True)).sum() / n)
        for t, g in zip(true, found): out.writerow([case, f"t{t}", f"f{g}", repr(p), repr(r)])

print("rapidfuzz", rapidfuzz.__version__, "scikit-learn", sklearn.__version__, "numpy", numpy.__version__)
