//! The readings of one sentence: each value with its own terminals and time, or none where what belongs to which is not certain.

use super::piece::{Piece, Says, Stop};
use super::sentence::{At, Sentence, circuit_of, clauses, is_known, is_only_to_earth};
use std::ops::Range;
use windrow_model::{Circuit, Dimension};
use windrow_text::circuit::{CircuitMeaning, Named};
use windrow_text::measure::Part;
use windrow_text::said::Said;

/// A value as its clause tells it.
#[derive(Debug, Clone)]
pub(super) struct Value {
    /// Piece of the number.
    pub at: usize,
    pub part: Part,
    pub circuit: Option<At<Circuit>>,
    pub elapsed: Option<At<f64>>,
    /// Clause that it stands in.
    pub clause: Range<usize>,
}

/// The values of a sentence; empty where there are none that can be taken for certain.
pub(super) fn values(pieces: &[Piece], sentence: &Sentence) -> Vec<Value> {
    let clauses = clauses(pieces, &sentence.range);
    let Some(mut found) = labelled(pieces, sentence, &clauses) else { return Vec::new() };
    if found.is_empty() || !add_circuits(pieces, sentence, &mut found) || !add_times(pieces, &clauses, &mut found) {
        return Vec::new();
    }
    let key = |value: &Value| {
        (value.circuit.as_ref().map(|(circuit, _)| *circuit), value.elapsed.map(|(seconds, _)| seconds.to_bits()))
    };
    let mut keys: Vec<_> = found.iter().map(key).collect();
    let all = keys.len();
    keys.sort_unstable();
    keys.dedup();
    // Two values between the same terminals at the same time: what sets them apart is not understood.
    if keys.len() == all { found } else { Vec::new() }
}

/// Numbers and what they are labelled with, where a list of them shares the unit behind the last ("U 450 V 440 W 455 megohm").
fn labelled(pieces: &[Piece], sentence: &Sentence, clauses: &[Range<usize>]) -> Option<Vec<Value>> {
    let in_name = |at: usize| sentence.names.iter().any(|name| name.pieces.contains(&at));
    let clause_of = |at: usize| clauses.iter().find(|clause| clause.contains(&at)).cloned();
    let mut found: Vec<Value> = Vec::new();
    let mut series: Vec<(usize, Part)> = Vec::new();
    for at in sentence.range.clone().filter(|at| !in_name(*at)) {
        let Some(piece) = pieces.get(at) else { continue };
        match &piece.says {
            Says::Number(part) if label_before(pieces, at).is_some() => series.push((at, part.clone())),
            // A number without a label or a unit: nobody knows what it says.
            Says::Number(_) | Says::Doubtful => return None,
            Says::Resistance(part) => {
                if !series.is_empty() && label_before(pieces, at).is_none() {
                    return None;
                }
                for (of, mut number) in series.drain(..) {
                    number.units.clone_from(&part.units);
                    number.unit_text.clone_from(&part.unit_text);
                    found.push(Value { at: of, part: number, circuit: None, elapsed: None, clause: clause_of(of)? });
                }
                found.push(Value { at, part: part.clone(), circuit: None, elapsed: None, clause: clause_of(at)? });
            }
            Says::Other if !series.is_empty() => return None,
            _ => {}
        }
    }
    // One value that is not certain leaves the others of its sentence in doubt.
    let is_certain = found.iter().all(|value| is_of_machine(pieces, sentence, value));
    (series.is_empty() && is_certain).then_some(found)
}

/// The phase right before a number.
fn label_before(pieces: &[Piece], at: usize) -> Option<usize> {
    let before = at.checked_sub(1)?;
    let before =
        if matches!(pieces.get(before)?.says, Says::Stop(Stop::Colon)) { before.checked_sub(1)? } else { before };
    matches!(pieces.get(before)?.says, Says::Phase(_) | Says::Circuit(_)).then_some(before)
}

/// Whether a value is surely one of the machine's winding: it has a unit of such size, all words of the sentence are known, nothing in it is
/// denied or of another thing, and no word beside the value turns what it says.
fn is_of_machine(pieces: &[Piece], sentence: &Sentence, value: &Value) -> bool {
    let in_name = |at: usize| sentence.names.iter().any(|name| name.pieces.contains(&at));
    let is_told = sentence.range.clone().all(|at| in_name(at) || pieces.get(at).is_some_and(is_known));
    // "Ventilador de tiro inducido 2" is named by a word that is a rotor's elsewhere.
    let outside = || sentence.range.clone().filter(|at| !in_name(*at)).filter_map(|at| pieces.get(at));
    let denies =
        [Said::Negation, Said::Without, Said::Foreign].into_iter().any(|said| outside().any(|piece| piece.is(said)));
    let is = |at: Option<usize>, said: Said| at.and_then(|at| pieces.get(at)).is_some_and(|piece| piece.is(said));
    let before = value.at.checked_sub(1);
    // "from 50 MΩ", "a 5 MΩ tester", "replaced with a 5 MΩ motor".
    let is_turned = is(before, Said::Turn) || is(before, Said::Instrument);
    let behind = Some(value.at + 1);
    // "1 megohm per kilovolt" is a rule.
    let is_rate = is(behind, Said::Per)
        && !pieces
            .get(value.at + 2)
            .is_some_and(|piece| matches!(piece.says, Says::Circuit(_) | Says::Phase(_) | Says::Word(..)));
    let is_a_things = is_rate || is(behind, Said::Instrument) || is(behind, Said::Generic) || is(behind, Said::Drive);
    is_told
        && !denies
        && !is_turned
        && !is_a_things
        && has_size(&value.part)
        && !is_run_into_name(pieces, sentence, value)
}

/// Whether the unit is one of insulation: from kilohms up. "mOhm" is as often meant for megohms as it is not.
fn has_size(part: &Part) -> bool {
    let best = part.units.iter().find(|meaning| meaning.unit.dimension == Dimension::Resistance);
    best.is_some_and(|meaning| meaning.unit.to_stored(1.0) >= 999.0)
}

/// "Fan 2 400 MΩ": fan 2 with 400, or a fan with 2400.
fn is_run_into_name(pieces: &[Piece], sentence: &Sentence, value: &Value) -> bool {
    let follows = sentence.names.iter().any(|name| name.pieces.end == value.at);
    let is_grouped =
        value.part.numbers.iter().any(|number| number.thousands == Some(windrow_text::number::Mark::Blank));
    let before = value.at.checked_sub(1).and_then(|before| pieces.get(before));
    is_grouped && (follows || before.is_some_and(|piece| matches!(piece.says, Says::Word(..) | Says::Phase(_))))
}

/// Gives each value its terminals; false where it is open which are whose.
fn add_circuits(pieces: &[Piece], sentence: &Sentence, found: &mut [Value]) -> bool {
    let in_name = |at: usize| sentence.names.iter().any(|name| name.pieces.contains(&at));
    let mut told: Vec<(usize, Vec<CircuitMeaning>)> = Vec::new();
    for at in sentence.range.clone().filter(|at| !in_name(*at)) {
        match pieces.get(at).map(|piece| &piece.says) {
            Some(Says::Circuit(meanings)) if !is_only_to_earth(meanings) => told.push((at, meanings.clone())),
            Some(Says::Phase(meanings)) if is_label(pieces, at) => told.push((at, meanings.clone())),
            Some(Says::Phase(_)) => return false,
            _ => {}
        }
    }
    // "R" is of R, S, T or of R, Y, B: the others tell.
    let namings =
        |meanings: &Vec<CircuitMeaning>| meanings.iter().filter_map(|meaning| meaning.naming).collect::<Vec<_>>();
    let common: Vec<_> = told
        .first()
        .map(|(_, first)| namings(first))
        .unwrap_or_default()
        .into_iter()
        .filter(|naming| told.iter().all(|(_, other)| namings(other).contains(naming)))
        .collect();
    if let [only] = common.as_slice() {
        for (_, meanings) in &mut told {
            meanings.retain(|meaning| meaning.naming == Some(*only));
        }
    }
    // "Stator to earth, all phases": the same terminals told twice.
    if told.len() > found.len() {
        told.dedup_by(|again, first| circuit_of(&first.1).is_some() && circuit_of(&first.1) == circuit_of(&again.1));
    }
    match told.as_slice() {
        [] => true,
        [(at, meanings)] => {
            let Some(circuit) = circuit_of(meanings) else { return is_both_ways(meanings) && found.len() == 1 };
            for value in found.iter_mut() {
                value.circuit = Some((circuit, *at));
            }
            true
        }
        // "Phase A 450 megohm to phase B": more terminals than values.
        _ if told.len() > found.len() => false,
        _ => found.iter_mut().all(|value| {
            let own = told.iter().rev().find(|(at, _)| *at < value.at);
            value.circuit = own.and_then(|(at, meanings)| Some((circuit_of(meanings)?, *at)));
            value.circuit.is_some()
        }),
    }
}

/// Whether the meanings leave the terminals open without naming a phase.
fn is_both_ways(meanings: &[CircuitMeaning]) -> bool {
    meanings.iter().all(|meaning| matches!(meaning.named, Named::ToEarth | Named::BetweenPhases))
}

/// Whether a letter stands right before a number.
fn is_label(pieces: &[Piece], at: usize) -> bool {
    let behind = if matches!(pieces.get(at + 1).map(|piece| &piece.says), Some(Says::Stop(Stop::Colon))) {
        at + 2
    } else {
        at + 1
    };
    pieces.get(behind).is_some_and(|piece| matches!(piece.says, Says::Number(_) | Says::Resistance(_)))
}

/// Gives each value its time; false where it is open which is whose.
fn add_times(pieces: &[Piece], clauses: &[Range<usize>], found: &mut [Value]) -> bool {
    let times = |clause: &Range<usize>| -> Vec<(usize, f64)> {
        let time = |at: usize| match pieces.get(at).map(|piece| &piece.says) {
            Some(Says::Elapsed(seconds)) => Some((at, *seconds)),
            _ => None,
        };
        clause.clone().filter_map(time).collect()
    };
    let is_shared = found.windows(2).all(|two| matches!(two, [a, b] if a.part.unit_text == b.part.unit_text))
        && pieces_are_listed(pieces, found);
    let mut timed = 0;
    for clause in clauses {
        let inside: Vec<usize> =
            (0..found.len()).filter(|index| found.get(*index).is_some_and(|value| value.clause == *clause)).collect();
        let own = times(clause);
        if inside.is_empty() || own.is_empty() {
            continue;
        }
        if own.len() == inside.len() {
            let first = inside.first().and_then(|index| found.get(*index)).map_or(0, |value| value.at);
            let after = own.first().is_some_and(|(at, _)| *at > first);
            for (number, (index, (at, seconds))) in inside.iter().zip(&own).enumerate() {
                let next =
                    inside.get(number + 1).and_then(|next| found.get(*next)).map_or(usize::MAX, |value| value.at);
                let Some(value) = found.get_mut(*index) else { return false };
                let in_turn = if after { value.at < *at && *at < next } else { *at < value.at };
                if !in_turn {
                    return false;
                }
                value.elapsed = Some((*seconds, *at));
                timed += 1;
            }
        } else if let ([one], true) = (own.as_slice(), is_shared) {
            for value in found.iter_mut() {
                value.elapsed = Some((one.1, one.0));
            }
            return true;
        } else {
            return false;
        }
    }
    // "U-E 28 MΩ, V-E 31 MΩ, W-E 25 MΩ at 1 min": of phases told one after the other the last tells how all were measured.
    let last = found.last().and_then(|value| value.elapsed);
    if let (1, Some(last)) = (timed, last.filter(|_| are_phases(found))) {
        for value in found.iter_mut() {
            value.elapsed = Some(last);
        }
        return true;
    }
    // "480 MΩ, 1450 MΩ at 10 min": which time the first was read at is not told.
    timed == 0 || timed == found.len()
}

/// Whether the values are of the three phases, each once.
fn are_phases(found: &[Value]) -> bool {
    let of_phases = [Circuit::UToEarth, Circuit::VToEarth, Circuit::WToEarth];
    let has =
        |circuit: &Circuit| found.iter().any(|value| value.circuit.as_ref().is_some_and(|(own, _)| own == circuit));
    found.len() == of_phases.len() && of_phases.iter().all(has)
}

/// Whether all values but the last are numbers that share its unit.
fn pieces_are_listed(pieces: &[Piece], found: &[Value]) -> bool {
    let Some((_, others)) = found.split_last() else { return false };
    others.iter().all(|value| pieces.get(value.at).is_some_and(|piece| matches!(piece.says, Says::Number(_))))
}
