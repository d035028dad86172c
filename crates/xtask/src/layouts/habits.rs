//! How one hand writes: language, words, decimal mark, dates, phases, earth.

use super::container::Container;
use super::page::{Cell, Stored};
use super::words::Words;
use jiff::civil::Date;
use std::collections::BTreeMap;
use windrow_dice::Dice;

/// Forms of a date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum DateStyle {
    SlashDay,
    SlashMonth,
    Dots,
    DotsShort,
    Iso,
    Named,
    /// `1987/03/14`
    YearFirst,
    /// `14MAR87`
    Compact,
    /// `14.III.87`
    Roman,
    /// `19870314`
    Digits,
    /// Days since 1899-12-30, typed as text.
    Serial,
    /// Month and year.
    Month,
    /// `03/1987`
    MonthNumber,
    /// `Q1/87`
    Quarter,
    Year,
}

/// Roman numbers of the months.
const ROMAN: [&str; 12] = ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"];

/// Forms of a time since voltage was applied.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TimeStyle {
    Named,
    Seconds,
    Short,
    /// `R60`: resistance after so many seconds.
    Resistance,
}

impl DateStyle {
    fn format(self) -> &'static str {
        match self {
            Self::SlashDay => "dd/mm/yyyy",
            Self::SlashMonth => "mm/dd/yyyy",
            Self::Dots => "dd.mm.yyyy",
            Self::DotsShort => "d.m.yy",
            Self::Iso => "yyyy-mm-dd",
            Self::Named => "dd-mmm-yy",
            Self::Month => "mmm yyyy",
            Self::YearFirst => "yyyy/mm/dd",
            _ => "0",
        }
    }

    /// Forms that few hands use.
    pub(super) const RARE: [Self; 9] = [
        Self::Month,
        Self::Month,
        Self::MonthNumber,
        Self::Quarter,
        Self::YearFirst,
        Self::Compact,
        Self::Roman,
        Self::Digits,
        Self::Serial,
    ];

    /// Whether spreadsheets keep it as text.
    pub(super) fn is_text(self) -> bool {
        matches!(self, Self::Compact | Self::Roman | Self::Digits | Self::Serial | Self::MonthNumber | Self::Quarter)
    }

    /// What a date in this form tells.
    pub(super) fn precision(self) -> &'static str {
        match self {
            Self::Year => "year",
            Self::Quarter => "quarter",
            Self::Month | Self::MonthNumber => "month",
            _ => "day",
        }
    }

    /// Whether a written day below 13 may be a month. Dots stand between days, months and years in this order (common practice,
    /// no source).
    pub(super) fn order_open(self) -> bool {
        matches!(self, Self::SlashDay | Self::SlashMonth)
    }
}

/// The hand that wrote one file.
#[derive(Debug, Clone)]
#[expect(clippy::struct_excessive_bools, reason = "each is a habit of its own")]
pub(super) struct Habits {
    pub(super) words: Words,
    chosen: BTreeMap<&'static str, String>,
    pub(super) decimal_comma: bool,
    pub(super) dates: DateStyle,
    pub(super) dates_as_text: bool,
    pub(super) phases: [&'static str; 3],
    /// What follows a phase that was taken to earth; nothing where the caption says it.
    pub(super) earth: String,
    pub(super) pair: &'static str,
    pub(super) fahrenheit: bool,
    pub(super) kilovolts: bool,
    /// How a unit follows its heading.
    brackets: (&'static str, &'static str),
    pub(super) colon: &'static str,
    bound: (&'static str, &'static str),
    pub(super) times: TimeStyle,
    /// Between thousands, in text.
    thousands: Option<char>,
    /// A workbook whose numbers were typed as text.
    pub(super) numbers_as_text: bool,
}

/// Headings of which a file keeps to one.
const KEPT: [&str; 55] = [
    "machine",
    "date",
    "circuit",
    "elapsed",
    "minutes",
    "voltage",
    "temperature",
    "ambient",
    "humidity",
    "serial",
    "by",
    "remark",
    "unit",
    "verdict",
    "pass",
    "description",
    "power",
    "rated",
    "made",
    "average",
    "minimum",
    "unbalance",
    "index",
    "site",
    "to_earth",
    "insulation_resistance",
    "leakage_current",
    "winding_resistance",
    "capacitance",
    "dissipation_factor",
    "surge_peak_voltage",
    "surge_difference",
    "report",
    "polarization_index",
    "winding_temperature",
    "bare_voltage",
    "speed",
    "current",
    "class",
    "nameplate",
    "measurement",
    "ramp_title",
    "step_title",
    "withstand_title",
    "instrument",
    "interval",
    "absorption",
    "corrected_label",
    "deviation",
    "armature",
    "field",
    "interpoles",
    "stator",
    "rotor",
    "condition_label",
];

impl Habits {
    /// A hand drawn for a container.
    pub(super) fn draw(container: Container, dice: &mut Dice) -> anyhow::Result<Self> {
        let words = Words::draw(dice)?;
        let chosen = KEPT.iter().map(|thing| (*thing, words.pick(thing, dice))).collect();
        let english = words.language == "en";
        let styles: &[DateStyle] = if english {
            &[DateStyle::SlashDay, DateStyle::SlashMonth, DateStyle::Iso, DateStyle::Named, DateStyle::Named]
        } else if words.language == "de" {
            &[DateStyle::Dots, DateStyle::DotsShort, DateStyle::Iso]
        } else {
            &[DateStyle::SlashDay, DateStyle::SlashDay, DateStyle::Dots, DateStyle::Named]
        };
        let phases = dice.pick(&[
            ["U", "V", "W"],
            ["A", "B", "C"],
            ["R", "S", "T"],
            ["L1", "L2", "L3"],
            ["T1", "T2", "T3"],
            ["R", "Y", "B"],
            ["U1", "V1", "W1"],
        ]);
        let grounds: &[&str] = match words.language {
            "en" => &["-E", "-G", "/E", " to earth", "-GND", "-PE", ""],
            "de" => &["-E", "-PE", "/Erde", " gegen Erde", "-Masse", ""],
            "fr" => &["-PE", "/terre", "-masse", "/masse", ""],
            _ => &["-PE", "/tierra", "-tierra", " a tierra", ""],
        };
        Ok(Self {
            chosen,
            decimal_comma: !english && dice.chance(0.85),
            dates: dice.pick(styles),
            dates_as_text: !container.is_book() || dice.chance(0.3),
            phases,
            earth: dice.pick(grounds).to_owned(),
            pair: dice.pick(&["-", "/", " - "]),
            fahrenheit: english && dice.chance(0.25),
            kilovolts: dice.chance(0.3),
            brackets: dice.pick(&[(" (", ")"), (" [", "]"), (" ", ""), (", ", ""), (" in ", "")]),
            colon: dice.pick(&[":", ":", "", " :"]),
            times: dice.pick(&[
                TimeStyle::Named,
                TimeStyle::Named,
                TimeStyle::Seconds,
                TimeStyle::Short,
                TimeStyle::Resistance,
            ]),
            thousands: if container == Container::Fixed {
                None
            } else {
                dice.pick(&[None, None, None, Some(' '), Some('\u{a0}'), Some('\'')])
            },
            numbers_as_text: container.is_book() && dice.chance(0.1),
            bound: dice.pick(&[(">", ""), ("> ", ""), ("", "+"), ("≥", ""), (">", "")]),
            words,
        })
    }

    /// The heading of this hand for a thing.
    pub(super) fn word(&self, thing: &str) -> String {
        self.chosen.get(thing).cloned().unwrap_or_else(|| thing.to_owned())
    }

    /// A heading with its unit.
    pub(super) fn with_unit(&self, heading: &str, unit: &str) -> String {
        if unit.is_empty() {
            return heading.to_owned();
        }
        format!("{heading}{}{unit}{}", self.brackets.0, self.brackets.1)
    }

    /// A number with so many digits that count, as rounded and as written.
    pub(super) fn rounded(&self, value: f64, digits: i32) -> (f64, String) {
        #[expect(clippy::cast_possible_truncation, reason = "the logarithm of a reading is a small number")]
        let magnitude = value.abs().max(1e-12).log10().floor() as i32;
        let decimals = usize::try_from((digits - 1 - magnitude).max(0)).unwrap_or(0);
        let step = 10_f64.powi((magnitude + 1 - digits).max(0));
        let text =
            if decimals == 0 { format!("{:.0}", (value / step).round() * step) } else { format!("{value:.decimals$}") };
        (text.parse().unwrap_or(value), self.grouped(&self.marked(&text)))
    }

    /// A whole number of five digits or more with this hand's mark between thousands.
    fn grouped(&self, text: &str) -> String {
        match self.thousands {
            Some(mark) if text.len() > 4 && text.bytes().all(|byte| byte.is_ascii_digit()) => {
                let first = (text.len() - 1) % 3 + 1;
                let (head, tail) = text.split_at(first);
                let groups = tail.as_bytes().chunks(3).map(String::from_utf8_lossy);
                groups.fold(head.to_owned(), |text, group| format!("{text}{mark}{group}"))
            }
            _ => text.to_owned(),
        }
    }

    /// A number with the decimal mark of this hand.
    pub(super) fn marked(&self, text: &str) -> String {
        if self.decimal_comma { text.replace('.', ",") } else { text.to_owned() }
    }

    /// "This or more".
    pub(super) fn at_least(&self, shown: &str) -> String {
        format!("{}{shown}{}", self.bound.0, self.bound.1)
    }

    /// A cell with a date.
    pub(super) fn date(&self, date: Date) -> Cell {
        let shown = self.date_text(date);
        if self.dates == DateStyle::Year {
            return Cell::number(f64::from(date.year()), shown);
        }
        if self.dates_as_text || self.dates.is_text() {
            return Cell::text(shown);
        }
        let stored = Stored::Date(i32::try_from(serial(date)).unwrap_or(0), self.dates.format());
        Cell { stored, ..Cell::text(shown) }
    }

    /// A date as this hand writes it.
    pub(super) fn date_text(&self, date: Date) -> String {
        let (day, month, year) = (date.day(), date.month(), date.year());
        let short = year.rem_euclid(100);
        let name = usize::try_from(month - 1).ok().and_then(|at| self.words.list("month").get(at));
        match self.dates {
            DateStyle::SlashDay => format!("{day:02}/{month:02}/{year}"),
            DateStyle::SlashMonth => format!("{month:02}/{day:02}/{year}"),
            DateStyle::Dots => format!("{day:02}.{month:02}.{year}"),
            DateStyle::DotsShort => format!("{day}.{month}.{short:02}"),
            DateStyle::Iso => date.to_string(),
            DateStyle::Named => format!("{day:02}-{}-{short:02}", name.map_or("", String::as_str)),
            DateStyle::Month => format!("{} {year}", name.map_or("", String::as_str)),
            DateStyle::YearFirst => format!("{year}/{month:02}/{day:02}"),
            DateStyle::Compact => {
                let letters = name.map_or("", String::as_str).trim_end_matches('.').to_uppercase();
                format!("{day:02}{letters}{short:02}")
            }
            DateStyle::Roman => {
                let roman = usize::try_from(month - 1).ok().and_then(|at| ROMAN.get(at)).copied().unwrap_or_default();
                format!("{day}.{roman}.{short:02}")
            }
            DateStyle::Digits => format!("{year}{month:02}{day:02}"),
            DateStyle::Serial => serial(date).to_string(),
            DateStyle::MonthNumber => format!("{month:02}/{year}"),
            DateStyle::Quarter => format!("Q{}/{short:02}", (month - 1) / 3 + 1),
            DateStyle::Year => year.to_string(),
        }
    }

    /// A temperature as this hand writes it, and what it is in degrees Celsius.
    pub(super) fn degrees(&self, celsius: u32) -> (u32, f64) {
        if !self.fahrenheit {
            return (celsius, f64::from(celsius));
        }
        let fahrenheit = (celsius * 9 + 2) / 5 + 32;
        (fahrenheit, (f64::from(fahrenheit) - 32.0) / 1.8)
    }

    /// Unit of temperatures.
    pub(super) fn degree(&self) -> &'static str {
        if self.fahrenheit { "°F" } else { "°C" }
    }

    /// A direct voltage as this hand writes it: number and unit.
    pub(super) fn volts(&self, volts: f64) -> (f64, &'static str) {
        if self.kilovolts { (volts / 1000.0, "kV") } else { (volts, "V") }
    }

    /// A time as this hand writes it in headings and keys.
    pub(super) fn time(&self, seconds: u32) -> String {
        match self.times {
            TimeStyle::Named => Self::time_in_words(seconds),
            TimeStyle::Seconds => format!("{seconds} s"),
            TimeStyle::Short => Self::time_in_words(seconds).replace(' ', ""),
            TimeStyle::Resistance => format!("R{seconds}"),
        }
    }

    /// A time in words.
    pub(super) fn time_in_words(seconds: u32) -> String {
        if seconds < 60 || !seconds.is_multiple_of(60) {
            format!("{seconds} s")
        } else {
            format!("{} min", seconds / 60)
        }
    }
}

/// Days since 1899-12-30.
fn serial(date: Date) -> i64 {
    date.duration_since(Date::constant(1899, 12, 30)).as_hours() / 24
}
