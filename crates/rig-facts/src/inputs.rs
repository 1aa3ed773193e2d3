//! Every stated value as an independent input with its spread.

use quantity::{Dim, Dimension, Estimate, How, InputId, Stated, Z95};
use rig_model::walk::Given;

use crate::gap::Gap;
use crate::tables;

/// What a stated value is, for its default tolerance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Mass of a piece.
    Mass,
    /// Load under an axle or a wheel.
    AxleLoad,
    /// Place along or across the rig.
    Place,
    /// Height of a centre of gravity.
    Height,
    /// A tape reading.
    Length,
    /// Volume of a tank.
    Volume,
    /// Share of a tank that is filled.
    Fill,
    /// Tyre pressure.
    Pressure,
    /// Stiffness of a spring or an axle.
    Stiffness,
    /// Anything else in a table of the owner's own.
    Other,
    /// Read off a plate or a paper: no spread unless stated.
    Plate,
}

impl Kind {
    fn table(self) -> Option<&'static str> {
        match self {
            Self::Mass => Some("facts/mass-tolerance"),
            Self::AxleLoad => Some("facts/axle-load-tolerance"),
            Self::Place => Some("facts/place-tolerance"),
            Self::Height => Some("facts/height-tolerance"),
            Self::Length => Some("facts/length-tolerance"),
            Self::Volume => Some("facts/volume-tolerance"),
            Self::Fill => Some("facts/fill-tolerance"),
            Self::Pressure => Some("facts/pressure-tolerance"),
            Self::Stiffness => Some("facts/stiffness-tolerance"),
            Self::Other => Some("facts/other-tolerance"),
            Self::Plate => None,
        }
    }
}

/// A stated value that carries a range.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// Path in the rig file.
    pub path: String,
    /// Value, SI.
    pub value: f64,
    /// Standard deviation, SI.
    pub sd: f64,
    /// How it is known.
    pub how: How,
    /// Dimension.
    pub dimension: Dimension,
    /// Whether the spread is between hard bounds (even between them) rather than bell-shaped.
    pub even: bool,
}

/// All inputs of a rig, numbered in the order they are met: file order, so the same file gives the same numbers.
#[derive(Clone, Debug, Default)]
pub struct Inputs {
    /// How many there are before those of the list, where only a part is read again.
    before: usize,
    list: Vec<Input>,
    /// Inputs that share one brochure or one ticket share its error: name of the source and its number.
    shared: Vec<(String, InputId)>,
}

impl Inputs {
    /// All, by number.
    #[must_use]
    pub fn list(&self) -> &[Input] {
        &self.list
    }

    /// The input of that number.
    #[must_use]
    pub fn get(&self, id: InputId) -> Option<&Input> {
        self.list.get(usize::try_from(id.0).ok()?)
    }

    /// A stated value as an estimate.
    ///
    /// # Errors
    /// A gap at `path` when the value is absent or `"?"`.
    pub fn take<D: Dim>(
        &mut self,
        path: impl FnOnce() -> String,
        stated: Option<&Stated<D>>,
        kind: Kind,
    ) -> Result<Estimate, Gap> {
        let Some((stated, value)) = stated.and_then(|stated| Some((stated, stated.value()?))) else {
            return Err(Gap::at(path()));
        };
        let (how, tolerance, bounds, from) = (stated.how(), stated.tolerance(), stated.bounds(), stated.from());
        let given = Given { dimension: D::DIMENSION, value: Some(value), how: Some(how), tolerance, bounds, from };
        Ok(self.take_given(path, value, &given, kind.table()))
    }

    /// The same of a value met on a walk through the rig: its spread is its own, else by that table, else none.
    pub(crate) fn take_given(
        &mut self,
        path: impl FnOnce() -> String,
        value: f64,
        given: &Given<'_>,
        table: Option<&str>,
    ) -> Estimate {
        let how = given.how.unwrap_or(How::Unsaid);
        let (sd, even) = match (given.bounds, given.tolerance) {
            // Hard bounds: even between them, so the half width over the root of three.
            (Some((low, high)), _) => ((high - low) / 2.0 / f64::sqrt(3.0), true),
            (None, Some(tolerance)) => (tolerance / Z95, false),
            (None, None) => (table.map_or(0.0, |table| tables::tolerance(table, how, value)) / Z95, false),
        };
        if sd == 0.0 {
            return Estimate::exact(value);
        }
        let input = |path| Input { path, value, sd, how, dimension: given.dimension, even };
        let id = match given.from {
            Some(source) => match self.shared.iter().find(|(known, _)| known == source) {
                Some((_, id)) => *id,
                None => {
                    let id = self.push(input(path()));
                    self.shared.push((source.to_owned(), id));
                    id
                }
            },
            None => self.push(input(path())),
        };
        Estimate::input(id, value, sd)
    }

    /// An input that the file does not state as such: a default, a scale's error.
    pub fn add(&mut self, path: String, value: f64, sd: f64, how: How, dimension: Dimension, even: bool) -> Estimate {
        if sd == 0.0 {
            return Estimate::exact(value);
        }
        let id = self.push(Input { path, value, sd, how, dimension, even });
        Estimate::input(id, value, sd)
    }

    /// How many there are.
    pub(crate) fn count(&self) -> usize {
        self.before + self.list.len()
    }

    /// As these were when the first `count` had been read, but for the list, which begins empty.
    pub(crate) fn again_from(&self, count: usize) -> Self {
        let known = |id: InputId| usize::try_from(id.0).is_ok_and(|id| id < count);
        let shared = self.shared.iter().filter(|(_, id)| known(*id)).cloned().collect();
        Self { before: count, list: Vec::new(), shared }
    }

    /// Puts what was read from that number on in the place of what stands there.
    pub(crate) fn replace_from(&mut self, first: usize, more: Self) {
        self.list.truncate(first);
        self.list.extend(more.list);
        self.shared = more.shared;
    }

    /// Adds that part of `whole`, which begins where these end.
    pub(crate) fn copy_part(&mut self, whole: &Self, part: &std::ops::Range<usize>) {
        self.list.extend(whole.list.get(part.clone()).unwrap_or_default().iter().cloned());
        self.shared = whole.again_from(part.end).shared;
    }

    /// Whether the list is that part of `whole`: the same paths in the same order, and the same sources shared.
    pub(crate) fn are_part(&self, whole: &Self, part: &std::ops::Range<usize>) -> bool {
        fn paths(list: &[Input]) -> impl Iterator<Item = &String> {
            list.iter().map(|input| &input.path)
        }
        whole.list.get(part.clone()).is_some_and(|part| paths(part).eq(paths(&self.list)))
            && whole.again_from(part.end).shared == self.shared
    }

    /// Whether these are the first of `longer`, input by input: the same paths in the same order.
    #[must_use]
    pub fn begin(&self, longer: &Self) -> bool {
        self.list.len() <= longer.list.len() && self.list.iter().zip(&longer.list).all(|(a, b)| a.path == b.path)
    }

    fn push(&mut self, input: Input) -> InputId {
        let id = InputId(u32::try_from(self.count()).unwrap_or(u32::MAX));
        self.list.push(input);
        id
    }
}
