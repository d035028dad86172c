//! Sentences, and what one tells of its readings.

use super::name::Name;
use super::piece::{Piece, Says, Stop};
use std::ops::Range;
use windrow_text::circuit::{CircuitMeaning, Named};
use windrow_text::said::{Said, is_turned_by_hand, names_surroundings, names_winding};
use windrow_text::volts::is_usual;

/// A sentence: its pieces without what ends it, and whether a colon does.
#[derive(Debug, Clone)]
pub(super) struct Sentence {
    pub range: Range<usize>,
    pub leads: bool,
    /// Number of the entry that it belongs to.
    pub entry: usize,
    /// Number of the text that it belongs to.
    pub text: usize,
    /// Whether it begins an entry with a time of day.
    pub is_clocked: bool,
    pub names: Vec<Name>,
}

/// A circumstance and the piece that told it.
pub(super) type At<T> = (T, usize);

/// What a sentence tells of how something was measured.
#[derive(Debug, Clone, Default)]
pub(super) struct Circumstances {
    pub volts: Option<At<f64>>,
    pub elapsed: Option<At<f64>>,
    pub circuit: Option<At<Vec<CircuitMeaning>>>,
    pub winding: Option<At<f64>>,
    pub some_celsius: Option<At<f64>>,
    pub ambient: Option<At<f64>>,
    /// Whether two different values of one kind were told.
    pub contradicts: bool,
}

impl Circumstances {
    /// Whether anything is told.
    pub(super) const fn is_some(&self) -> bool {
        self.volts.is_some()
            || self.elapsed.is_some()
            || self.circuit.is_some()
            || self.winding.is_some()
            || self.some_celsius.is_some()
    }

    /// What is told here, and what `others` tell of the rest.
    pub(super) fn or(self, others: &Self) -> Self {
        // A temperature of its own is the only one.
        let is_warm = self.winding.is_some() || self.some_celsius.is_some() || self.ambient.is_some();
        let others =
            if is_warm { &Self { winding: None, some_celsius: None, ambient: None, ..others.clone() } } else { others };
        Self {
            volts: self.volts.or(others.volts),
            elapsed: self.elapsed.or(others.elapsed),
            circuit: self.circuit.or_else(|| others.circuit.clone()),
            winding: self.winding.or(others.winding),
            some_celsius: self.some_celsius.or(others.some_celsius),
            ambient: self.ambient.or(others.ambient),
            contradicts: self.contradicts,
        }
    }
}

/// The clauses of a sentence: runs of pieces between stops. Ends of lines within it are none.
pub(super) fn clauses(pieces: &[Piece], range: &Range<usize>) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut from = range.start;
    for at in range.clone() {
        let ends = pieces.get(at).is_some_and(|piece| {
            matches!(
                piece.says,
                Says::Stop(Stop::Comma | Stop::Gap | Stop::Colon | Stop::Open | Stop::Close | Stop::Full)
            )
        });
        if ends {
            if from < at {
                out.push(from..at);
            }
            from = at + 1;
        }
    }
    if from < range.end {
        out.push(from..range.end);
    }
    out
}

/// Whether any piece of the range says so.
pub(super) fn says(pieces: &[Piece], range: &Range<usize>, said: Said) -> bool {
    pieces.get(range.clone()).is_some_and(|pieces| pieces.iter().any(|piece| piece.is(said)))
}

/// Whether a piece is understood: no word outside the lists.
pub(super) fn is_known(piece: &Piece) -> bool {
    match &piece.says {
        Says::Word(word, said) => !said.is_empty() || names_winding(word) || names_surroundings(word),
        Says::Doubtful => false,
        _ => true,
    }
}

/// What the clauses of a sentence tell that say nothing unknown, but for those in `names`; `is_sure` where the sentence says that it
/// speaks of a measurement.
pub(super) fn circumstances(pieces: &[Piece], sentence: &Sentence, is_sure: bool) -> Circumstances {
    let mut told = Circumstances::default();
    let in_name = |at: usize| sentence.names.iter().any(|name| name.pieces.contains(&at));
    let all = clauses(pieces, &sentence.range);
    for (number, clause) in all.iter().cloned().enumerate() {
        let before = number.checked_sub(1).and_then(|before| all.get(before)).cloned();
        let is_other = [Said::Negation, Said::Foreign].into_iter().any(|said| {
            says(pieces, &clause, said) && said == Said::Negation
                || said == Said::Foreign && speaks_only_of_other(pieces, &clause)
        });
        let is_understood = clause.clone().all(|at| in_name(at) || pieces.get(at).is_some_and(is_known));
        if is_other || !is_understood && !is_sure {
            continue;
        }
        let has_value =
            clause.clone().any(|at| pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Resistance(_))));
        let is_without = |at: &usize| pieces.get(*at).is_some_and(|piece| piece.is(Said::Without));
        for at in clause.clone().take_while(|at| !is_without(at)).filter(|at| !in_name(*at)) {
            let Some(piece) = pieces.get(at) else { continue };
            match &piece.says {
                Says::Volts(volts) if is_test_voltage(pieces, at, &clause, *volts) => {
                    put(&mut told.volts, *volts, at, &mut told.contradicts);
                }
                Says::Elapsed(seconds) if !has_value => put(&mut told.elapsed, *seconds, at, &mut told.contradicts),
                Says::Circuit(meanings) if !has_value => match &told.circuit {
                    // "Stator to earth, all phases".
                    Some((known, _)) if is_only_to_earth(known) && are_all(meanings) => {
                        told.circuit = Some((meanings.clone(), at));
                    }
                    Some((known, _)) if (is_only_to_earth(meanings) || are_all(meanings)) && are_all(known) => {}
                    Some((known, _)) if known != meanings => told.contradicts = true,
                    Some(_) => {}
                    None => told.circuit = Some((meanings.clone(), at)),
                },
                Says::Celsius(celsius) if (-30.0..=80.0).contains(celsius) => {
                    // "Temperatura de los devanados: 20 °C"
                    let is_value = clause.len() == 1
                        && at
                            .checked_sub(1)
                            .and_then(|before| pieces.get(before))
                            .is_some_and(|piece| piece.says == Says::Stop(Stop::Colon));
                    let label = before.clone().filter(|_| is_value).unwrap_or(at..at);
                    let any = |is: fn(&str) -> bool| {
                        clause
                            .clone()
                            .chain(label.clone())
                            .any(|at| pieces.get(at).and_then(Piece::word).is_some_and(is))
                    };
                    let slot = match (any(names_winding), any(names_surroundings)) {
                        (true, false) => &mut told.winding,
                        (false, true) => &mut told.ambient,
                        (false, false) if is_understood => &mut told.some_celsius,
                        _ => continue,
                    };
                    put(slot, *celsius, at, &mut told.contradicts);
                }
                _ => {}
            }
        }
    }
    told
}

fn put(slot: &mut Option<At<f64>>, value: f64, at: usize, contradicts: &mut bool) {
    match slot {
        Some((known, _)) if (*known - value).abs() > 1e-9 => *contradicts = true,
        Some(_) => {}
        None => *slot = Some((value, at)),
    }
}

/// "Cable alone": the clause names another thing and no machine.
pub(super) fn speaks_only_of_other(pieces: &[Piece], clause: &Range<usize>) -> bool {
    says(pieces, clause, Said::Foreign) && !says(pieces, clause, Said::Generic)
}

/// Whether the volts are those of a test: usual ones, behind "at" or "mit", before "dc" or "tester", or alone in their clause.
fn is_test_voltage(pieces: &[Piece], at: usize, clause: &Range<usize>, volts: f64) -> bool {
    let beside = |index: Option<usize>, said: Said| {
        index
            .filter(|index| clause.contains(index))
            .and_then(|index| pieces.get(index))
            .is_some_and(|piece| piece.is(said))
    };
    let is_led = beside(at.checked_sub(1), Said::Link)
        || beside(Some(at + 1), Said::Direct)
        || beside(at.checked_sub(1), Said::Direct);
    // "Fan 1 (5000 V)" tells the machine's, "a 500 V motor" too.
    let is_in_brackets = clause
        .start
        .checked_sub(1)
        .and_then(|open| pieces.get(open))
        .is_some_and(|piece| piece.says == Says::Stop(Stop::Open));
    let is_alone = clause.len() == 1 && !is_in_brackets;
    // "1000 V for a minute": nobody says how long a motor's own voltage lasts.
    let is_timed = clause.clone().any(|at| pieces.get(at).is_some_and(|piece| matches!(piece.says, Says::Elapsed(_))));
    // What is turned by hand has one voltage.
    let by_hand = clause.clone().any(|at| pieces.get(at).and_then(Piece::word).is_some_and(is_turned_by_hand));
    let is_a_machines = beside(Some(at + 1), Said::Generic) || beside(Some(at + 1), Said::Drive);
    is_usual(volts) && (is_led || is_alone || is_timed || by_hand) && !is_a_machines
}

/// The circuits that meanings leave; one where they agree.
pub(super) fn circuit_of(meanings: &[CircuitMeaning]) -> Option<windrow_model::Circuit> {
    let mut all = meanings.iter().map(|meaning| windrow_text::circuit::resolve(meaning.named, true));
    let first = all.next()??;
    all.all(|other| other == Some(first)).then_some(first)
}

/// Whether meanings say all phases together.
fn are_all(meanings: &[CircuitMeaning]) -> bool {
    meanings.iter().all(|meaning| meaning.named == Named::All)
}

/// Whether meanings say "to earth" and leave open which terminals.
pub(super) fn is_only_to_earth(meanings: &[CircuitMeaning]) -> bool {
    meanings.iter().all(|meaning| meaning.named == Named::ToEarth)
}
