//! Lines over a number.

use quantity::Num;
use schemars::JsonSchema;
use serde::Serialize;

use super::Span;

/// Named lines over one number, with their ranges.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Curve {
    /// What runs across.
    pub across: Axis,
    /// What runs up.
    pub up: Axis,
    /// The lines.
    pub series: Vec<Series>,
    /// Levels to hold them against.
    pub levels: Vec<Level>,
}

/// What an axis shows.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Axis {
    /// In words, such as "battery".
    pub name: String,
    /// SI unit of its numbers.
    pub unit: String,
}

/// A named line.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Series {
    /// Its name.
    pub name: String,
    /// Its points, in order.
    pub points: Vec<CurvePoint>,
}

/// A point of a line.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CurvePoint {
    /// Across, SI.
    pub x: Num,
    /// Up with its range, SI.
    pub y: Span,
}

/// A level to hold lines against.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Level {
    /// Its name, such as "wanted".
    pub name: String,
    /// Up, SI.
    pub y: Num,
}
