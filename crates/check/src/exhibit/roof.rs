//! The roof seen from above.
//!
//! Lengths in metres: x rearward from the roof's front edge, y to the rig's right from the roof's centre line.

use quantity::Num;
use schemars::JsonSchema;
use serde::Serialize;

use super::Dimensioned;

/// The roof from above, to scale: what lies on it, what is kept free, what lies over what, and shadows at one instant.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoofPlan {
    /// Length of the roof, m.
    pub length: Num,
    /// Width of the roof, m.
    pub width: Num,
    /// Strip along every edge that is kept free, m.
    pub edge: Option<Num>,
    /// Panels.
    pub panels: Vec<RoofPanel>,
    /// Hatches, vents and whatever else stands there.
    pub pieces: Vec<RoofPiece>,
    /// The strip kept free to walk on.
    pub walkway: Option<Walkway>,
    /// Places where two things lie one over the other, or where one lies on what is kept free.
    pub overlaps: Vec<Overlap>,
    /// Shadows at the instant that `shadows_at` names.
    pub shadows: Vec<Shadow>,
    /// The instant of the shadows in words, such as "21 December, 12 h standard time".
    pub shadows_at: Option<String>,
    /// Where the nose points when parked, clockwise from true north, rad.
    pub heading: Option<Num>,
    /// Dimension lines along the roof; ends from its front edge.
    pub lengths: Vec<Dimensioned>,
    /// Dimension lines across the roof; ends from its centre line, to the right.
    pub widths: Vec<Dimensioned>,
}

/// A rectangle on the roof.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Patch {
    /// x of its front edge, m.
    pub x: Num,
    /// y of its left edge, m.
    pub y: Num,
    /// Along the rig, m.
    pub length: Num,
    /// Across the rig, m.
    pub width: Num,
}

/// A panel on the roof.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoofPanel {
    /// Its name.
    pub name: String,
    /// What it covers.
    pub patch: Patch,
    /// What it is rated for, W.
    pub rated: Option<Num>,
}

/// What a piece on the roof is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RoofPieceKind {
    /// A hatch.
    Hatch,
    /// A vent or chimney.
    Vent,
    /// A machine, such as an air conditioner.
    Unit,
    /// A rail.
    Rail,
    /// A box.
    Box,
}

/// A piece on the roof that is no panel.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoofPiece {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: RoofPieceKind,
    /// What it covers.
    pub patch: Patch,
    /// Its height over the roof, m.
    pub height: Option<Num>,
}

/// A strip to walk on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Walkway {
    /// What it covers.
    pub patch: Patch,
    /// The width that is wanted, m.
    pub wanted: Option<Num>,
}

/// Where two things lie one over the other.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Overlap {
    /// The two, by name: panels, pieces, "walkway" or "edge".
    pub of: [String; 2],
    /// What both cover.
    pub patch: Patch,
}

/// The shadow of one piece.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Shadow {
    /// The piece that throws it.
    pub of: String,
    /// Its corners in order; it may reach past the roof.
    pub corners: Vec<Corner>,
}

/// A corner.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Corner {
    /// x, m.
    pub x: Num,
    /// y, m.
    pub y: Num,
}
