// Saves steps; every page works without it.
"use strict";

// A cell that is chosen fills the pane beside the grid, without the whole page being laid anew.
document.addEventListener("click", async (event) => {
  const link = event.target.closest("a[data-pane]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
  event.preventDefault();
  const response = await fetch(link.href);
  if (!response.ok) { location.assign(link.href); return; }
  const page = new DOMParser().parseFromString(await response.text(), "text/html");
  const fresh = page.querySelector("#cell");
  const pane = document.querySelector("#cell");
  if (!fresh || !pane) { location.assign(link.href); return; }
  pane.replaceChildren(...fresh.childNodes);
  for (const chosen of document.querySelectorAll("a[data-pane][aria-current]")) chosen.removeAttribute("aria-current");
  link.setAttribute("aria-current", "true");
  history.replaceState(null, "", link.href);
});

// Arrow keys go from cell to cell.
document.addEventListener("keydown", (event) => {
  const link = event.target.closest("a[data-pane]");
  const step = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] }[event.key];
  if (!link || !step) return;
  let row = link.closest("tr");
  let index = link.closest("td").cellIndex;
  for (;;) {
    if (step[0] < 0) row = row.previousElementSibling;
    if (step[0] > 0) row = row.nextElementSibling;
    index += step[1];
    const cell = row && row.cells[index];
    if (!cell) return;
    const next = cell.querySelector("a[data-pane]");
    if (next) { event.preventDefault(); next.focus(); return; }
  }
});

// What is shown is sent as soon as it is chosen.
for (const form of document.querySelectorAll("form[data-sends-itself]")) {
  form.querySelector("button").hidden = true;
  form.addEventListener("change", () => form.requestSubmit());
}

// A statement can be ended while it is answered: leaving the request ends it.
for (const form of document.querySelectorAll("form[data-cancels]")) {
  const cancel = form.querySelector("[data-cancel]");
  form.addEventListener("submit", (event) => {
    if (event.submitter && event.submitter.hasAttribute("data-file")) return;
    cancel.hidden = false;
  });
  cancel.addEventListener("click", () => { window.stop(); cancel.hidden = true; });
}

// While work goes on the page looks again until it is done.
if (document.documentElement.hasAttribute("data-working")) {
  const look = async () => {
    const response = await fetch("/api/v1/work");
    const work = response.ok ? await response.json() : { state: "failed" };
    if (work.state !== "reading" && work.state !== "judging") { location.reload(); return; }
    const told = document.querySelector(".working");
    if (told && told.firstChild) told.firstChild.textContent = work.words + " ";
    setTimeout(look, 700);
  };
  setTimeout(look, 500);
}

// A place on the page that is folded is opened.
const unfold = () => {
  const target = location.hash.length > 1 && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  const folded = target && (target.closest("details") || target.querySelector("details"));
  if (folded) { folded.open = true; target.scrollIntoView(); }
};
window.addEventListener("hashchange", unfold);
unfold();
