//! Pieces that are usually on board and usually not in the list: named where they are absent, with the mass they tend to
//! add and a line to paste.
//!
//! A name shows a piece when it holds all words of one of its phrases. That errs towards silence: "library boxes" counts
//! as books, whatever is in them.

use std::sync::LazyLock;

use basis::{Basis, LoadError};
use quantity::{Dimension, Stated, System};
use rig_model::ThingKind;
use rig_model::model::{Rig, Units};
use serde::Deserialize;

use crate::facts::Facts;
use crate::parts::MassRange;
use crate::parts::load::MassText;
use crate::parts::search::tokens;

const SHIPPED: &str = include_str!("../data/forgotten.toml");

static USUAL: LazyLock<Vec<Usual>> = LazyLock::new(|| load(SHIPPED).unwrap_or_default());

/// What the mass of the forgotten depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aboard {
    /// Outside of the body, all six faces, m2; 0 where there is none or it is not told: what goes by it is left out.
    pub body_area: f64,
    /// People who live aboard; 0 leaves out what goes by person.
    pub people: f64,
    /// Whether the body's mass is that of the whole shell, windows and doors in.
    pub shell_has_windows: bool,
    /// Units of the line to paste.
    pub system: System,
}

/// A usual piece that no name shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Forgotten {
    /// Its name, as the line gives it.
    pub name: &'static str,
    /// Why it comes to that much, or matters.
    pub why: &'static str,
    /// Mass it tends to add, kg: the middle of low and high.
    pub usual_kg: f64,
    /// At least, kg.
    pub low: f64,
    /// At most, kg.
    pub high: f64,
    /// Lines for the rig file, a `[[mass]]` table that ends in a line break.
    pub line: String,
    /// Where the mass comes from.
    pub basis: &'static Basis,
}

/// The usual pieces that none of `names` (those of masses, tanks and the like) shows, in the order of the list.
///
/// The lines place them in the body: for a rig that has a `[body]` table.
#[must_use]
pub fn forgotten(names: &[&str], aboard: &Aboard) -> Vec<Forgotten> {
    let names: Vec<Vec<String>> = names.iter().map(|name| tokens(name)).collect();
    USUAL
        .iter()
        .filter(|piece| !(piece.in_shell && aboard.shell_has_windows))
        .filter(|piece| !names.iter().any(|name| piece.shown_by(name)))
        .filter_map(|piece| piece.absent(aboard))
        .collect()
}

impl Facts {
    /// The usual pieces that this rig's file does not show. None where there is no body of known size to put them in, and
    /// none once tickets are taken in: a scale has seen them.
    #[must_use]
    pub fn forgotten(&self, rig: &Rig) -> Vec<Forgotten> {
        let Some(body) = rig.body.as_ref().filter(|_| !self.tickets().adopted) else { return Vec::new() };
        let size = [&body.length, &body.width, &body.height].map(|side| side.as_ref().and_then(Stated::value));
        let walls = body.walls.as_ref().and_then(Stated::value).unwrap_or_default();
        let outside = size.map(|side| side.map_or(0.0, |side| side + 2.0 * walls));
        let [length, width, height] = outside;
        if outside.iter().any(|side| *side <= 0.0) {
            return Vec::new();
        }
        let aboard = Aboard {
            body_area: 2.0 * (length * width + length * height + width * height),
            people: rig.state.iter().map(|state| state.people.len()).max().unwrap_or(rig.seat.len()) as f64,
            shell_has_windows: body.mass.as_ref().is_some_and(|mass| !mass.is_unknown()),
            system: if rig.units == Some(Units::Us) { System::Us } else { System::Metric },
        };
        let masses = rig.mass.iter().flat_map(|mass| std::iter::once(mass.name.as_str()).chain(mass.like.as_deref()));
        let others = rig.tank.iter().map(|tank| tank.name.as_str()).chain(rig.low_point.iter().map(|low| low.name.as_str()));
        // A table that tells no mass leaves its thing forgotten.
        let weigh = rig.things().filter(|thing| thing.mass().is_some() || thing.like().is_some());
        let weigh = weigh.filter(|thing| !matches!(thing.kind(), ThingKind::Body | ThingKind::Seat));
        let weigh = weigh.flat_map(|thing| std::iter::once(thing.name()).chain(thing.like()));
        forgotten(&masses.chain(others).chain(weigh).collect::<Vec<_>>(), &aboard)
    }
}

/// A piece of the list, read.
#[derive(Debug)]
struct Usual {
    name: String,
    why: String,
    by: By,
    each: MassRange,
    at: [String; 3],
    in_shell: bool,
    shown_by: Vec<Vec<String>>,
    but_not: Vec<Vec<String>>,
    basis: Basis,
}

impl Usual {
    fn shown_by(&self, name: &[String]) -> bool {
        let holds = |phrase: &Vec<String>| phrase.iter().all(|word| name.contains(word));
        self.shown_by.iter().any(holds) && !self.but_not.iter().any(holds)
    }

    fn absent(&'static self, aboard: &Aboard) -> Option<Forgotten> {
        let times = match self.by {
            By::BodyArea => aboard.body_area,
            By::Person => aboard.people,
            By::Rig => 1.0,
        };
        let [usual_kg, low, high] = [self.each.usual, self.each.low, self.each.high].map(|mass| mass * times);
        // Not more than nothing, or no number at all: there is nothing to say.
        if !(usual_kg > 0.0 && high.is_finite()) {
            return None;
        }
        let line = self.line(low, high, aboard.system);
        Some(Forgotten { name: &self.name, why: &self.why, usual_kg, low, high, line, basis: &self.basis })
    }

    fn line(&self, low: f64, high: f64, system: System) -> String {
        let mass = |kg: f64| quantity::show(kg, Dimension::Mass, system, Some((high - low) / 2.0));
        let [x, y, z] = &self.at;
        format!(
            "[[mass]]\nname = \"{}\"\nmass = \"{} to {}\"\nin = \"body\"\nat = [\"{x}\", \"{y}\", \"{z}\"]\n",
            self.name,
            mass(low),
            mass(high)
        )
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum By {
    BodyArea,
    Person,
    Rig,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FileText {
    piece: Vec<PieceText>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PieceText {
    name: String,
    why: String,
    by: By,
    mass: MassText,
    at: [String; 3],
    #[serde(default)]
    in_shell: bool,
    shown_by: Vec<String>,
    #[serde(default)]
    but_not: Vec<String>,
    basis: Basis,
}

fn load(text: &str) -> Result<Vec<Usual>, LoadError> {
    let file: FileText = toml::from_str(text).map_err(|e| LoadError::Syntax(e.to_string()))?;
    file.piece.into_iter().map(PieceText::resolve).collect()
}

impl PieceText {
    fn resolve(self) -> Result<Usual, LoadError> {
        let wrong = |why: String| LoadError::Entry { id: self.name.clone(), why };
        if let Some(why) = self.basis.fault() {
            return Err(wrong(why.to_owned()));
        }
        let each = self.mass.resolve().map_err(wrong)?;
        // The line gives low and high, which the rig reads as their middle.
        if (each.low + each.high - 2.0 * each.usual).abs() > f64::EPSILON * each.high {
            return Err(wrong("its usual mass is not the middle of low and high".to_owned()));
        }
        let phrases = |texts: &[String]| texts.iter().map(|text| tokens(text)).collect::<Vec<_>>();
        let (shown_by, but_not) = (phrases(&self.shown_by), phrases(&self.but_not));
        if shown_by.is_empty() || shown_by.iter().chain(&but_not).any(Vec::is_empty) {
            return Err(wrong("it does not say by which words it is shown".to_owned()));
        }
        let Self { name, why, by, at, in_shell, basis, .. } = self;
        Ok(Usual { name, why, by, each, at, in_shell, shown_by, but_not, basis })
    }
}

#[cfg(test)]
mod tests {
    use rig_model::{Syntax, read_rig};

    use super::*;

    const SMALL: Aboard = Aboard { body_area: 44.0, people: 2.0, shell_has_windows: false, system: System::Metric };

    fn absent(names: &[&str]) -> Vec<&'static str> {
        forgotten(names, &SMALL).iter().map(|piece| piece.name).collect()
    }

    #[test]
    fn the_list_loads_and_names_what_people_forget() {
        let list = load(SHIPPED).expect("loads");
        let all = absent(&[]);
        assert_eq!(all.len(), list.len());
        for word in
            ["glass", "cable", "glue", "paint", "spare wheel", "hoses", "books", "dishes", "screws", "mattress", "tools", "jack"]
        {
            assert!(all.iter().any(|name| name.contains(word)), "{word}");
        }
    }

    #[test]
    fn each_piece_is_shown_by_its_own_name() {
        for name in absent(&[]) {
            assert!(!absent(&[name]).contains(&name), "{name} shows itself");
        }
    }

    #[test]
    fn names_show_a_piece_and_look_alikes_do_not() {
        for (written, piece, there) in [
            ("Window, left", "windows and glass", true),
            ("glass-fibre angles", "windows and glass", false),
            ("wires, glue, screws, paint", "cable", true),
            ("wires, glue, screws, paint", "screws and fittings", true),
            ("shore cable 25 m", "cable", false),
            ("shore cable 25 m", "shore cable and filling hose", true),
            ("spare wheel", "spare wheel", true),
            ("spare wheel carrier", "spare wheel", false),
            ("library boxes", "books and maps", true),
            ("pots and dishes", "pots and dishes", true),
            ("satellite dish", "pots and dishes", false),
            ("tool chest", "tools and spare parts", true),
            ("toolshed", "tools and spare parts", false),
            ("life jackets", "jack and wheel wrench", false),
            ("jack, planks, recovery kit", "jack and wheel wrench", true),
        ] {
            assert_eq!(!absent(&[written]).contains(&piece), there, "{written}: {piece}");
        }
        // A carrier does not hide the wheel that stands beside it.
        assert!(!absent(&["spare wheel carrier", "spare wheel"]).contains(&"spare wheel"));
    }

    /// 44 m2 by 0.25, 0.5 and 0.75 kg; two people by 5, 9, 13 kg. By hand.
    #[test]
    fn masses_go_by_the_body_and_by_the_people() {
        let all = forgotten(&[], &SMALL);
        let masses =
            |name: &str| all.iter().find(|piece| piece.name == name).map(|piece| (piece.low, piece.usual_kg, piece.high));
        assert_eq!(masses("cable"), Some((11.0, 22.0, 33.0)));
        assert_eq!(masses("mattresses"), Some((10.0, 18.0, 26.0)));
        assert_eq!(masses("spare wheel"), Some((30.0, 105.0, 180.0)));
        let bare = forgotten(&[], &Aboard { body_area: 0.0, people: f64::NAN, shell_has_windows: true, ..SMALL });
        assert!(bare.iter().all(|piece| !["cable", "food", "windows and glass"].contains(&piece.name)), "{bare:?}");
        assert!(bare.iter().any(|piece| piece.name == "spare wheel"));
        let weighed = forgotten(&[], &Aboard { shell_has_windows: true, ..SMALL });
        assert_eq!(weighed.len() + 1, all.len());
    }

    /// What is pasted reads, with the mass that was named: to the last figure shown.
    #[test]
    fn the_lines_are_lines_of_a_rig_file() {
        for system in [System::Metric, System::Us] {
            let pieces = forgotten(&[], &Aboard { system, body_area: 41.7, ..SMALL });
            let text: String = pieces.iter().map(|piece| piece.line.as_str()).collect();
            let rig = format!("format = \"rigproof-rig/1\"\nrig = \"x\"\n[body]\nfront = \"1 m\"\nfloor = \"1 m\"\n{text}");
            let (_, rig) = read_rig(&rig, Syntax::Toml).expect("reads");
            assert_eq!(rig.mass.len(), pieces.len());
            for (mass, piece) in rig.mass.iter().zip(&pieces) {
                let stated = mass.mass.as_ref().expect("there");
                let (low, high) = stated.bounds().expect("bounds");
                assert!((low - piece.low).abs() < 0.1 * piece.usual_kg, "{}", piece.line);
                assert!((high - piece.high).abs() < 0.1 * piece.usual_kg, "{}", piece.line);
                assert!((stated.value().expect("told") / piece.usual_kg - 1.0).abs() < 0.07, "{}", piece.line);
            }
        }
    }
}
