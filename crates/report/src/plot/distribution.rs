//! How a figure is spread over groups of machines: a row a group, bars by how many machines read so, with the middle and the tenths at
//! either end below them. Readings that are at least or at most their value are hollow.

use super::Scale;
use super::axis::Axis;
use crate::format;
use maud::{Markup, PreEscaped, html};
use windrow_model::Bound;
use windrow_statistics::survival::kaplan_meier_of;

const WIDTH: f64 = 640.0;
/// Room for the name of a group, and for half of the last number on the axis.
const LEFT: f64 = 304.0;
const RIGHT: f64 = 32.0;
const TOP: f64 = 8.0;
const BOTTOM: f64 = 26.0;
/// Height of a row, and of its highest bar.
const ROW: f64 = 46.0;
const BAR: f64 = 26.0;
/// Bars over the width of the axis.
const BINS: usize = 36;

/// A figure of many machines in groups.
#[derive(Debug)]
pub struct Distribution<'a> {
    /// What is shown, in words.
    pub title: String,
    /// UCUM code of the values and the quantity, for display.
    pub unit: (&'a str, &'a str),
    /// Equal steps for equal ratios, or for equal differences.
    pub scale: Scale,
    /// The groups.
    pub rows: Vec<Row<'a>>,
}

/// One group.
#[derive(Debug)]
pub struct Row<'a> {
    /// Its name.
    pub name: String,
    /// Where its machines are listed, if anywhere.
    pub href: Option<String>,
    /// The newest value of each machine, with its bound.
    pub values: &'a [(f64, Bound)],
    /// The value of the machine whose page it is.
    pub here: Option<f64>,
}

/// The groups as one picture; nothing where no group has a value.
#[must_use]
pub fn distribution(of: &Distribution<'_>) -> Markup {
    let rows: Vec<&Row<'_>> =
        of.rows.iter().filter(|row| row.values.iter().any(|value| is_drawn(value.0, of.scale))).collect();
    let values = rows.iter().flat_map(|row| row.values).map(|value| value.0).filter(|value| is_drawn(*value, of.scale));
    let Some(x) = Axis::over(values, of.scale, LEFT, WIDTH - RIGHT) else { return html! {} };
    let height = rows.iter().fold(TOP + BOTTOM, |height, _| height + ROW);
    html! {
        figure.plot.distribution {
            figcaption { (of.title) }
            svg viewBox={ "0 0 " (WIDTH) " " (height) } role="group" aria-label={ (of.title) ", " (rows.len()) " groups" } {
                (grid(&x, of, height))
                @for (index, row) in rows.iter().enumerate() { (one(row, of, (&x, top(index)))) }
            }
            p.legend {
                "a bar: machines that read so, by their newest test · hollow: at least this, the instrument's end of range · "
                @if rows.iter().any(|row| row.values.iter().any(|value| value.1 == Bound::AtMost)) { "hollow, broken line: at most this · " }
                "line below: from a tenth to nine tenths of the machines, mark: half"
                @if rows.iter().any(|row| row.here.is_some()) { " · ▼ this machine" }
            }
        }
    }
}

fn is_drawn(value: f64, scale: Scale) -> bool {
    value.is_finite() && (scale == Scale::Linear || value > 0.0)
}

fn top(index: usize) -> f64 {
    TOP + f64::from(u32::try_from(index).unwrap_or(0)) * ROW
}

fn grid(x: &Axis, of: &Distribution<'_>, height: f64) -> Markup {
    let (unit, quantity) = of.unit;
    html! {
        g.grid {
            @for value in x.marks().into_iter().filter(|value| (LEFT..=WIDTH - RIGHT).contains(&x.at(*value))) {
                line x1=(px(x.at(value))) x2=(px(x.at(value))) y1=(TOP) y2=(height - BOTTOM) {}
                text x=(px(x.at(value))) y=(height - 9.0) text-anchor="middle" { (format::with_unit(value, unit, quantity)) }
            }
        }
    }
}

fn one(row: &Row<'_>, of: &Distribution<'_>, (x, top): (&Axis, f64)) -> Markup {
    let bins = bins(row, of.scale, x);
    let most = bins.iter().map(Bin::machines).max().unwrap_or(0).max(1);
    let (base, width) = (top + BAR + 6.0, (WIDTH - RIGHT - LEFT) / count(BINS));
    let tall = |machines: usize| BAR * count(machines) / count(most);
    let told = words(row, of);
    let name = html! { text.group-name x="0" y=(px(base - 12.0)) { (row.name) } };
    html! {
        g.group {
            (PreEscaped("<title>")) (told) (PreEscaped("</title>"))
            @match &row.href {
                Some(href) => a href=(href) { (name) },
                None => (name),
            }
            text.group-count x="0" y=(px(base + 2.0)) { (row.values.len()) @if row.values.len() == 1 { " machine" } @else { " machines" } }
            line.base x1=(LEFT) x2=(WIDTH - RIGHT) y1=(px(base)) y2=(px(base)) {}
            @for (index, bin) in bins.iter().enumerate() {
                @let at = LEFT + count(index) * width + 0.5;
                @for (class, below, machines) in bin.parts().into_iter().filter(|(.., machines)| *machines > 0) {
                    rect class=(class) x=(px(at)) y=(px(base - tall(below + machines))) width=(px(width - 1.0)) height=(px(tall(machines))) {}
                }
            }
            (spread(row, (x, base + 5.0)))
            @if let Some(here) = row.here.filter(|value| is_drawn(*value, of.scale)) { path.here d=(format!("M{:.1} {base:.1}v-{BAR}l-5 -7h10l-5 7", x.at(here).clamp(LEFT, WIDTH - RIGHT))) {} }
        }
    }
}

/// Machines of one bar, by what their values are.
#[derive(Debug, Clone, Default)]
struct Bin {
    at_most: usize,
    exact: usize,
    at_least: usize,
}

impl Bin {
    fn machines(&self) -> usize {
        self.at_most + self.exact + self.at_least
    }

    /// Class of each part, machines below it, and its own.
    fn parts(&self) -> [(&'static str, usize, usize); 3] {
        [
            ("bar bounded upto", 0, self.at_most),
            ("bar", self.at_most, self.exact),
            ("bar bounded", self.at_most + self.exact, self.at_least),
        ]
    }
}

/// The bars from the left.
fn bins(row: &Row<'_>, scale: Scale, x: &Axis) -> Vec<Bin> {
    let mut bins = vec![Bin::default(); BINS];
    for (value, bound) in row.values.iter().filter(|value| is_drawn(value.0, scale)) {
        let share = (x.at(*value) - LEFT) / (WIDTH - RIGHT - LEFT);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the bars there are")]
        let index = (share * count(BINS)).clamp(0.0, count(BINS - 1)) as usize;
        if let Some(bin) = bins.get_mut(index) {
            *match bound {
                Bound::AtMost => &mut bin.at_most,
                Bound::Exact => &mut bin.exact,
                Bound::AtLeast => &mut bin.at_least,
            } += 1;
        }
    }
    bins
}

/// From a tenth to nine tenths, with a mark at half; open to the right where nine tenths lie above the ceilings.
fn spread(row: &Row<'_>, (x, y): (&Axis, f64)) -> Markup {
    let [low, middle, high] = tenths(row.values).map(|value| value.map(|value| x.at(value).clamp(LEFT, WIDTH - RIGHT)));
    let Some(low) = low else { return html! {} };
    html! {
        path.spread d=(format!("M{low:.1} {y:.1}H{:.1}", high.unwrap_or(WIDTH - RIGHT))) {}
        @if let Some(middle) = middle { path.spread.half d=(format!("M{middle:.1} {:.1}V{:.1}", y - 4.0, y + 4.0)) {} }
    }
}

/// The values that a tenth, half and nine tenths do not exceed (product limit, Kaplan & Meier 1958, as in the table of cohorts); none where
/// they lie above the ceilings.
fn tenths(values: &[(f64, Bound)]) -> [Option<f64>; 3] {
    let curve = kaplan_meier_of(values);
    [0.1, 0.5, 0.9].map(|share| curve.quantile(share))
}

/// A group in words.
fn words(row: &Row<'_>, of: &Distribution<'_>) -> String {
    let (unit, quantity) = of.unit;
    let told = |value: Option<f64>| {
        let upto = |value: f64| format!("up to {}", format::with_unit(value, unit, quantity));
        value.map_or_else(|| "above the ceilings".to_owned(), upto)
    };
    let [low, middle, high] = tenths(row.values);
    let here = row
        .here
        .map(|value| format!("; this machine: {}", format::with_unit(value, unit, quantity)))
        .unwrap_or_default();
    format!(
        "{}: {} machines; one in ten: {}, half: {}, nine in ten: {}{here}",
        row.name,
        row.values.len(),
        told(low),
        told(middle),
        told(high)
    )
}

#[expect(clippy::cast_precision_loss, reason = "counts of machines and bars")]
fn count(number: usize) -> f64 {
    number as f64
}

fn px(value: f64) -> String {
    format!("{value:.1}")
}

#[cfg(test)]
mod tests {
    use super::{Distribution, Row, Scale, distribution};
    use windrow_model::Bound;

    fn picture(values: &[(f64, Bound)], here: Option<f64>) -> String {
        let row = Row { name: "to 9 kV, form".into(), href: Some("/?cohort=x".into()), values, here };
        let of = Distribution {
            title: "Resistance".into(),
            unit: ("Ohm", "insulation_resistance"),
            scale: Scale::Logarithmic,
            rows: vec![row],
        };
        distribution(&of).into_string()
    }

    #[test]
    fn every_machine_stands_in_a_bar_and_ceilings_are_hollow() {
        let values = [(1e8, Bound::Exact), (1e9, Bound::Exact), (2e9, Bound::AtLeast)];
        let drawn = picture(&values, Some(1e9));
        assert_eq!(drawn.matches("class=\"bar\"").count(), 2, "{drawn}");
        assert_eq!(drawn.matches("class=\"bar bounded\"").count(), 1, "{drawn}");
        assert!(
            drawn.contains("one in ten: up to 100\u{a0}MΩ, half: up to 1000\u{a0}MΩ, nine in ten: above the ceilings")
        );
        assert!(drawn.contains("this machine: 1000\u{a0}MΩ") && drawn.contains("class=\"here\""));
    }

    #[test]
    fn a_value_that_is_at_most_something_is_not_drawn_as_exact() {
        let drawn = picture(&[(1e8, Bound::AtMost), (1e9, Bound::Exact)], None);
        assert_eq!(drawn.matches("class=\"bar\"").count(), 1, "{drawn}");
        assert_eq!(drawn.matches("class=\"bar bounded upto\"").count(), 1, "{drawn}");
        assert!(drawn.contains("broken line: at most this"));
    }

    #[test]
    fn without_a_value_there_is_no_picture() {
        assert_eq!(picture(&[], None), "");
        assert_eq!(picture(&[(f64::NAN, Bound::Exact), (0.0, Bound::Exact)], None), "");
    }
}
