//! The data of one picture. Made by a check or by the runner's views; renderers draw it and know nothing of the rig.

mod curve;
mod roof;
mod year;

use quantity::Num;
use schemars::JsonSchema;
use serde::Serialize;

pub use curve::{Axis, Curve, CurvePoint, Level, Series};
pub use roof::{Corner, Overlap, Patch, RoofPanel, RoofPiece, RoofPieceKind, RoofPlan, Shadow, Walkway};
pub use year::{DayHourMap, HourRun, MonthBars, MonthEnergy};

/// One picture's data.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Exhibit {
    /// Unique in the audit; findings name it.
    pub id: String,
    /// What it shows, in words.
    pub title: String,
    /// The state it shows, if one.
    pub state: Option<String>,
    /// The picture.
    pub picture: Picture,
}

/// The kinds of picture there are.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum Picture {
    /// The rig from its left side, to scale.
    SideView(SideView),
    /// The rig from behind, to scale.
    RearView(RearView),
    /// Bars against a limit.
    Bars(Bars),
    /// A year, day by day and hour by hour.
    DayHourMap(DayHourMap),
    /// Energy month by month.
    MonthBars(MonthBars),
    /// The roof seen from above, to scale.
    RoofPlan(RoofPlan),
    /// Lines over a number.
    Curve(Curve),
}

/// What a shape in a view is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PartKind {
    /// Cab and frame.
    Chassis,
    /// Shell of the body.
    Body,
    /// A piece of the load.
    Piece,
    /// A tank.
    Tank,
    /// Somebody on a seat.
    Person,
    /// A piece that is out in this state.
    Out,
    /// The trailer.
    Trailer,
}

/// A box in a view; lengths in metres. Across is x in a side view and y in a rear view.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: PartKind,
    /// Its mass, kg; null where it has none.
    pub mass: Option<Num>,
    /// Near end across, m.
    pub from: Num,
    /// Far end across, m.
    pub to: Num,
    /// Lower edge over ground, m.
    pub bottom: Num,
    /// Upper edge over ground, m.
    pub top: Num,
    /// Whether size was told; a piece without one is drawn as a dot.
    pub sized: bool,
}

/// An axle in a side view.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Wheel {
    /// Name of the axle.
    pub axle: String,
    /// x, m.
    pub x: Num,
    /// Radius under load, m.
    pub radius: Num,
    /// Load on the ground, kg, nominal and range; null where it is not known.
    pub load: Option<Span>,
    /// What the axle is rated for, kg.
    pub rated: Option<Num>,
    /// Whether it is lifted off the ground in this state.
    pub lifted: bool,
}

/// A number with its 95 % interval.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Span {
    /// Nominal value.
    pub value: Num,
    /// Low end.
    pub low: Num,
    /// High end.
    pub high: Num,
}

/// A line from a tyre to the point that touches first.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct GroundLine {
    /// `approach`, `departure` or `breakover`.
    pub name: String,
    /// Angle, rad.
    pub angle: Num,
    /// What touches first.
    pub touches: String,
    /// x of the point that touches, m.
    pub x: Num,
    /// Height of that point over ground, m.
    pub z: Num,
    /// x where the line meets the ground under the tyre, m.
    pub from_x: Num,
}

/// The rig from its left side: x rearward (drawn to the right), z up.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SideView {
    /// Axles, front first.
    pub wheels: Vec<Wheel>,
    /// Boxes, the largest first.
    pub parts: Vec<Part>,
    /// Centre of gravity: x.
    pub centre_x: Option<Span>,
    /// Centre of gravity: height.
    pub centre_z: Option<Span>,
    /// Whole mass, kg.
    pub mass: Option<Span>,
    /// Lines under the rig.
    pub ground_lines: Vec<GroundLine>,
    /// Dimension lines along the ground.
    pub lengths: Vec<Dimensioned>,
    /// Overall height, m.
    pub height: Option<Num>,
}

/// A dimension line.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Dimensioned {
    /// What it measures.
    pub name: String,
    /// From, m.
    pub from: Num,
    /// To, m.
    pub to: Num,
}

/// The rig from behind: y to the right, z up.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RearView {
    /// Track of the narrowest axle, m.
    pub track: Num,
    /// Radius of the wheels under load, m.
    pub radius: Num,
    /// Whether the drawn axle has twin tyres.
    pub twin: bool,
    /// Boxes, the largest first.
    pub parts: Vec<Part>,
    /// Centre of gravity: y.
    pub centre_y: Option<Span>,
    /// Centre of gravity: height.
    pub centre_z: Option<Span>,
    /// Load on the left wheels, kg.
    pub left: Option<Span>,
    /// Load on the right wheels, kg.
    pub right: Option<Span>,
    /// Lean at which a rigid rig tips over its nearer wheels, rad.
    pub tips_rigid: Option<Span>,
    /// The same with springs and tyres giving, rad.
    pub tips_sprung: Option<Span>,
    /// Lean allowed, rad, if a check gave one.
    pub allowed: Option<Num>,
}

/// Bars against a limit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bars {
    /// SI unit of all numbers.
    pub unit: String,
    /// The bars, in order.
    pub bars: Vec<Bar>,
}

/// One bar.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bar {
    /// What it is.
    pub name: String,
    /// Its length with its range.
    pub value: Span,
    /// Its limit.
    pub limit: Option<Num>,
}
