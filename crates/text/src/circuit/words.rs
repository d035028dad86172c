//! Words of circuits. Common practice, no source.

use super::Naming;

/// Words that mean earth where nothing stands beside them; "masse" and "frame" mean other things as well.
pub(super) const EARTH_ALONE: &[&str] = &["earth", "ground", "gnd", "pe", "erde", "terre", "tierra"];
pub(super) const EARTH: &[&str] = &[
    "e", "g", "m", "gnd", "grd", "gd", "ground", "earth", "pe", "erde", "erd", "masse", "terre", "tierra", "frame", "core",
    "gehause", "korper", "carcasse", "carcasa", "masa", "chassis", "iron", "bati",
];
pub(super) const ALL: &[&str] = &[
    "uvw",
    "abc",
    "rst",
    "ryb",
    "l123",
    "t123",
    "123",
    "all",
    "alle",
    "aller",
    "toutes",
    "todas",
    "todos",
    "tout",
    "3ph",
    "3ø",
    "3o",
    "3phase",
    "windings",
    "wicklungen",
    "wicklung",
    "winding",
    "wdg",
    "wdgs",
    "wickl",
    "wick",
    "bobinage",
    "bobinado",
    "enroulements",
    "enroulement",
    "bobinages",
    "devanados",
    "devanado",
    "bobinados",
    "arrollamientos",
    "stator",
    "stander",
];
pub(super) const FILLER: &[&str] = &[
    "to", "gegen", "contre", "a", "la", "al", "le", "the", "vers", "zu", "zur", "nach", "against", "and", "und", "et",
    "y", "contra", "of", "des", "de", "los", "las", "together", "zusammen", "ensemble", "juntas", "phases", "phase",
    "phasen", "fases", "fase", "ph", "strang", "strange", "phas", "in", "l", "les", "du", "par", "rapport", "zum", "der", "die", "den", "au", "aux", "completo", "completa", "complete", "complet", "entire", "entier", "whole", "gesamte", "gesamter", "ganze", "total", "gemeinsam", "verbunden", "joined", "connected", "reunies", "unidas", "unidos",
];
pub(super) const WHOLE: &[&str] = &[
    "all phases",
    "alle phasen",
    "toutes phases",
    "toutes les phases",
    "todas las fases",
    "all windings",
    "3 phases",
    "three phases", "les 3 phases", "les trois phases", "trois phases", "las 3 fases", "las tres fases", "tres fases", "3 fases", "3 phasen", "drei phasen",
];
/// Plurals: against earth they are all phases.
pub(super) const SEVERAL_PHASES: &[&str] =
    &["phases", "phasen", "fases", "strange", "leads", "lines", "conductors", "terminals", "bornes", "klemmen"];
/// How many phases a winding has, before such a plural.
pub(super) const THREE: &[&str] = &["3", "three", "drei", "trois", "tres"];
pub(super) const PHASE_WORDS: &[&str] =
    &["phase", "ph", "strang", "fase", "phas", "line", "lead", "terminal", "klemme", "borne"];
pub(super) const BETWEEN: &[&str] =
    &["between phases", "phase to phase", "phases entre elles", "entre phases", "zwischen den phasen", "entre fases"];

/// The winding of the stator as a whole, beside a rotor's.
pub(super) const STATOR: &[&str] = &[
    "stator",
    "stator winding",
    "stander",
    "standerwicklung",
    "statorwicklung",
    "bobinage stator",
    "enroulement stator",
    "estator",
    "devanado estator",
    "bobinado estator",
    "devanado del estator",
];

/// The phase that a word names, with its naming. Words are folded.
pub(super) fn phases(word: &str) -> Vec<(u8, Naming)> {
    let one = |index: u8, naming: Naming| vec![(index, naming)];
    match word {
        "u" | "u1" | "u2" => one(0, Naming::Uvw),
        "v" | "v1" | "v2" => one(1, Naming::Uvw),
        "w" | "w1" | "w2" => one(2, Naming::Uvw),
        "a" => one(0, Naming::Abc),
        "b" => vec![(1, Naming::Abc), (2, Naming::Ryb)],
        "c" => one(2, Naming::Abc),
        "r" => vec![(0, Naming::Rst), (0, Naming::Ryb)],
        "s" => one(1, Naming::Rst),
        "t" => one(2, Naming::Rst),
        "l1" => one(0, Naming::L123),
        "l2" => one(1, Naming::L123),
        "l3" => one(2, Naming::L123),
        "t1" => one(0, Naming::T123),
        "t2" => one(1, Naming::T123),
        "t3" => one(2, Naming::T123),
        "1" | "i" | "ph1" | "phase1" => one(0, Naming::Numbered),
        "2" | "ii" | "ph2" | "phase2" => one(1, Naming::Numbered),
        "3" | "iii" | "ph3" | "phase3" => one(2, Naming::Numbered),
        "red" => one(0, Naming::Ryb),
        "y" | "yellow" => one(1, Naming::Ryb),
        "blue" => one(2, Naming::Ryb),
        _ => Vec::new(),
    }
}
