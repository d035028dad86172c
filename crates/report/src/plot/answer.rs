//! A simple picture of the rows of any answer: numbers over dates or numbers as marks, numbers of names as bars.

use super::Scale;
use super::axis::{Axis, decimal_year};
use crate::format;
use maud::{Markup, PreEscaped, html};

const WIDTH: f64 = 720.0;
const HEIGHT: f64 = 260.0;
const LEFT: f64 = 104.0;
const RIGHT: f64 = 14.0;
const TOP: f64 = 14.0;
const BOTTOM: f64 = 34.0;
/// Most bars that can be read.
const MOST_BARS: usize = 30;
/// Height of a bar with its room.
const BAR: f64 = 18.0;

/// The first column against the first column of numbers behind it; nothing where there is none, or nothing to see in one row.
#[must_use]
pub fn answer(header: &[String], rows: &[Vec<String>]) -> Markup {
    let is_number = |column: usize| {
        rows.iter().any(|row| value(row, column).is_some())
            && rows.iter().all(|row| is_empty(row, column) || value(row, column).is_some())
    };
    let all: Vec<usize> = (0..header.len()).collect();
    let dates = all.iter().copied().find(|column| rows.iter().any(|row| year(row, *column).is_some()));
    let numbers: Vec<usize> = all.iter().copied().filter(|column| is_number(*column)).collect();
    if rows.len() < 2 {
        return html! {};
    }
    match (dates, numbers.as_slice()) {
        (Some(date), [number, ..]) => marks(header, rows, (date, *number), Across::Dates),
        (None, [across, number, ..]) if *across == 0 => marks(header, rows, (*across, *number), Across::Numbers),
        (None, [number, ..]) if rows.len() <= MOST_BARS && *number > 0 => bars(header, rows, (0, *number)),
        _ => html! {},
    }
}

fn text(row: &[String], column: usize) -> &str {
    row.get(column).map(String::as_str).unwrap_or_default()
}

fn is_empty(row: &[String], column: usize) -> bool {
    text(row, column).is_empty()
}

fn value(row: &[String], column: usize) -> Option<f64> {
    text(row, column).parse().ok().filter(|value: &f64| value.is_finite())
}

/// A date as a decimal year.
fn year(row: &[String], column: usize) -> Option<f64> {
    text(row, column).parse().ok().map(decimal_year)
}

/// What stands along the axis below.
#[derive(Clone, Copy)]
enum Across {
    Dates,
    Numbers,
}

impl Across {
    fn place(self, row: &[String], column: usize) -> Option<f64> {
        match self {
            Self::Dates => year(row, column),
            Self::Numbers => value(row, column),
        }
    }

    fn axis(self, places: impl Iterator<Item = f64>) -> Option<Axis> {
        match self {
            Self::Dates => Axis::years(places, LEFT, WIDTH - RIGHT),
            Self::Numbers => Axis::over(places, Scale::Linear, LEFT, WIDTH - RIGHT),
        }
    }

    /// Places of the marks, with their words.
    fn marks(self, axis: &Axis) -> Vec<(f64, String)> {
        match self {
            Self::Dates => axis.year_marks().into_iter().map(|year| (year, year.to_string())).collect(),
            Self::Numbers => axis.marks().into_iter().map(|value| (value, across_mark(value))).collect(),
        }
    }
}

fn marks(header: &[String], rows: &[Vec<String>], (across, upward): (usize, usize), along: Across) -> Markup {
    let points: Vec<(f64, f64)> =
        rows.iter().filter_map(|row| Some((along.place(row, across)?, value(row, upward)?))).collect();
    let (low, high) = points
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), point| (low.min(point.1), high.max(point.1)));
    // Values over more than two decades are seen by their ratios.
    let scale = if low > 0.0 && high / low > 100.0 { Scale::Logarithmic } else { Scale::Linear };
    let (Some(x), Some(y)) = (
        along.axis(points.iter().map(|point| point.0)),
        Axis::over(points.iter().map(|point| point.1), scale, HEIGHT - BOTTOM, TOP),
    ) else {
        return html! {};
    };
    let title = format!("{} over {}", name(header, upward), name(header, across));
    html! {
        figure.plot.answer-plot {
            figcaption { (title) @if scale == Scale::Logarithmic { ", each line ten times the one below" } }
            svg viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="img" aria-label={ (title) ", " (points.len()) " points; the same in the table below" } {
                g.grid {
                    @for value in y.marks() {
                        line x1=(LEFT) x2=(WIDTH - RIGHT) y1=(px(y.at(value))) y2=(px(y.at(value))) {}
                        text x=(LEFT - 6.0) y=(px(y.at(value) + 4.0)) text-anchor="end" { (format::number(value)) }
                    }
                    @for (value, words) in along.marks(&x) { text x=(px(x.at(value))) y=(HEIGHT - 12.0) text-anchor="middle" { (words) } }
                }
                @for (across, upward) in &points { circle.point cx=(px(x.at(*across))) cy=(px(y.at(*upward))) r="3" {} }
            }
        }
    }
}

fn bars(header: &[String], rows: &[Vec<String>], (names, numbers): (usize, usize)) -> Markup {
    let told: Vec<(&str, f64)> = rows.iter().filter_map(|row| Some((text(row, names), value(row, numbers)?))).collect();
    // A bar has one end; which side of nothing a value lies on it cannot show.
    if told.iter().any(|(_, value)| *value < 0.0) {
        return html! {};
    }
    let largest = told.iter().map(|(_, value)| *value).fold(0.0, f64::max);
    let height = told.iter().fold(8.0, |height, _| height + BAR);
    let title = format!("{} by {}", name(header, numbers), name(header, names));
    html! {
        figure.plot.answer-plot {
            figcaption { (title) }
            svg viewBox={ "0 0 " (WIDTH) " " (height) } role="img" aria-label={ (title) ", " (told.len()) " bars; the same in the table below" } {
                @for (index, (name, value)) in told.iter().enumerate() {
                    @let top = f64::from(u32::try_from(index).unwrap_or(0)) * BAR + 4.0;
                    @let length = if largest > 0.0 { value / largest * (WIDTH - 320.0) } else { 0.0 };
                    text.bar-name x="190" y=(px(top + 11.0)) text-anchor="end" { (name.chars().take(28).collect::<String>()) }
                    rect.bar x="200" y=(px(top)) width=(px(length)) height=(BAR - 5.0) { (PreEscaped("<title>")) (name) ": " (format::number(*value)) (PreEscaped("</title>")) }
                    text.bar-name x=(px(206.0 + length)) y=(px(top + 11.0)) { (format::number(*value)) }
                }
            }
        }
    }
}

/// A mark below: years take no blank, nor are fractions rounded away; what binary fractions leave behind in the last digits is.
fn across_mark(value: f64) -> String {
    if value.abs() >= 1e6 {
        return format::number(value);
    }
    let rounded: f64 = format!("{value:.11e}").parse().unwrap_or(value);
    // Never −0.
    (rounded + 0.0).to_string()
}

fn name(header: &[String], column: usize) -> &str {
    header.get(column).map(String::as_str).unwrap_or_default()
}

fn px(value: f64) -> String {
    format!("{value:.1}")
}

#[cfg(test)]
mod tests {
    use super::answer;

    fn picture(header: [&str; 2], rows: &[[&str; 2]]) -> String {
        let texts = |texts: &[&str; 2]| texts.iter().map(|text| (*text).to_owned()).collect::<Vec<_>>();
        answer(&texts(&header), &rows.iter().map(texts).collect::<Vec<_>>()).into_string()
    }

    #[test]
    fn marks_of_an_axis_are_round_numbers() {
        let drawn = picture(["x", "y"], &[["0.1", "1"], ["0.4", "2"]]);
        assert!(drawn.contains(">0.3</text>") && !drawn.contains("0.30000000000000004"), "{drawn}");
        let years = picture(["performed_on", "y"], &[["1990-01-01", "1"], ["2010-01-01", "2"]]);
        assert!(years.contains(">2000</text>"), "{years}");
        let one_year = picture(["performed_on", "y"], &[["2000-01-01", "1"], ["2000-12-01", "2"]]);
        let marks: Vec<&str> =
            one_year.split("\"middle\">").skip(1).filter_map(|mark| mark.split('<').next()).collect();
        assert_eq!(marks, ["2000", "2001"], "{one_year}");
    }

    #[test]
    fn bars_are_drawn_of_values_from_zero_on_only() {
        assert!(picture(["site", "n"], &[["North", "3"], ["South", "0"]]).contains("rect"));
        assert_eq!(picture(["site", "change"], &[["North", "3"], ["South", "-3"]]), "");
    }
}
