//! Places in the body's frame, in numbers or words.

use quantity::{Dimension, Estimate, How, Stated, Z95, dim};
use rig_model::model::{Body, Coord, Word};

use crate::gap::Gap;
use crate::inputs::{Inputs, Kind};
use crate::tables;

/// The inside of the body: where its front wall and floor are, and how large it is, m.
#[derive(Clone, Debug)]
pub struct BodyFrame {
    /// x of the front wall's inner face.
    pub front: Result<Estimate, Gap>,
    /// Height of the floor's upper face over ground.
    pub floor: Result<Estimate, Gap>,
    /// Inside length, width, height.
    pub inside: [Result<Estimate, Gap>; 3],
    /// Thickness of the walls; none told counts as nothing.
    pub walls: Estimate,
}

impl BodyFrame {
    /// Reads the frame; without a body every part is a gap at `body`.
    pub fn read(body: Option<&Body>, inputs: &mut Inputs) -> Self {
        let Some(body) = body else {
            let gap = || Err(Gap::at("body"));
            return Self { front: gap(), floor: gap(), inside: [gap(), gap(), gap()], walls: Estimate::exact(0.0) };
        };
        let mut length =
            |key: &str, stated: Option<&Stated<dim::Length>>, kind| inputs.take(|| format!("body.{key}"), stated, kind);
        Self {
            front: length("front", body.front.as_ref(), Kind::Place),
            floor: length("floor", body.floor.as_ref(), Kind::Length),
            inside: [
                length("length", body.length.as_ref(), Kind::Length),
                length("width", body.width.as_ref(), Kind::Length),
                length("height", body.height.as_ref(), Kind::Length),
            ],
            walls: length("walls", body.walls.as_ref(), Kind::Length).unwrap_or(Estimate::exact(0.0)),
        }
    }

    /// Outer faces along one direction (0 x, 1 y, 2 z): lower and upper end, m.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn outer(&self, direction: usize) -> Result<(Estimate, Estimate), Gap> {
        let [length, width, height] = &self.inside;
        let get = |value: &Result<Estimate, Gap>| value.clone();
        match direction {
            0 => {
                let (front, length) = (get(&self.front)?, get(length)?);
                Ok((&front - &self.walls, &(&front + &length) + &self.walls))
            }
            1 => {
                let half = &get(width)?.scale(0.5) + &self.walls;
                Ok((half.scale(-1.0), half))
            }
            _ => {
                let (floor, height) = (get(&self.floor)?, get(height)?);
                // The floor's own thickness is not told; its lower face stands on the frame.
                Ok((floor.clone(), &(&floor + &height) + &self.walls))
            }
        }
    }
}

/// What a place is read from.
#[derive(Debug)]
pub struct Spot<'a> {
    /// Path of the thing.
    pub path: &'a str,
    /// Key of the place: `at` or `out_at` or `centre`.
    pub key: &'a str,
    /// The three numbers or words.
    pub at: Option<&'a [Coord; 3]>,
    /// Whether they are counted from inside the body.
    pub in_body: bool,
    /// Outer size, where told.
    pub size: Option<[f64; 3]>,
    /// Whether it is a corner that a tape reaches, rather than a centre of gravity inside something.
    pub corner: bool,
}

impl Spot<'_> {
    /// Path of one of its coordinates. Written out for every piece of every copy: no formatter.
    fn of(&self, direction: usize) -> String {
        [self.path, ".", self.key, "[", ["1", "2", "3"].get(direction).copied().unwrap_or_default(), "]"].concat()
    }
}

/// Place of a thing in the rig's frame: x, y, z, m.
pub fn place(spot: &Spot<'_>, frame: &BodyFrame, inputs: &mut Inputs) -> [Result<Estimate, Gap>; 3] {
    let Some([x, y, z]) = spot.at else {
        let gap = || Err(Gap::at(format!("{}.{}", spot.path, spot.key)));
        return [gap(), gap(), gap()];
    };
    [coordinate(spot, 0, x, frame, inputs), coordinate(spot, 1, y, frame, inputs), coordinate(spot, 2, z, frame, inputs)]
}

fn coordinate(spot: &Spot<'_>, direction: usize, coord: &Coord, frame: &BodyFrame, inputs: &mut Inputs) -> Result<Estimate, Gap> {
    let path = || spot.of(direction);
    match coord {
        Coord::Length(stated) => {
            let kind = match (spot.corner, direction) {
                (true, _) => Kind::Length,
                (false, 2) => Kind::Height,
                (false, _) => Kind::Place,
            };
            let value = inputs.take(path, Some(stated), kind)?;
            match (spot.in_body, direction) {
                (true, 0) => Ok(&value + frame.front.as_ref().map_err(Clone::clone)?),
                (true, 2) => Ok(&value + frame.floor.as_ref().map_err(Clone::clone)?),
                _ => Ok(value),
            }
        }
        Coord::Word(word) => worded(spot, direction, *word, frame, inputs),
    }
}

/// A word: against a wall, the floor or the roof if the size is told; else somewhere in that half of the body.
fn worded(spot: &Spot<'_>, direction: usize, word: Word, frame: &BodyFrame, inputs: &mut Inputs) -> Result<Estimate, Gap> {
    let inside = frame.inside.get(direction).cloned().unwrap_or_else(|| Err(Gap::at("body")))?;
    let half_of_body = inside.scale(0.5);
    let start = match direction {
        0 => frame.front.clone()?,
        1 => half_of_body.scale(-1.0),
        _ => frame.floor.clone()?,
    };
    let own = spot.size.and_then(|size| size.get(direction).copied());
    let (from_start, doubt, even) = match (word, own) {
        (Word::Centre, _) => (half_of_body, centre_doubt(direction), false),
        (Word::Left | Word::FrontWall | Word::Floor, Some(own)) => (Estimate::exact(own / 2.0), centre_doubt(direction), false),
        (Word::Right | Word::RearWall | Word::Roof, Some(own)) => (inside.offset(-own / 2.0), centre_doubt(direction), false),
        (Word::Left | Word::FrontWall | Word::Floor, None) => (half_of_body.scale(0.5), half_of_body.value() / 2.0, true),
        (Word::Right | Word::RearWall | Word::Roof, None) => {
            (&inside - &half_of_body.scale(0.5), half_of_body.value() / 2.0, true)
        }
    };
    let (path, sd) =
        if even { (format!("{}.size", spot.path), doubt / f64::sqrt(3.0)) } else { (spot.of(direction), doubt / Z95) };
    let off = inputs.add(path, 0.0, sd, How::Unsaid, Dimension::Length, even);
    Ok(&(&start + &from_start) + &off)
}

/// A thing's centre of gravity is not quite the middle of its box.
fn centre_doubt(direction: usize) -> f64 {
    let table = if direction == 2 { "facts/height-tolerance" } else { "facts/place-tolerance" };
    tables::tolerance(table, How::Unsaid, 0.0)
}
