//! What the ways out of all trades are written with: steps that can be set, edits, numbers in words.

use quantity::{Dim, Dimension, How, Stated, show_exact};
use rig_model::{Edit, EditOp, Free};

use crate::context::Context;

/// Rounds up to a whole number of steps, so that a change is never too small.
#[must_use]
pub fn up_to_step(value: f64, step: f64) -> f64 {
    // What differs from a whole step by rounding alone is that step.
    ((value / step) - f64::EPSILON * (value / step).abs()).ceil() * step
}

/// An edit that sets a quantity, as text in metric units.
#[must_use]
pub fn set(path: impl Into<String>, from: Option<f64>, to: f64, dimension: Dimension) -> Edit {
    let text = |value: f64| Free::Text(show_exact(value, dimension, quantity::System::Metric));
    Edit { path: path.into(), op: EditOp::Set, from: from.map(text), to: Some(text(to)) }
}

/// The same for a stated value, keeping how it is known and how far it may be off: whoever moves a piece measures where
/// it comes to stand.
#[must_use]
pub fn restate<D: Dim>(cx: &Context, path: impl Into<String>, stated: Option<&Stated<D>>, to: f64) -> Edit {
    let path = path.into();
    let mut edit = set(path.clone(), stated.and_then(Stated::value), to, D::DIMENSION);
    // In a table with a value of its own the rest stays anyway.
    let (Some(stated), false) = (stated, cx.document().has(&format!("{path}.value"))) else { return edit };
    if let Some(Free::Text(text)) = &mut edit.to {
        if let (Some(tolerance), None) = (stated.tolerance(), stated.bounds()) {
            text.push_str(" +- ");
            text.push_str(&show_exact(tolerance, D::DIMENSION, quantity::System::Metric));
        }
        if stated.how() != How::Unsaid {
            text.push(' ');
            text.push_str(stated.how().word());
        }
    }
    edit
}

/// A number in words, to a step that things are set and read by.
#[must_use]
pub fn to_step(cx: &Context, value: f64, dimension: Dimension, step: f64) -> String {
    // A tolerance shows two of its own figures: the second is the step.
    const FIGURE: f64 = 10.0;
    quantity::show(value, dimension, system(cx), Some(FIGURE * step))
}

/// The units the rig's reports show.
#[must_use]
pub fn system(cx: &Context) -> quantity::System {
    cx.rig().units.map_or(quantity::System::Metric, |units| units.system())
}
