//! Pictures of the power trade: a year's charge hour by hour, its months, the roof from above.

use check::Context;
use check::exhibit::{
    DayHourMap, Exhibit, HourRun, MonthBars, MonthEnergy, Patch, Picture, RoofPanel, RoofPiece, RoofPieceKind, RoofPlan, Span,
    Walkway,
};
use quantity::{Estimate, Num};
use rig_facts::power::{Run, Set, Year};
use rig_model::model::{HatchKind, Walkway as Side};
use rig_model::path;

use super::span;

/// Names that findings use for these pictures.
const CHARGE: &str = "charge-year";
const MONTHS: &str = "energy-months";
const ROOF: &str = "roof-plan";

/// Seconds of an hour: energies of pictures are in J.
const HOUR_S: f64 = 3600.0;

/// The pictures that what is told allows.
pub(super) fn all(context: &Context) -> Vec<Exhibit> {
    let power = context.facts().power();
    let sets = power.sets();
    let mut exhibits = Vec::new();
    for (number, set) in sets.iter().enumerate() {
        let Ok(year) = power.year(number) else { continue };
        let (of, id) = match set.states.first().filter(|_| sets.len() > 1) {
            Some(state) => (format!(", {state}"), format!("/{state}")),
            None => (String::new(), String::new()),
        };
        let whole = |name: &str, title: String, picture| Exhibit { id: format!("{name}{id}"), title, state: None, picture };
        exhibits.extend(
            charge(context, set, year).map(|(title, map)| whole(CHARGE, format!("{title}{of}"), Picture::DayHourMap(map))),
        );
        exhibits.push(whole(MONTHS, format!("energy of a day, month by month{of}"), Picture::MonthBars(months(context, year))));
    }
    exhibits.extend(roof(context).map(|plan| Exhibit {
        id: ROOF.to_owned(),
        title: "the roof from above".to_owned(),
        state: None,
        picture: Picture::RoofPlan(plan),
    }));
    exhibits
}

/// The year in the middle of those drawn, by the sun of it; the file's where there is one.
fn middle(run: &Run) -> usize {
    let mut years: Vec<(usize, f64)> =
        run.years.iter().map(|year| year.sun.iter().map(|w| f64::from(*w)).sum()).enumerate().collect();
    years.sort_by(|a, b| a.1.total_cmp(&b.1));
    years.get(years.len() / 2).map_or(0, |(year, _)| *year)
}

fn charge(context: &Context, set: &Set, year: &Year) -> Option<(String, DayHourMap)> {
    let power = context.facts().power();
    let bank = year.banks.first()?;
    let run = bank.usual();
    let number = middle(run);
    let shares: Vec<f64> = run.charge(number).into_iter().map(f64::from).collect();
    let mut map = DayHourMap::of_year("state of charge", &shares)?;
    map.floor = Some(Num(run.store.floor));
    map.short = HourRun::of(run.short_hours(number));
    map.months_of_use = power.months().iter().filter_map(|month| u8::try_from(month + 1).ok()).collect();
    let name = &power.banks().get(bank.bank)?.name;
    let which = if bank.file.is_some() {
        "the year of the weather file".to_owned()
    } else {
        format!("the middle one of {} drawn years", run.years.len())
    };
    let more = if set.banks.len() > 1 { " (the first of the banks)" } else { "" };
    Some((format!("charge of {name}{more}, {which}"), map))
}

fn joules(wh: f64) -> Num {
    Num(wh * HOUR_S)
}

fn months(context: &Context, year: &Year) -> MonthBars {
    let power = context.facts().power();
    let months = year.months.iter().enumerate().map(|(number, month)| {
        let in_use = power.months().has(number);
        let Span { value, low, high } = span(&month.sun.scale(HOUR_S));
        let load = month.load.value();
        MonthEnergy {
            month: u8::try_from(number + 1).unwrap_or(u8::MAX),
            in_use,
            sun: Span { value, low: Num(low.0.max(0.0)), high },
            used: joules((load - month.short).max(0.0)),
            left_over: joules(month.left_over),
            gone_without: joules(month.short),
            wanted: in_use.then_some(joules(load)),
        }
    });
    MonthBars { a_day: true, months: months.collect() }
}

/// The roof, where its size can be had; panels that are told where they lie.
fn roof(context: &Context) -> Option<RoofPlan> {
    let (rig, facts) = (context.rig(), context.facts());
    let told = |path: &str| facts.power().told(path).map(Estimate::value).ok();
    if rig.panel.is_empty() && rig.roof.is_none() {
        return None;
    }
    let body = rig.body.as_ref()?;
    let walls = body.walls.as_ref().and_then(|walls| walls.value()).unwrap_or(0.0);
    let inside = |stated: Option<&quantity::Stated<quantity::dim::Length>>| Some(stated?.value()? + 2.0 * walls);
    let length = told("roof.length").or_else(|| inside(body.length.as_ref()))?;
    let width = told("roof.width").or_else(|| inside(body.width.as_ref()))?;
    let front = facts.body().front.as_ref().ok()?.value() - walls;
    let (mut panels, mut pieces) = (Vec::new(), Vec::new());
    let roof = rig.roof.as_ref();
    let between = roof.and_then(|roof| roof.gap.as_ref()).map_or(0.0, |gap| gap.si());
    for panel in &rig.panel {
        let item = facts.states().first().and_then(|state| state.items.iter().find(|item| item.name == panel.name));
        let Some([long, wide, _]) = item.and_then(|item| item.size) else { continue };
        let Some([Ok(x), Ok(y), _]) = item.map(|item| &item.at) else { continue };
        // Several of one entry share a middle: they are drawn in a row along the truck.
        let count = panel.count.unwrap_or(1).max(1);
        let first = x.value() - front - (f64::from(count) * (long + between) - between) / 2.0;
        for piece in 0..count {
            panels.push(RoofPanel {
                name: panel.name.clone(),
                patch: Patch {
                    x: Num(first + f64::from(piece) * (long + between)),
                    y: Num(y.value() - wide / 2.0),
                    length: Num(long),
                    width: Num(wide),
                },
                rated: panel.rated.as_ref().and_then(|rated| rated.value()).map(Num),
            });
        }
    }
    for (index, hatch) in roof.into_iter().flat_map(|roof| roof.hatch.iter().enumerate()) {
        let path = format!("roof.hatch{}", path::entry(Some(&hatch.name), index + 1));
        let at = |key: &str, axis: usize| told(&format!("{path}.{key}[{axis}]"));
        let (Some(x), Some(y), Some(long), Some(wide)) = (at("at", 1), at("at", 2), at("size", 1), at("size", 2)) else {
            continue;
        };
        pieces.push(RoofPiece {
            name: hatch.name.clone(),
            kind: match hatch.kind {
                Some(HatchKind::Vent) => RoofPieceKind::Vent,
                Some(HatchKind::Unit) => RoofPieceKind::Unit,
                Some(HatchKind::Rail) => RoofPieceKind::Rail,
                Some(HatchKind::Box) => RoofPieceKind::Box,
                Some(HatchKind::Hatch) | None => RoofPieceKind::Hatch,
            },
            patch: Patch { x: Num(x - long / 2.0), y: Num(y - wide / 2.0), length: Num(long), width: Num(wide) },
            height: told(&format!("{path}.height")).map(Num),
        });
    }
    let edge = roof.and_then(|roof| roof.edge.as_ref()).map(|edge| edge.si());
    let walkway = roof.and_then(|roof| {
        let wide = roof.walkway.as_ref()?.si();
        let y = match roof.walkway_side? {
            Side::Left => -width / 2.0,
            Side::Right => width / 2.0 - wide,
            Side::Centre => -wide / 2.0,
            Side::None => return None,
        };
        Some(Walkway { patch: Patch { x: Num(0.0), y: Num(y), length: Num(length), width: Num(wide) }, wanted: Some(Num(wide)) })
    });
    Some(RoofPlan {
        length: Num(length),
        width: Num(width),
        edge: edge.map(Num),
        panels,
        pieces,
        walkway,
        overlaps: Vec::new(),
        shadows: Vec::new(),
        shadows_at: None,
        heading: told("site.heading").map(Num),
        lengths: Vec::new(),
        widths: Vec::new(),
    })
}
