//! Other pieces of a load path: brackets, cross members, packers.

use quantity::{Stated, dim};

use super::leaf::read_stated;
use super::leaf::short::{word, written};
use super::table::table;
use super::words::words;
use super::{Bolts, Many, OneLine, Short, Welds};
use crate::free::Free;

table! {
    "a bracket table"
    /// An angle or a plate between body and rail.
    #[derive(Default)]
    pub struct Bracket {
        /// Section, such as "L 80x8" (leg x thickness in millimetres) or "plate 8 mm".
        pub section: Option<String>,
        /// Length of the bracket along the rail, such as "120 mm".
        pub length: Option<Stated<dim::Length>>,
        /// How far the load bears from the face that is bolted or welded, such as "40 mm".
        pub arm: Option<Stated<dim::Length>>,
        /// Its steel, such as "S235"; "?" if nobody knows.
        pub steel: Option<String>,
        /// true if a gusset ties both legs.
        pub gusset: Option<bool>,
    }
}

impl OneLine for Bracket {
    const EXPECTED: &'static str = "a bracket's section, such as \"L 80x8\"";
    const EXAMPLES: &'static [&'static str] = &["L 80x8", "plate 8 mm"];
    const KEYS: &'static [&'static str] = Self::FIELDS;

    fn from_line(line: &str) -> Option<Self> {
        line.chars().any(|c| c.is_ascii_digit()).then(|| Self { section: Some(line.to_owned()), ..Self::default() })
    }

    fn told(&self) -> Vec<(&'static str, Option<Free>)> {
        vec![("section", word(&self.section))]
    }
}

words! {
    /// How the ends of a cross member are held.
    pub enum Ends {
        /// Welded all round.
        Welded = "welded",
        /// Bolted with a stiff plate.
        Bolted = "bolted",
        /// By one bolt or pin, free to turn.
        Pinned = "pinned",
        /// Lying on the rails.
        Resting = "resting",
    }
}

table! {
    "a member table"
    /// The cross member a mount stands on.
    #[derive(Default)]
    pub struct Member {
        /// Name of a cross member, told in its own table, that says the rest.
        pub of: Option<String>,
        /// Section, such as "UPN 100".
        pub section: Option<String>,
        /// Distance between the points it is held at, such as "0.84 m".
        pub span: Option<Stated<dim::Length>>,
        /// How far the mount stands outside the outermost point it is held at, such as "0.2 m"; "0 m" if inside.
        pub overhang: Option<Stated<dim::Length>>,
        /// Its steel, such as "S275"; "?" if nobody knows.
        pub steel: Option<String>,
    }
}

impl OneLine for Member {
    const EXPECTED: &'static str = "the name of a [[cross_member]]";
    const EXAMPLES: &'static [&'static str] = &["rear outrigger"];
    const KEYS: &'static [&'static str] = Self::FIELDS;

    fn from_line(line: &str) -> Option<Self> {
        Some(Self { of: Some(line.to_owned()), ..Self::default() })
    }

    fn told(&self) -> Vec<(&'static str, Option<Free>)> {
        vec![("of", word(&self.of))]
    }
}

table! {
    named "a [[cross_member]] table"
    /// A beam across the frame that carries mounts left and right.
    pub struct CrossMember {
        /// A name of its own among cross members, such as "rear outrigger".
        pub name: String,
        /// Where it lies behind the front axle's centre, such as "2.1 m".
        pub x: Option<Stated<dim::Length>>,
        /// Section, such as "UPN 100".
        pub section: Option<String>,
        /// Its steel, such as "S275"; "?" if nobody knows.
        pub steel: Option<String>,
        /// "welded", "bolted", "pinned" or "resting": how it is held at the rails.
        pub ends: Option<Ends>,
        /// Distance between the points it is held at, such as "0.84 m". Left out: the frame's spacing.
        pub span: Option<Stated<dim::Length>>,
        /// Whole length, tip to tip, such as "2.2 m".
        pub length: Option<Stated<dim::Length>>,
        /// Bolts at each end, such as "4 x M12 8.8".
        #[serde(default)]
        pub bolts: Many<Short<Bolts>>,
        /// Welds at each end, such as "2 x 80 mm leg 6 mm".
        #[serde(default)]
        pub welds: Many<Short<Welds>>,
    }
}

words! {
    /// Which way a packer's wood is loaded.
    pub enum Grain {
        /// Across the grain: a block lying down.
        Across = "across",
        /// On the end of the grain: a block standing up.
        End = "end",
    }
}

words! {
    /// What keeps a packer from working out.
    pub enum Retained {
        /// Two fasteners of its own.
        Fasteners = "fasteners",
        /// A trough or stops on all sides.
        Trough = "trough",
        /// The mount's own bolt goes through it.
        ThroughBolt = "through-bolt",
        /// Nothing but the weight on it.
        Nothing = "nothing",
    }
}

table! {
    "a packer table"
    /// A block between body and rail.
    #[derive(Default)]
    pub struct Packer {
        /// Wood species, strength class, or other stuff, such as "oak", "C24", "D40", "rubber" or "steel".
        pub material: Option<String>,
        /// Length along the rail that bears, such as "100 mm".
        pub length: Option<Stated<dim::Length>>,
        /// Width across the rail that bears, such as "70 mm".
        pub width: Option<Stated<dim::Length>>,
        /// Height of the whole stack, such as "50 mm".
        pub height: Option<Stated<dim::Length>>,
        /// true if rain or wash water reaches it. Left out: wet.
        pub wet: Option<bool>,
        /// "across" or "end": the way the wood is loaded. Left out: across.
        pub grain: Option<Grain>,
        /// "fasteners" (two of its own), "trough", "through-bolt" or "nothing": what keeps it in place.
        pub retained_by: Option<Retained>,
        /// Thickness of a steel plate between rail or channel and the wood, such as "6 mm".
        pub plate: Option<Stated<dim::Length>>,
    }
}

impl OneLine for Packer {
    const EXPECTED: &'static str = "a packer, such as \"oak 100x70x50 mm\" (length x width x height)";
    const EXAMPLES: &'static [&'static str] = &["oak 100x70x50 mm", "C24"];
    const KEYS: &'static [&'static str] = Self::FIELDS;

    fn from_line(line: &str) -> Option<Self> {
        let stuff_alone = || Some(Self { material: Some(line.to_owned()), ..Self::default() });
        if !line.chars().any(|c| c.is_ascii_digit()) {
            return stuff_alone();
        }
        let Some((words, unit)) = line.rsplit_once(char::is_whitespace) else { return stuff_alone() };
        let (material, sizes) = words.trim_end().rsplit_once(char::is_whitespace)?;
        let mut sizes = sizes.split(['x', '\u{d7}']).map(|size| read_stated(&format!("{size} {unit}")).ok());
        let mut next = || sizes.next()?;
        let (length, width, height) = (Some(next()?), Some(next()?), Some(next()?));
        sizes.next().is_none().then(|| Self {
            material: Some(material.trim_end().to_owned()),
            length,
            width,
            height,
            ..Self::default()
        })
    }

    fn told(&self) -> Vec<(&'static str, Option<Free>)> {
        let sides = [("length", &self.length), ("width", &self.width), ("height", &self.height)];
        let sides = sides.map(|(key, side)| (key, written(side.as_ref())));
        [("material", word(&self.material))].into_iter().chain(sides).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn packers_in_one_line() {
        let packer = Packer::from_line("white oak 100x70x50 mm").expect("it reads");
        assert_eq!(packer.material.as_deref(), Some("white oak"));
        let sides = [&packer.length, &packer.width, &packer.height].map(|side| side.as_ref().and_then(Stated::value));
        assert_eq!(sides, [Some(0.1), Some(0.07), Some(0.05)]);
        assert!(Packer::from_line("C24").is_some() && Packer::from_line("oak 100x70 mm").is_none());
        assert_eq!(Packer::from_line("white oak").and_then(|packer| packer.material).as_deref(), Some("white oak"));
    }
}
