//! How far the rig reaches, and which corners hang low.

use quantity::Estimate;

use crate::gap::Gap;
use crate::item::{Item, ItemKind};
use crate::place::BodyFrame;

/// How far something reaches, and what reaches that far.
#[derive(Clone, Debug, PartialEq)]
pub struct Extent {
    /// Coordinate of the end, m; for a width the whole width.
    pub value: Estimate,
    /// What reaches that far.
    pub by: String,
    /// Its path.
    pub path: String,
}

impl Extent {
    fn of(value: Estimate, by: &str, path: &str) -> Self {
        Self { value, by: by.to_owned(), path: path.to_owned() }
    }
}

/// A corner that could touch the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct Corner {
    /// What it belongs to.
    pub name: String,
    /// Path of that.
    pub path: String,
    /// x, m.
    pub x: Estimate,
    /// Height over ground, m.
    pub z: Estimate,
}

/// What the chassis itself reaches to, as stated.
#[derive(Clone, Debug)]
pub struct ChassisEnds {
    /// x of the front end.
    pub front: Result<Estimate, Gap>,
    /// x of the rear end.
    pub rear: Result<Estimate, Gap>,
    /// Width.
    pub width: Result<Estimate, Gap>,
    /// Height of the cab.
    pub height: Result<Estimate, Gap>,
}

/// The finished rig as measured with a tape, where it was.
#[derive(Clone, Debug)]
pub struct Taped {
    /// Overall height.
    pub height: Option<Estimate>,
    /// Overall width.
    pub width: Option<Estimate>,
    /// Overall length.
    pub length: Option<Estimate>,
}

/// How far the rig reaches in one state.
#[derive(Clone, Debug)]
pub struct Extents {
    /// Foremost point, x.
    pub front: Result<Extent, Gap>,
    /// Rearmost point, x.
    pub rear: Result<Extent, Gap>,
    /// Overall width.
    pub width: Result<Extent, Gap>,
    /// Highest point over ground.
    pub top: Result<Extent, Gap>,
    /// Overall length.
    pub length: Result<Extent, Gap>,
    /// Corners that could touch the ground, in file order.
    pub corners: Vec<Corner>,
}

impl Extents {
    /// From the chassis, the body and the items of a state; a tape reading of the whole wins.
    #[must_use]
    pub fn of(
        items: &[&Item],
        chassis: &ChassisEnds,
        frame: &BodyFrame,
        has_body: bool,
        taped: &Taped,
        low_points: Vec<Corner>,
    ) -> Self {
        let mut fronts = vec![(chassis.front.clone(), "the chassis".to_owned(), "chassis.front_end".to_owned())];
        let mut rears = vec![(chassis.rear.clone(), "the chassis".to_owned(), "chassis.rear_end".to_owned())];
        let mut widths = vec![(chassis.width.clone(), "the chassis".to_owned(), "chassis.width".to_owned())];
        let mut tops = vec![(chassis.height.clone(), "the cab".to_owned(), "chassis.height".to_owned())];
        let mut corners = low_points;
        if has_body {
            let named = |value| (value, "the body".to_owned(), "body".to_owned());
            let ends = |direction: usize| frame.outer(direction);
            fronts.push(named(ends(0).map(|(front, _)| front)));
            rears.push(named(ends(0).map(|(_, rear)| rear)));
            widths.push(named(ends(1).map(|(left, right)| &right - &left)));
            tops.push(named(ends(2).map(|(_, top)| top)));
            if let (Ok((front, rear)), Ok(floor)) = (ends(0), &frame.floor) {
                for (name, x) in [("front of the body", front), ("rear of the body", rear)] {
                    corners.push(Corner { name: name.to_owned(), path: "body".to_owned(), x, z: floor.clone() });
                }
            }
        }
        for item in items.iter().filter(|item| matches!(item.kind, ItemKind::Piece | ItemKind::Tank)) {
            let Some([length, width, height]) = item.size else { continue };
            let [Ok(x), Ok(y), Ok(z)] = &item.at else { continue };
            let named = |value: Estimate| (Ok(value), item.name.clone(), item.path.clone());
            fronts.push(named(x.offset(-length / 2.0)));
            rears.push(named(x.offset(length / 2.0)));
            // Twice the farther side: a width counts from the centreline, as a gate post does.
            let farther = if y.value() < 0.0 { y.scale(-1.0) } else { y.clone() }.offset(width / 2.0);
            widths.push(named(farther.scale(2.0)));
            tops.push(named(z.offset(height / 2.0)));
            if !item.in_body {
                for x in [x.offset(-length / 2.0), x.offset(length / 2.0)] {
                    corners.push(Corner { name: item.name.clone(), path: item.path.clone(), x, z: z.offset(-height / 2.0) });
                }
            }
        }
        let whole = |taped: &Option<Estimate>, key: &str| {
            taped.as_ref().map(|value| Extent::of(value.clone(), "the tape", &format!("envelope.{key}")))
        };
        let front = farthest(fronts, -1.0);
        let rear = farthest(rears, 1.0);
        let length = match (whole(&taped.length, "length"), &front, &rear) {
            (Some(taped), _, _) => Ok(taped),
            (None, Ok(front), Ok(rear)) => Ok(Extent {
                value: &rear.value - &front.value,
                by: format!("from {} to {}", front.by, rear.by),
                path: rear.path.clone(),
            }),
            (None, Err(gap), _) | (None, _, Err(gap)) => Err(gap.clone()),
        };
        Self {
            front,
            rear,
            length,
            width: whole(&taped.width, "width").map_or_else(|| farthest(widths, 1.0), Ok),
            top: whole(&taped.height, "height").map_or_else(|| farthest(tops, 1.0), Ok),
            corners,
        }
    }
}

/// The candidate that reaches farthest; a gap of any candidate is a gap of the whole, since it might reach farther.
fn farthest(candidates: Vec<(Result<Estimate, Gap>, String, String)>, sign: f64) -> Result<Extent, Gap> {
    let mut best: Option<Extent> = None;
    for (value, by, path) in candidates {
        let value = value?;
        if best.as_ref().is_none_or(|best| sign * value.value() > sign * best.value.value()) {
            best = Some(Extent { value, by, path });
        }
    }
    best.ok_or_else(|| Gap::at("chassis"))
}
