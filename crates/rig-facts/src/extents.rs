//! How far the rig reaches, and which corners hang low.

use quantity::{Estimate, Stated, dim};
use rig_model::model::{Chassis, Envelope};

use crate::gap::Gap;
use crate::inputs::{Inputs, Kind};
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

/// What reaches somewhere in every state alike.
#[derive(Clone, Debug)]
pub struct Outline {
    /// The chassis itself.
    pub ends: ChassisEnds,
    /// Readings of the whole.
    pub taped: Taped,
    /// Whether the file has a body.
    pub has_body: bool,
}

impl ChassisEnds {
    /// Reads them.
    pub fn read(chassis: Option<&Chassis>, inputs: &mut Inputs) -> Self {
        let mut end =
            |key: &str, stated: Option<&Stated<dim::Length>>| inputs.take(|| format!("chassis.{key}"), stated, Kind::Length);
        Self {
            front: end("front_end", chassis.and_then(|c| c.front_end.as_ref())),
            rear: end("rear_end", chassis.and_then(|c| c.rear_end.as_ref())),
            width: end("width", chassis.and_then(|c| c.width.as_ref())),
            height: end("height", chassis.and_then(|c| c.height.as_ref())),
        }
    }
}

impl Taped {
    /// Reads them.
    pub fn read(envelope: Option<&Envelope>, inputs: &mut Inputs) -> Self {
        let mut tape = |key: &str, stated: Option<&Stated<dim::Length>>| {
            inputs.take(|| format!("envelope.{key}"), stated, Kind::Length).ok()
        };
        Self {
            height: tape("height", envelope.and_then(|t| t.height.as_ref())),
            width: tape("width", envelope.and_then(|t| t.width.as_ref())),
            length: tape("length", envelope.and_then(|t| t.length.as_ref())),
        }
    }
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
    pub fn of(items: &[&Item], outline: &Outline, frame: &BodyFrame, low_points: Vec<Corner>) -> Self {
        let (chassis, taped) = (&outline.ends, &outline.taped);
        let mut front = Farthest::of(&chassis.front, -1.0, "the chassis", "chassis.front_end");
        let mut rear = Farthest::of(&chassis.rear, 1.0, "the chassis", "chassis.rear_end");
        let mut width = Farthest::of(&chassis.width, 1.0, "the chassis", "chassis.width");
        let mut top = Farthest::of(&chassis.height, 1.0, "the cab", "chassis.height");
        let mut corners = low_points;
        let [along, across, up] = [0, 1, 2].map(|direction| outline.has_body.then(|| frame.outer(direction)));
        let body = [
            along.as_ref().map(|ends| ends.as_ref().map(|(front, _)| front.clone())),
            along.as_ref().map(|ends| ends.as_ref().map(|(_, rear)| rear.clone())),
            across.as_ref().map(|ends| ends.as_ref().map(|(left, right)| right - left)),
            up.as_ref().map(|ends| ends.as_ref().map(|(_, top)| top.clone())),
        ];
        for (end, reached) in [&mut front, &mut rear, &mut width, &mut top].into_iter().zip(&body) {
            reached.iter().for_each(|reached| end.body(reached.as_ref().map_err(|gap| *gap)));
        }
        if let (Some(Ok((front, rear))), Ok(floor)) = (along.as_ref(), &frame.floor) {
            for (name, x) in [("front of the body", front), ("rear of the body", rear)] {
                corners.push(Corner { name: name.to_owned(), path: "body".to_owned(), x: x.clone(), z: floor.clone() });
            }
        }
        for item in items.iter().filter(|item| matches!(item.kind, ItemKind::Piece | ItemKind::Tank)) {
            let Some([length, breadth, height]) = item.size else { continue };
            let [Ok(x), Ok(y), Ok(z)] = &item.at else { continue };
            let reach = |place, sign, half, times| Reach { place, sign, half, times, by: &item.name, path: &item.path };
            front.item(reach(x, 1.0, -length / 2.0, 1.0));
            rear.item(reach(x, 1.0, length / 2.0, 1.0));
            // Twice the farther side: a width counts from the centreline, as a gate post does.
            width.item(reach(y, if y.value() < 0.0 { -1.0 } else { 1.0 }, breadth / 2.0, 2.0));
            top.item(reach(z, 1.0, height / 2.0, 1.0));
            if !item.in_body {
                for x in [x.offset(-length / 2.0), x.offset(length / 2.0)] {
                    corners.push(Corner { name: item.name.clone(), path: item.path.clone(), x, z: z.offset(-height / 2.0) });
                }
            }
        }
        let whole = |taped: &Option<Estimate>, key: &str| {
            taped.as_ref().map(|value| Extent::of(value.clone(), "the tape", &format!("envelope.{key}")))
        };
        let (front, rear) = (front.extent(), rear.extent());
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
            width: whole(&taped.width, "width").map_or_else(|| width.extent(), Ok),
            top: whole(&taped.height, "height").map_or_else(|| top.extent(), Ok),
            corners,
        }
    }
}

/// How far one thing reaches: its place (or its mirror image), half its size farther, counted once or twice.
#[derive(Clone, Copy)]
struct Reach<'a> {
    place: &'a Estimate,
    sign: f64,
    half: f64,
    times: f64,
    by: &'a str,
    path: &'a str,
}

impl Reach<'_> {
    fn value(&self) -> f64 {
        (self.place.value() * self.sign + self.half) * self.times
    }
}

/// What reaches farthest one way; a gap of chassis or body is a gap of the whole, since it might reach farther.
struct Farthest<'a> {
    /// 1 where larger is farther, -1 where smaller is.
    way: f64,
    best: Result<Reach<'a>, &'a Gap>,
}

impl<'a> Farthest<'a> {
    fn of(chassis: &'a Result<Estimate, Gap>, way: f64, by: &'a str, path: &'a str) -> Self {
        let reach = |place| Reach { place, sign: 1.0, half: 0.0, times: 1.0, by, path };
        Self { way, best: chassis.as_ref().map(reach) }
    }

    fn body(&mut self, reached: Result<&'a Estimate, &'a Gap>) {
        match reached {
            Ok(place) => self.item(Reach { place, sign: 1.0, half: 0.0, times: 1.0, by: "the body", path: "body" }),
            Err(gap) if self.best.is_ok() => self.best = Err(gap),
            Err(_) => {}
        }
    }

    fn item(&mut self, reach: Reach<'a>) {
        if let Ok(best) = &mut self.best
            && self.way * reach.value() > self.way * best.value()
        {
            *best = reach;
        }
    }

    fn extent(&self) -> Result<Extent, Gap> {
        let best = self.best.map_err(Clone::clone)?;
        let value = best.place.scale(best.sign).offset(best.half).scale(best.times);
        Ok(Extent::of(value, best.by, best.path))
    }
}
