//! Pictures of power that the tests of drawings share. Invented: a roof of nobody's, and a year of clouds from a counter.

use check::Exhibit;
use check::exhibit::*;
use quantity::Num;

const HOURS: usize = 24;
const WATT_HOUR: f64 = 3600.0;
/// What the invented battery holds, Wh, and the share it keeps.
const CAPACITY: f64 = 2560.0;
const FLOOR: f64 = 0.2;
const MONTHS_OF_USE: [u8; 7] = [3, 4, 5, 6, 9, 10, 12];
const MONTH_DAYS: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// A picture of each kind of the power trade.
#[must_use]
pub fn pictures() -> Vec<Exhibit> {
    let year = Year::of_365_days();
    vec![
        exhibit("battery-year", "State of charge of the house battery", Picture::DayHourMap(year.map())),
        exhibit("sun-months", "Energy by month", Picture::MonthBars(year.months())),
        exhibit("roof-plan", "Roof from above", Picture::RoofPlan(roof_plan())),
        exhibit("battery-size", "What a larger battery mends", Picture::Curve(curve())),
    ]
}

fn exhibit(id: &str, title: &str, picture: Picture) -> Exhibit {
    Exhibit { id: id.to_owned(), title: title.to_owned(), state: None, picture }
}

fn exact(value: f64) -> Span {
    span(value, 0.0)
}

fn span(value: f64, half: f64) -> Span {
    Span { value: Num(value), low: Num(value - half), high: Num(value + half) }
}

/// What an invented year does to the battery, hour by hour, in Wh.
#[derive(Debug, Default)]
pub struct Year {
    sun: Vec<f64>,
    wanted: Vec<f64>,
    left_over: Vec<f64>,
    short: Vec<f64>,
    share: Vec<f64>,
}

impl Year {
    /// The sun as a parabola over each day, longest in June; clouds from a counter; more wanted in the evening.
    #[must_use]
    pub fn of_365_days() -> Self {
        let mut year = Self::default();
        let (mut kept, mut seed) = (CAPACITY, 20_261_125_u64);
        for day in 0..365_u16 {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let clear = 0.25 + 0.75 * (seed >> 40) as f64 / (1_u64 << 24) as f64;
            let season = 1.0 - (f64::from(day) - 172.0).abs() / 193.0;
            let half_day = 4.0 + 4.0 * season;
            for hour in 0..24_u8 {
                let off_noon = (f64::from(hour) + 0.5 - 12.0) / half_day;
                let sun = 560.0 * clear * (0.3 + 0.7 * season) * (1.0 - off_noon * off_noon).max(0.0);
                let wanted = if (18..22).contains(&hour) { 130.0 } else { 45.0 };
                kept = year.step(kept, sun, wanted);
            }
        }
        year
    }

    fn step(&mut self, kept: f64, sun: f64, wanted: f64) -> f64 {
        let after = kept + sun - wanted;
        let now = after.clamp(FLOOR * CAPACITY, CAPACITY);
        self.sun.push(sun);
        self.wanted.push(wanted);
        self.left_over.push((after - now).max(0.0));
        self.short.push((now - after).max(0.0));
        self.share.push(now / CAPACITY);
        now
    }

    fn map(&self) -> DayHourMap {
        let mut map = DayHourMap::of_year("state of charge", &self.share).unwrap_or_else(|| unreachable!("365 days of 24 hours"));
        map.floor = Some(Num(FLOOR));
        map.short = HourRun::of(self.short.iter().map(|short| *short > 0.0));
        map.months_of_use = MONTHS_OF_USE.to_vec();
        map
    }

    fn months(&self) -> MonthBars {
        let mut from = 0;
        let mut months = Vec::new();
        for (month, days) in (1..).zip(MONTH_DAYS) {
            let sum = |hours: &[f64]| hours.iter().skip(from).take(days * HOURS).sum::<f64>() * WATT_HOUR;
            let (sun, wanted, gone_without) = (sum(&self.sun), sum(&self.wanted), sum(&self.short));
            months.push(MonthEnergy {
                month,
                in_use: MONTHS_OF_USE.contains(&month),
                sun: span(sun, sun * 0.15),
                used: Num(wanted - gone_without),
                left_over: Num(sum(&self.left_over)),
                gone_without: Num(gone_without),
                wanted: Some(Num(wanted)),
            });
            from += days * HOURS;
        }
        MonthBars { a_day: false, months }
    }
}

fn patch(x: f64, y: f64, length: f64, width: f64) -> Patch {
    Patch { x: Num(x), y: Num(y), length: Num(length), width: Num(width) }
}

fn panel(name: &str, patch: Patch, watts: f64) -> RoofPanel {
    RoofPanel { name: name.to_owned(), patch, rated: Some(Num(watts)) }
}

fn piece(name: &str, kind: RoofPieceKind, patch: Patch, height: f64) -> RoofPiece {
    RoofPiece { name: name.to_owned(), kind, patch, height: Some(Num(height)) }
}

fn length(name: &str, from: f64, to: f64) -> Dimensioned {
    Dimensioned { name: name.to_owned(), from: Num(from), to: Num(to) }
}

/// A roof of 5.7 m by 2.36 m. The last panel lies 0.15 m over the rear hatch.
#[must_use]
pub fn roof_plan() -> RoofPlan {
    let corner = |x: f64, y: f64| Corner { x: Num(x), y: Num(y) };
    RoofPlan {
        length: Num(5.7),
        width: Num(2.36),
        edge: Some(Num(0.05)),
        panels: vec![
            panel("front left", patch(0.1, -1.1, 1.65, 0.99), 200.0),
            panel("middle left", patch(2.6, -1.1, 1.65, 0.99), 200.0),
            panel("front right", patch(0.1, 0.4, 1.48, 0.68), 120.0),
            panel("long right <b>", patch(2.4, 0.4, 2.2, 0.68), 210.0),
        ],
        pieces: vec![
            piece("bath vent", RoofPieceKind::Vent, patch(1.95, 0.5, 0.4, 0.4), 0.12),
            piece("air conditioner", RoofPieceKind::Unit, patch(1.85, -0.95, 0.65, 0.7), 0.26),
            piece("rear hatch", RoofPieceKind::Hatch, patch(4.45, 0.45, 0.7, 0.5), 0.09),
            piece("aerial", RoofPieceKind::Vent, patch(5.5, -1.0, 0.05, 0.05), 0.9),
            piece("tool box \u{1b}", RoofPieceKind::Box, patch(4.4, -1.1, 0.9, 0.6), 0.3),
            piece("left rail", RoofPieceKind::Rail, patch(4.35, -0.42, 1.2, 0.04), 0.06),
        ],
        walkway: Some(Walkway { patch: patch(0.0, -0.08, 5.7, 0.42), wanted: Some(Num(0.4)) }),
        overlaps: vec![Overlap {
            of: ["long right <b>".to_owned(), "rear hatch".to_owned()],
            patch: patch(4.45, 0.45, 0.15, 0.5),
        }],
        shadows: vec![
            Shadow {
                of: "air conditioner".to_owned(),
                corners: vec![
                    corner(1.85, -0.95),
                    corner(2.5, -0.95),
                    corner(2.95, -1.4),
                    corner(2.95, -0.7),
                    corner(2.5, -0.25),
                    corner(1.85, -0.25),
                ],
            },
            Shadow {
                of: "bath vent".to_owned(),
                corners: vec![
                    corner(1.95, 0.5),
                    corner(2.35, 0.5),
                    corner(2.6, 0.25),
                    corner(2.6, 0.65),
                    corner(2.35, 0.9),
                    corner(1.95, 0.9),
                ],
            },
        ],
        shadows_at: Some("21 December, 12 h standard time".to_owned()),
        heading: Some(Num(210.0_f64.to_radians())),
        lengths: vec![
            length("front left", 0.1, 1.75),
            length("air conditioner", 1.85, 2.5),
            length("middle left", 2.6, 4.25),
            length("roof", 0.0, 5.7),
        ],
        widths: vec![length("walkway", -0.08, 0.34), length("roof", -1.18, 1.18)],
    }
}

/// What is gone without in a year over the size of the battery, for three sizes of panels.
fn curve() -> Curve {
    let series = |name: &str, most: f64, fall: f64| Series {
        name: name.to_owned(),
        points: (0..=20)
            .map(|step| {
                let size = 1.0 + f64::from(step) * 0.5;
                let short = most / (1.0 + fall * size * size);
                CurvePoint { x: Num(size * 1000.0 * WATT_HOUR), y: span(short * 1000.0 * WATT_HOUR, short * 220.0 * WATT_HOUR) }
            })
            .collect(),
    };
    let mut alone = series("1000 W, if the roof had room", 22.0, 0.5);
    alone.points.iter_mut().for_each(|point| point.y = exact(point.y.value.0));
    Curve {
        across: Axis { name: "battery".to_owned(), unit: "J".to_owned() },
        up: Axis { name: "gone without in a year".to_owned(), unit: "J".to_owned() },
        series: vec![series("600 W", 70.0, 0.02), series("800 W, as built", 40.0, 0.08), alone],
        levels: vec![Level { name: "borne".to_owned(), y: Num(5.0 * 1000.0 * WATT_HOUR) }],
    }
}
