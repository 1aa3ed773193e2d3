//! Pieces given by kind: `like = "kitchen block"` and how much of it.

use quantity::{Dimension, Estimate, How};
use rig_model::Thing;
use rig_model::model::{Body, Mass};

use crate::gap::Gap;
use crate::inputs::{Inputs, Kind};
use crate::parts::{Against, By, Over, Part, PartsBook};
use crate::place::BodyFrame;

/// Mass of a piece given by kind, kg. None where it names no kind, or its mass is told.
pub fn mass(mass: &Mass, path: &str, parts: &PartsBook, inputs: &mut Inputs) -> Option<Result<Estimate, Gap>> {
    let name = mass.like.as_ref().filter(|_| mass.mass.is_none())?;
    let Some(part) = parts.find(name) else { return Some(Err(Gap::at(format!("{path}.like")))) };
    Some(measure(mass, part, path, inputs).map(|measure| &each(part, &format!("{path}.mass"), inputs) * &measure))
}

/// Mass of one piece of a thing of its own table given by kind, kg: by what its label says of one, which is meant exactly, for
/// the part has its own range. None where it names no kind, or its mass is told.
pub fn labelled(thing: &dyn Thing, path: &str, parts: &PartsBook, inputs: &mut Inputs) -> Option<Result<Estimate, Gap>> {
    let name = thing.like().filter(|_| thing.mass().is_none())?;
    let Some(part) = parts.find(name) else { return Some(Err(Gap::at(format!("{path}.like")))) };
    let amount = thing.amount();
    let (key, value) = match part.by {
        By::Piece => ("count", Some(1.0)),
        By::Watt => ("rated", amount.power),
        By::AmpHour => ("capacity", amount.charge),
        By::KilowattHour => ("energy", amount.energy),
        By::SquareMetre => ("size", thing.size().and_then(|[length, width, _]| Some(length.value()? * width.value()?))),
        By::Metre | By::Litre | By::PersonWeek => ("mass", None),
    };
    let Some(value) = value else { return Some(Err(Gap::at(format!("{path}.{key}")))) };
    Some(Ok(each(part, &format!("{path}.mass"), inputs).scale(value)))
}

/// Mass of the shell of a body given by kind: its inside faces in that wall, kg.
pub fn shell(body: &Body, frame: &BodyFrame, parts: &PartsBook, inputs: &mut Inputs) -> Option<Result<Estimate, Gap>> {
    let name = body.like.as_ref().filter(|_| body.mass.is_none())?;
    let Some(part) = parts.find(name) else { return Some(Err(Gap::at("body.like"))) };
    Some(faces(frame).map(|area| &each(part, "body.mass", inputs) * &area))
}

/// Area of the six inside faces, m2.
fn faces(frame: &BodyFrame) -> Result<Estimate, Gap> {
    let [length, width, height] = &frame.inside;
    let (length, width, height) = (length.clone()?, width.clone()?, height.clone()?);
    let half = &(&(&length * &width) + &(&length * &height)) + &(&width * &height);
    Ok(half.scale(2.0))
}

/// Mass of one of what the part is counted by, in SI: anything between its low and its high mass.
fn each(part: &Part, path: &str, inputs: &mut Inputs) -> Estimate {
    // Per SI unit of the measure, so that 1 here is 1 m3 and not 1 L.
    let (_, low, high) = part.mass(1.0);
    let sd = (high - low) / 2.0 / f64::sqrt(3.0);
    inputs.add(path.to_owned(), (low + high) / 2.0, sd, How::Estimated, Dimension::Mass, true)
}

/// How much of the part, SI; a plain number for pieces and person-weeks.
fn measure(mass: &Mass, part: &Part, path: &str, inputs: &mut Inputs) -> Result<Estimate, Gap> {
    let key = |key: &str| format!("{path}.{key}");
    match part.by {
        // `count` is multiplied in by the ledger.
        By::Piece | By::PersonWeek => Ok(Estimate::exact(1.0)),
        By::Metre => inputs.take(|| key("length"), mass.length.as_ref(), Kind::Length),
        By::SquareMetre => inputs.take(|| key("area"), mass.area.as_ref(), Kind::Plate),
        By::Litre => inputs.take(|| key("volume"), mass.volume.as_ref(), Kind::Volume),
        By::Watt => inputs.take(|| key("power"), mass.power.as_ref(), Kind::Plate),
        By::AmpHour => inputs.take(|| key("charge"), mass.charge.as_ref(), Kind::Plate),
        By::KilowattHour => inputs.take(|| key("energy"), mass.energy.as_ref(), Kind::Plate),
    }
}

/// Whether a piece given by kind usually hangs on the frame or sits in the cab, while its place is not told.
pub fn hangs_on_chassis(thing: &dyn Thing, parts: &PartsBook) -> bool {
    let usual = || parts.find(thing.like()?)?.place.as_ref();
    let told = thing.at().is_some() || thing.of().is_some();
    !told
        && usual()
            .is_some_and(|usual| usual.over == Over::Frame || matches!(usual.against, Some(Against::FrameSide | Against::Cab)))
}

/// Where a piece given by kind usually is, while its place is not told: anywhere along and across the body, at the height
/// the kind usually has. None where it names no kind, or its place is told.
pub fn place(
    thing: &dyn Thing,
    path: &str,
    parts: &PartsBook,
    frame: &BodyFrame,
    inputs: &mut Inputs,
) -> Option<[Result<Estimate, Gap>; 3]> {
    let name = thing.like().filter(|_| thing.at().is_none() && thing.of().is_none())?;
    let usual = parts.find(name)?.place.clone()?;
    let mut anywhere = |direction: usize| -> Result<Estimate, Gap> {
        let (low, high) = frame.outer(direction)?;
        let half = (high.value() - low.value()) / 2.0;
        let off =
            inputs.add(format!("{path}.at[{}]", direction + 1), 0.0, half / f64::sqrt(3.0), How::Unsaid, Dimension::Length, true);
        Ok(&(&low + &high).scale(0.5) + &off)
    };
    let (x, y) = (anywhere(0), anywhere(1));
    let base = match usual.over {
        Over::Floor => frame.floor.clone(),
        Over::Roof => frame.outer(2).map(|(_, top)| top),
        Over::Frame => frame.floor.clone(),
    };
    let height = inputs.take(|| format!("{path}.at[3]"), Some(&usual.height), Kind::Height);
    let z = base.and_then(|base| Ok(&base + &height?));
    Some([x, y, z])
}
