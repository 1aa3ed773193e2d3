//! One exhibit as a self-contained SVG.
//!
//! No outside fonts, no script; light and dark by the reader's own setting. Views are to scale. Labels are placed one by
//! one where they cover no other; what finds no place stands in the legend under its number.
//!
//! Text from the rig file only ever becomes text of an element, never an attribute: those are not quoted safely.

mod axis;
mod bars;
mod body_place;
mod calendar;
mod curve;
mod day_hour_map;
mod dimensions;
mod hatch;
mod keys;
mod month_bars;
mod parts;
mod place;
#[cfg(test)]
mod power_tests;
mod rear;
mod roof;
mod roof_marks;
mod roof_widths;
mod sheet;
mod side;
#[cfg(test)]
mod tests;

use check::Exhibit;
use check::exhibit::{Picture, Span};
use check::placement::Placement;
use quantity::{Dimension, System};

use crate::numbers::Numbers;
use sheet::Sheet;

/// Units and signs of the numbers in a drawing; an SVG always has the proper signs.
type Shown = Numbers;

/// The exhibit as SVG; none where it holds nothing that could be drawn.
#[must_use]
pub fn render(exhibit: &Exhibit, units: System) -> Option<String> {
    sheet(exhibit, units).map(|sheet| sheet.svg())
}

/// Axle loads over the place of the body as SVG: all states with their ranges, what each axle is rated for, the places that
/// pass; none where no load is known.
#[must_use]
pub fn placement(placement: &Placement) -> Option<String> {
    body_place::draw(placement, Numbers::new(placement.units, true)).map(Sheet::svg)
}

fn sheet(exhibit: &Exhibit, units: System) -> Option<Sheet> {
    let shown = Numbers::new(units, true);
    let title = match &exhibit.state {
        Some(state) if !exhibit.title.contains(state.as_str()) => format!("{}, {state}", exhibit.title),
        _ => exhibit.title.clone(),
    };
    let title = capital(&title);
    match &exhibit.picture {
        Picture::SideView(view) => side::draw(&title, view, shown),
        Picture::RearView(view) => rear::draw(&title, view, shown),
        Picture::Bars(bars) => bars::draw(&title, bars, shown),
        Picture::DayHourMap(map) => day_hour_map::draw(&title, map),
        Picture::MonthBars(bars) => month_bars::draw(&title, bars, shown),
        Picture::RoofPlan(plan) => roof::draw(&title, plan, shown),
        Picture::Curve(curve) => curve::draw(&title, curve, shown),
    }
}

/// A name and what is told of the thing, a line each.
fn told_list(name: &str, more: Option<String>) -> Vec<String> {
    std::iter::once(crate::text::clean(name)).chain(more).collect()
}

/// The text with a capital letter at its front.
fn capital(text: &str) -> String {
    let mut rest = text.chars();
    rest.next().map_or_else(String::new, |first| first.to_uppercase().chain(rest).collect())
}

/// "5350 kg" and "between 5250 and 5450".
fn told(span: &Span, dimension: Dimension, shown: Shown) -> (String, Option<String>) {
    shown.span(span.value.0, span.low.0, span.high.0, dimension)
}

/// "5350 kg, between 5250 and 5450".
fn told_in_one(span: &Span, dimension: Dimension, shown: Shown) -> String {
    let (value, range) = told(span, dimension, shown);
    range.map_or(value.clone(), |range| format!("{value}, {range}"))
}

/// Whether all three numbers of it can be drawn.
fn finite(span: &Span) -> bool {
    [span.value, span.low, span.high].iter().all(|number| number.0.is_finite())
}

/// An angle without a range, to a tenth of a degree: nobody reads a slope finer.
fn degrees(radians: f64, shown: Shown) -> String {
    shown.amount(radians, Dimension::Angle, ANGLES_TO.to_radians())
}

/// The half width, in degrees, that angles without a range are rounded for.
const ANGLES_TO: f64 = 0.5;
