//! Where in the yard an input is got, with what, what usually comes out, and how far a reading may be off.

use std::sync::LazyLock;

use basis::pack::unpack;
use basis::{Basis, Cell, LimitSet, Table};
use quantity::{Dimension, How};
use rig_model::Free;
use serde::Deserialize;
use serde::de::value::StrDeserializer;

use crate::tables;

const ASK: &[u8] = basis::packed!("ask");

static SET: LazyLock<Option<LimitSet>> = LazyLock::new(|| unpack::<LimitSet>(ASK).ok());

/// Rows in file order: path, and what stands beside it.
static ROWS: LazyLock<Vec<(String, Ask)>> = LazyLock::new(|| {
    let Some(table) = SET.as_ref().and_then(|set| set.table("yard/ask")) else { return Vec::new() };
    table.rows.iter().filter_map(|row| Ask::read(table, row)).collect()
});

/// How an input is got.
#[derive(Clone, Debug, PartialEq)]
pub struct Ask {
    /// With what.
    pub tool: String,
    /// Where one stands: a place of [`walk`], or "axle" for the axle at hand.
    pub place: String,
    /// What usually comes out.
    pub expected: Expected,
    /// How it is then known; none where the file takes no such word.
    pub how: Option<How>,
    /// Where the row comes from.
    pub basis: Basis,
    spread: Spread,
}

/// What usually comes out.
#[derive(Clone, Debug, PartialEq)]
pub enum Expected {
    /// Nothing that could be tried.
    Nothing,
    /// A quantity between two, SI.
    Quantity {
        /// Its dimension.
        dimension: Dimension,
        /// Lowest usual one.
        low: f64,
        /// Highest usual one.
        high: f64,
    },
    /// A plain number between two.
    Number {
        /// Lowest usual one.
        low: f64,
        /// Highest usual one.
        high: f64,
    },
    /// One of these.
    OneOf(Vec<String>),
    /// A word such as this.
    Word(String),
    /// An entry of a list such as this.
    Entry(Free),
    /// A table of several values.
    Table,
}

#[derive(Clone, Debug, PartialEq)]
enum Spread {
    None,
    Width(f64),
    Table(String),
}

impl Ask {
    /// 95 % half width that a reading of that value has, SI; none where the file takes none.
    #[must_use]
    pub fn spread(&self, value: f64) -> Option<f64> {
        match (&self.spread, self.how) {
            (Spread::Width(width), _) => Some(*width),
            (Spread::Table(id), Some(how)) => Some(tables::tolerance(id, how, value)).filter(|width| width.is_finite()),
            _ => None,
        }
    }

    /// 95 % half width of a value known in another way, SI, where that is a matter of how it is known.
    #[must_use]
    pub fn known(&self, how: How, value: f64) -> Option<f64> {
        match &self.spread {
            Spread::Table(id) => Some(tables::tolerance(id, how, value)),
            _ => None,
        }
    }

    /// Whether the half width is the reading's own and no matter of how it is known: then it is to be written beside it.
    #[must_use]
    pub fn is_own_spread(&self) -> bool {
        matches!(self.spread, Spread::Width(width) if width > 0.0)
    }

    /// Dimension of what comes out, if it has one.
    #[must_use]
    pub fn dimension(&self) -> Option<Dimension> {
        match self.expected {
            Expected::Quantity { dimension, .. } => Some(dimension),
            _ => None,
        }
    }

    fn read(table: &Table, row: &[Cell]) -> Option<(String, Self)> {
        let word = |name: &str| {
            let at = table.columns.iter().position(|column| column == name)?;
            match row.get(at)? {
                Cell::Word(word) => Some(word.as_str()),
                Cell::Number(_) => None,
            }
        };
        let (low, high) = (word("low")?, word("high")?);
        let expected = match word("kind")? {
            "-" => Expected::Nothing,
            "table" => Expected::Table,
            "number" => Expected::Number { low: low.parse().ok()?, high: high.parse().ok()? },
            "one-of" => Expected::OneOf(low.split('|').map(str::to_owned).collect()),
            "word" => Expected::Word(low.to_owned()),
            "entry" => Expected::Entry(entry(low)?),
            kind => {
                let dimension = dimension(kind)?;
                let number = |text: &str| quantity::parse(text, dimension).ok();
                Expected::Quantity { dimension, low: number(low)?, high: number(high)? }
            }
        };
        let spread = match (word("spread")?, &expected) {
            ("-", _) => Spread::None,
            (id, _) if id.contains('/') && tables::table(id).is_some() => Spread::Table(id.to_owned()),
            (text, Expected::Quantity { dimension, .. }) => Spread::Width(quantity::parse(text, *dimension).ok()?),
            _ => return None,
        };
        let how = match word("how")? {
            "-" => None,
            said => Some(How::SAID.into_iter().find(|how| how.word() == said)?),
        };
        let (tool, place) = (word("tool")?.to_owned(), word("place")?.to_owned());
        Some((word("path")?.to_owned(), Self { tool, place, expected, how, basis: table.basis.clone(), spread }))
    }
}

fn dimension(word: &str) -> Option<Dimension> {
    Dimension::deserialize(StrDeserializer::<serde::de::value::Error>::new(word)).ok()
}

/// An entry written as an inline table.
fn entry(text: &str) -> Option<Free> {
    #[derive(Deserialize)]
    struct Only {
        entry: Free,
    }
    toml::from_str::<Only>(&format!("entry = {text}")).ok().map(|only| only.entry)
}

/// How an input is got; the nearest parent's way where it has none of its own.
#[must_use]
pub fn ask(path: &str) -> Option<&'static Ask> {
    nearest(path, |_| true)
}

/// The same for an input that comes out in that dimension, such as a fill in litres; none where nothing is asked so.
#[must_use]
pub fn ask_as(path: &str, dimension: Dimension) -> Option<&'static Ask> {
    nearest(path, |ask| ask.dimension() == Some(dimension))
}

fn nearest(path: &str, fits: impl Fn(&Ask) -> bool) -> Option<&'static Ask> {
    let mut bare = tables::without_names(path);
    // The third number of a place is its height.
    if path.ends_with("[3]") {
        bare.push_str(".3");
    }
    loop {
        let row = |name: &str| ROWS.iter().find(|(known, ask)| *known == name && fits(ask));
        if let Some((_, ask)) = tables::as_piece(&bare, row) {
            return Some(ask);
        }
        let at = bare.rfind('.')?;
        bare.truncate(at);
    }
}

/// A place of the yard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Its name, as the ways of asking use it.
    pub name: String,
    /// The same as one says it: "under the truck".
    pub stand: String,
    /// What to be careful of there; may be empty.
    pub careful: String,
}

/// Which stop of the walk round the yard a place is, from 1; an unknown place comes last.
#[must_use]
pub fn walk(place: &str) -> usize {
    places().iter().position(|known| known.name == place).unwrap_or(places().len()) + 1
}

/// Every path that has a way of its own, with it, in the order of the list.
pub fn all() -> impl Iterator<Item = (&'static str, &'static Ask)> {
    ROWS.iter().map(|(path, ask)| (path.as_str(), ask))
}

/// The places of the yard, in the order one walks them.
#[must_use]
pub fn places() -> &'static [Place] {
    static PLACES: LazyLock<Vec<Place>> = LazyLock::new(|| {
        let Some(table) = SET.as_ref().and_then(|set| set.table("yard/places")) else { return Vec::new() };
        let cautions = table.words("place", "careful").map(|(_, careful)| careful.to_owned());
        let stands = table.words("place", "where").map(|(name, stand)| (name.to_owned(), stand.to_owned()));
        stands.zip(cautions).map(|((name, stand), careful)| Place { name, stand, careful }).collect()
    });
    &PLACES
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_reads_and_stands_somewhere_in_the_yard() {
        let set = unpack::<LimitSet>(ASK).expect("it loads");
        let table = set.table("yard/ask").expect("it is there");
        for row in &table.rows {
            let (path, ask) = Ask::read(table, row).unwrap_or_else(|| panic!("{row:?}"));
            assert!(ask.place == "axle" || walk(&ask.place) <= places().len(), "{path} stands at {}", ask.place);
            assert!(!tables::how_to_get(&path).starts_with("measure it, or"), "{path}: nobody says how to get it");
            if let Expected::Quantity { low, high, .. } = ask.expected {
                assert!(low < high, "{path}");
                let spread = ask.spread((low + high) / 2.0);
                assert_eq!(spread.is_some(), ask.how.is_some(), "{path}");
                assert!(spread.is_none_or(|spread| spread < (high - low) / 2.0), "{path}: a reading tells no more than a guess");
            }
        }
    }

    #[test]
    fn what_falls_back_to_its_parent_and_what_does_not() {
        assert_eq!(ask("axle[\"rear left\"].tyre.pressure").map(|ask| &*ask.tool), Some("checked gauge"));
        assert_eq!(ask("state[\"2 up\"].fill.\"fresh water\"").and_then(Ask::dimension), Some(Dimension::Ratio));
        assert_eq!(ask_as("state[x].fill.fresh", Dimension::Volume).map(|ask| &*ask.tool), Some("water meter or bucket"));
        assert_eq!(ask_as("state[x].fill.fresh", Dimension::Speed), None);
        assert_eq!(ask("nothing.like.it"), None);
        let [across, up] = ["mass[press].at[2]", "mass[press].at[3]"].map(|path| ask(path).and_then(|ask| ask.spread(1.0)));
        assert_eq!((across, up), (Some(0.02), Some(0.05)));
    }

    /// 4 t with its centre 0.9 m up, one side on planks of 0.2 m, track 1.94 m, 10 kg standard deviation a side: by hand
    /// 192 kg move over and 33 mm come out; twice that in squares, at 95 %.
    #[test]
    fn the_half_width_of_the_centre_follows_from_planks_and_pads() {
        let (mass, height, track, rise, pad): (f64, f64, f64, f64, f64) = (4000.0, 0.9, 1.94, 0.2, 10.0);
        let moved = mass * height * (rise / (track * track - rise * rise).sqrt()) / track;
        let sd = height * (pad / f64::sqrt(2.0)) / moved;
        assert!((sd - 0.033).abs() < 0.001, "{sd}");
        let spread = ask("chassis.centre_height").and_then(|ask| ask.spread(0.9)).expect("it has one");
        assert!((quantity::Z95 * sd * f64::sqrt(2.0) - spread).abs() < 0.01, "{spread}");
    }

    #[test]
    fn one_walks_from_the_cab_to_the_desk() {
        assert_eq!(walk("cab"), 1);
        assert!(walk("plate") < walk("front axle") && walk("roof") < walk("weighbridge") && walk("papers") < walk("desk"));
        assert!(walk("moon") > walk("desk"));
    }
}
