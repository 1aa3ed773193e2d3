//! Generic parts: what a piece, a metre, a square metre ... of each kind weighs, and where it usually is.
//!
//! Without brands; an owner's own parts join them and win by name. Nearly all parts of a kind lie between the low and
//! the high mass; the basis says whether they were computed from sizes or are what the trade reckons with.
//!
//! | module     | holds                                          |
//! |------------|------------------------------------------------|
//! | `book`     | the owner's parts over the shipped ones         |
//! | `load`     | the text of a parts file, read                  |
//! | `search`   | search by words, nearest names                  |
//! | `derived`  | computed masses, computed again (tests only)    |

mod book;
pub(crate) mod load;
pub(crate) mod search;

#[cfg(test)]
mod derived;

pub use book::PartsBook;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use basis::{Basis, LoadError};
use quantity::{Dimension, Stated, dim};
use serde::{Deserialize, Serialize};

const SHIPPED: &str = include_str!("../data/parts.toml");

static LIBRARY: LazyLock<Parts> = LazyLock::new(|| Parts::load(SHIPPED).unwrap_or_default());

/// What a part's mass is counted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum By {
    /// One of them.
    Piece,
    /// A metre of length.
    Metre,
    /// A square metre.
    SquareMetre,
    /// A litre of volume.
    Litre,
    /// A watt of power.
    Watt,
    /// An ampere hour of charge.
    AmpHour,
    /// A kilowatt hour of energy.
    KilowattHour,
    /// What one person needs for one week.
    PersonWeek,
}

impl By {
    /// In words: "square metre".
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Piece => "piece",
            Self::Metre => "metre",
            Self::SquareMetre => "square metre",
            Self::Litre => "litre",
            Self::Watt => "watt",
            Self::AmpHour => "ampere hour",
            Self::KilowattHour => "kilowatt hour",
            Self::PersonWeek => "person and week",
        }
    }

    /// Dimension of the measure; `None` where it is a plain number (pieces, persons times weeks).
    #[must_use]
    pub fn dimension(self) -> Option<Dimension> {
        self.unit().map(|(dimension, _)| dimension)
    }

    fn unit(self) -> Option<(Dimension, &'static str)> {
        match self {
            Self::Piece | Self::PersonWeek => None,
            Self::Metre => Some((Dimension::Length, "1 m")),
            Self::SquareMetre => Some((Dimension::Area, "1 m2")),
            Self::Litre => Some((Dimension::Volume, "1 L")),
            Self::Watt => Some((Dimension::Power, "1 W")),
            Self::AmpHour => Some((Dimension::Charge, "1 Ah")),
            Self::KilowattHour => Some((Dimension::Energy, "1 kWh")),
        }
    }

    /// One of it in SI: 0.001 m3 for a litre.
    fn one(self) -> f64 {
        self.unit().map_or(1.0, |(dimension, text)| quantity::parse(text, dimension).unwrap_or(f64::NAN))
    }
}

/// What the height of a usual place is counted from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Over {
    /// Upper face of the body's floor.
    Floor,
    /// Outer face of the body's roof.
    Roof,
    /// Upper edge of the chassis frame.
    Frame,
}

/// What a part usually stands against or hangs on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Against {
    /// Inside, on the left or the right wall.
    SideWall,
    /// Inside, on the front wall.
    FrontWall,
    /// Inside, on the rear wall.
    RearWall,
    /// Outside, on the left or the right wall.
    OutsideSideWall,
    /// Outside, behind the rear wall.
    BehindRearWall,
    /// On the side of the chassis frame.
    FrameSide,
    /// In the driver's cab.
    Cab,
}

/// Where a part usually is.
#[derive(Clone, Debug, PartialEq)]
pub struct UsualPlace {
    /// What the height is counted from.
    pub over: Over,
    /// Height of its centre, m; below is negative.
    pub height: Stated<dim::Length>,
    /// What it stands against, where there is a habit.
    pub against: Option<Against>,
}

/// A mass and the range that nearly all such parts keep, kg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MassRange {
    /// The usual one.
    pub usual: f64,
    /// Few are lighter.
    pub low: f64,
    /// Few are heavier.
    pub high: f64,
}

/// A kind of part.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Name, as an owner says it: "sandwich wall 60 mm".
    pub name: String,
    /// Group that lists put it in: "walls".
    pub group: String,
    /// What its mass is counted by.
    pub by: By,
    /// Mass of one `by`.
    pub each: MassRange,
    /// Where it usually is.
    pub place: Option<UsualPlace>,
    /// Other words for it, for search.
    pub words: Vec<String>,
    /// Where the mass comes from.
    pub basis: Basis,
}

impl Part {
    /// Mass of that much of it, kg: usual, low, high. `measure` is SI of [`By::dimension`] (m, m2, m3, W, C, J), or the
    /// number of pieces, or persons times weeks.
    #[must_use]
    pub fn mass(&self, measure: f64) -> (f64, f64, f64) {
        let times = measure / self.by.one();
        (self.each.usual * times, self.each.low * times, self.each.high * times)
    }
}

/// A library of parts, in file order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Parts {
    list: Vec<Part>,
    /// Number of each part by its name without case, marks and plural.
    by_key: BTreeMap<String, usize>,
    place_basis: Option<Basis>,
}

impl Parts {
    /// Reads a parts file (TOML, `[[part]]` entries) in which every part has a basis.
    ///
    /// # Errors
    /// The first entry that does not hold together: unreadable mass, usual outside low and high, no basis, a name twice.
    pub fn load(text: &str) -> Result<Self, LoadError> {
        load::read(text, None)
    }

    /// The parts that come with the program.
    #[must_use]
    pub fn shipped() -> &'static Self {
        &LIBRARY
    }

    /// These parts and an owner's own, which win by name. A part of the owner's that names no basis stands as the owner's
    /// word. Its mass may be one text too: "about 12 kg", "10 to 14 kg", "12.4 kg weighed".
    ///
    /// # Errors
    /// As [`Parts::load`], for the owner's text.
    pub fn with_own(&self, text: &str) -> Result<Self, LoadError> {
        let own = load::read(text, Some(&load::owners_word()))?;
        let mut all = self.clone();
        all.place_basis = all.place_basis.or(own.place_basis);
        for part in own.list {
            all.put(part);
        }
        Ok(all)
    }

    /// All, in file order.
    #[must_use]
    pub fn list(&self) -> &[Part] {
        &self.list
    }

    /// Where the usual places come from; `None` where no part has one.
    #[must_use]
    pub fn place_basis(&self) -> Option<&Basis> {
        self.place_basis.as_ref()
    }

    /// The part of that name; case, spaces, punctuation and plural do not matter: "Birch plywood, 15mm".
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&Part> {
        self.list.get(*self.by_key.get(&search::key(name))?)
    }

    /// Parts whose name, other words or group hold every one of `words`, the best first; all where `words` is empty.
    #[must_use]
    pub fn search(&self, words: &str) -> Vec<&Part> {
        search::matching(&self.list, words)
    }

    /// Names of the parts most like a name that is none, the likest first, three at most; none where nothing is alike.
    #[must_use]
    pub fn nearest(&self, name: &str) -> Vec<&str> {
        search::nearest(&self.list, name)
    }

    /// Puts a part in, in the place of the one with its name.
    fn put(&mut self, part: Part) {
        let key = search::key(&part.name);
        match self.by_key.get(&key).and_then(|index| self.list.get_mut(*index)) {
            Some(known) => *known = part,
            None => {
                self.by_key.insert(key, self.list.len());
                self.list.push(part);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_parts_load_and_are_many() {
        let parts = Parts::load(SHIPPED).expect("loads");
        assert!(parts.list().len() >= 130, "{}", parts.list().len());
        assert_eq!(&parts, Parts::shipped());
        for part in parts.list() {
            assert_eq!(parts.find(&part.name), Some(part));
            let MassRange { usual, low, high } = part.each;
            assert!(0.0 < low && low < usual && usual < high, "{}", part.name);
            assert!(high <= 8.0 * low, "{}: {low} to {high} kg says nothing", part.name);
        }
    }

    #[test]
    fn every_kind_of_measure_is_used_and_counts_as_said() {
        let mass = |name: &str, measure: &str| {
            let part = Parts::shipped().find(name).expect(name);
            let si = part
                .by
                .dimension()
                .map_or_else(|| measure.parse().expect("number"), |d| quantity::parse(measure, d).expect("reads"));
            part.mass(si)
        };
        // By hand, from the numbers in the file.
        for (name, measure, usual, low, high) in [
            ("gas cylinder 11 kg", "2", 46.0, 33.0, 50.0),
            ("kitchen block", "1.2 m", 42.0, 30.0, 60.0),
            ("vinyl floor", "8 m2", 24.0, 16.0, 36.0),
            ("gas tank, empty", "60 L", 30.0, 21.0, 42.0),
            ("flexible solar panel", "400 W", 10.0, 6.4, 15.2),
            ("lead battery 12 V", "100 Ah", 31.2, 25.2, 39.6),
            ("lithium battery", "2.56 kWh", 23.04, 17.92, 28.16),
            ("food", "6", 66.0, 42.0, 102.0),
        ] {
            let got = mass(name, measure);
            for (got, want) in [(got.0, usual), (got.1, low), (got.2, high)] {
                assert!((got - want).abs() < 1e-9, "{name}: {got} {want}");
            }
        }
    }

    /// Two ways to say the same battery or panel agree within what is said of both.
    #[test]
    fn pieces_agree_with_the_same_thing_by_measure() {
        let parts = Parts::shipped();
        for (piece, measured, measure, dimension) in [
            ("lithium battery 100 Ah 12 V", "lithium battery 12 V", "100 Ah", Dimension::Charge),
            ("lithium battery 300 Ah 12 V", "lithium battery", "3.84 kWh", Dimension::Energy),
            ("lithium battery 100 Ah 24 V", "lithium battery 24 V", "100 Ah", Dimension::Charge),
            ("lead battery 200 Ah 12 V", "lead battery", "2.4 kWh", Dimension::Energy),
            ("solar panel 100 W", "solar panel", "100 W", Dimension::Power),
            ("solar panel 400 W", "solar panel", "400 W", Dimension::Power),
            ("mattress 140 x 200", "mattress 120 mm", "2.8 m2", Dimension::Area),
        ] {
            let (one, _, _) = parts.find(piece).expect(piece).mass(1.0);
            let (_, low, high) = parts.find(measured).expect(measured).mass(quantity::parse(measure, dimension).expect("reads"));
            assert!(low < one && one < high, "{piece}: {one} is not between {low} and {high}");
        }
    }

    #[test]
    fn usual_places_are_on_a_truck_and_have_a_basis() {
        assert!(Parts::shipped().place_basis().is_some());
        for part in Parts::shipped().list() {
            let Some(place) = &part.place else { continue };
            let height = place.height.value().expect("told");
            let (low, high) = match place.over {
                Over::Floor => (-0.6, 2.2),
                Over::Roof => (0.0, 0.5),
                Over::Frame => (-0.6, 0.3),
            };
            assert!(low <= height && height <= high, "{}: {height}", part.name);
            assert_eq!(place.height.how(), quantity::How::Estimated, "{}", part.name);
        }
    }

    /// A brand is a proper noun: no word begins with a capital but a unit and the name of a section.
    #[test]
    fn no_word_is_a_brand() {
        let allowed = ["L", "V", "W", "Ah", "AWG", "UPN", "R20", "C3x4.1", "C4x5.4", "C6x8.2"];
        for part in Parts::shipped().list() {
            for text in part.words.iter().chain([&part.name, &part.group]) {
                for word in text.split([' ', ',', '/']).filter(|word| word.starts_with(char::is_uppercase)) {
                    assert!(allowed.contains(&word), "{}: `{word}`", part.name);
                }
            }
        }
    }

    #[test]
    fn an_owners_parts_win_by_name() {
        let text = r#"
[[part]]
name = "Kitchen Block"
by = "metre"
mass = "31 kg weighed"
[[part]]
name = "grandmother's sideboard"
by = "piece"
mass = "40 to 60 kg"
place = { over = "floor", height = "0.5 m", against = "side-wall" }
"#;
        let parts = Parts::shipped().with_own(text).expect("loads");
        assert_eq!(parts.list().len(), Parts::shipped().list().len() + 1);
        let block = parts.find("kitchen block").expect("is there");
        assert_eq!(block.name, "Kitchen Block");
        // 2 % of a weighed mass: 0.62 kg.
        assert!((block.each.low - 30.38).abs() < 1e-9 && (block.each.high - 31.62).abs() < 1e-9, "{:?}", block.each);
        assert_eq!(block.basis.kind, basis::BasisKind::Owner);
        assert_eq!(parts.find("grandmothers sideboard"), None);
        let own = parts.find("grandmother's  sideboard").expect("is there");
        assert_eq!(own.mass(1.0), (50.0, 40.0, 60.0));
    }
}
