//! A value and how it is known.

use std::fmt;
use std::marker::PhantomData;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a value is known. Each kind has a default tolerance, which is not this crate's business.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum How {
    /// Read off a scale.
    Weighed,
    /// Read off a plate or stamp of the thing itself.
    DataPlate,
    /// Taken with a tape, gauge or meter.
    Measured,
    /// From a brochure, a manual or the seller.
    Brochure,
    /// Guessed or worked out; "about 300 kg" too.
    Estimated,
    /// No word was given.
    #[default]
    Unsaid,
}

impl How {
    /// The words a file may use, in the order they are listed to people.
    pub const SAID: [How; 5] = [How::Weighed, How::DataPlate, How::Measured, How::Brochure, How::Estimated];

    /// The word of the file: "data-plate".
    pub fn word(self) -> &'static str {
        match self {
            How::Weighed => "weighed",
            How::DataPlate => "data-plate",
            How::Measured => "measured",
            How::Brochure => "brochure",
            How::Estimated => "estimated",
            How::Unsaid => "unsaid",
        }
    }
}

/// A value of dimension `D` as somebody stated it: the value, how it is known, and how far it may be off.
///
/// From text: "1480 kg", "about 300 kg", "300 kg weighed", "280 to 340 kg", "300 kg +- 20 kg", "?" (not known yet).
/// From a table: `{ value = "300 kg", how = "weighed", tolerance = "20 kg", bounds = true, from = "TICKET 12" }`.
pub struct Stated<D> {
    pub(crate) said: Said,
    dimension: PhantomData<fn() -> D>,
}

/// What was stated, whatever the dimension. SI.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Said {
    pub(crate) value: Option<f64>,
    pub(crate) how: How,
    pub(crate) tolerance: Option<f64>,
    pub(crate) bounds: Option<(f64, f64)>,
    pub(crate) from: Option<String>,
}

impl<D> Stated<D> {
    pub(crate) fn of(said: Said) -> Stated<D> {
        Stated { said, dimension: PhantomData }
    }

    /// A value in SI and how it is known; no tolerance of its own.
    pub fn new(value: f64, how: How) -> Stated<D> {
        Stated::of(Said { value: Some(value), how, ..Said::default() })
    }

    /// A value in SI that is meant exactly: tolerance 0.
    pub fn exact(value: f64) -> Stated<D> {
        Stated::of(Said { value: Some(value), tolerance: Some(0.0), ..Said::default() })
    }

    /// Not known yet: "?".
    pub fn unknown() -> Stated<D> {
        Stated::of(Said::default())
    }

    /// The same with a 95 % half width of its own, in SI.
    pub fn with_tolerance(mut self, tolerance: f64) -> Stated<D> {
        self.said.tolerance = Some(tolerance);
        self.said.bounds = None;
        self
    }

    /// The same between hard bounds, in SI.
    pub fn with_bounds(mut self, low: f64, high: f64) -> Stated<D> {
        self.said.bounds = Some((low, high));
        self.said.tolerance = None;
        self
    }

    /// The same with where it comes from; values from one source share an error.
    pub fn with_from(mut self, from: impl Into<String>) -> Stated<D> {
        self.said.from = Some(from.into());
        self
    }

    /// The value in SI; `None` if it is not known yet. For "280 to 340 kg" the middle.
    pub fn value(&self) -> Option<f64> {
        self.said.value
    }

    /// How it is known.
    pub fn how(&self) -> How {
        self.said.how
    }

    /// Its own 95 % half width in SI, if one was stated. `None` beside hard bounds.
    pub fn tolerance(&self) -> Option<f64> {
        self.said.tolerance
    }

    /// Hard bounds in SI, lower first, if they were stated.
    pub fn bounds(&self) -> Option<(f64, f64)> {
        self.said.bounds
    }

    /// The ticket, brochure or scale it comes from.
    pub fn from(&self) -> Option<&str> {
        self.said.from.as_deref()
    }

    /// Not known yet.
    pub fn is_unknown(&self) -> bool {
        self.said.value.is_none()
    }
}

impl<D> Clone for Stated<D> {
    fn clone(&self) -> Self {
        Stated::of(self.said.clone())
    }
}

impl<D> PartialEq for Stated<D> {
    fn eq(&self, other: &Self) -> bool {
        self.said == other.said
    }
}

impl<D> fmt::Debug for Stated<D> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.said.fmt(f)
    }
}
