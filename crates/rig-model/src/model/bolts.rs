//! Bolts and screws, and the plates they go through.

use quantity::{Stated, dim};

use super::leaf::read_stated;
use super::leaf::short::{counted, number, word, written};
use super::table::table;
use super::words::words;
use super::{OneLine, Short};
use crate::free::Free;

table! {
    "a plate table"
    /// The thinner of the parts that bolts go through.
    #[derive(Default)]
    pub struct Plate {
        /// Thickness of that part alone, such as "7 mm". Calliper through an empty hole.
        pub thickness: Option<Stated<dim::Length>>,
        /// Its steel, such as "S275"; "?" if nobody knows.
        pub steel: Option<String>,
    }
}

impl OneLine for Plate {
    const EXPECTED: &'static str = "thickness and steel of a part, such as \"7 mm S355\"";
    const EXAMPLES: &'static [&'static str] = &["7 mm S355", "8 mm"];
    const KEYS: &'static [&'static str] = Self::FIELDS;

    fn from_line(line: &str) -> Option<Self> {
        if let Ok(thickness) = read_stated(line) {
            return Some(Self { thickness: Some(thickness), steel: None });
        }
        let (thickness, steel) = line.rsplit_once(char::is_whitespace)?;
        Some(Self { thickness: Some(read_stated(thickness).ok()?), steel: Some(steel.to_owned()) })
    }

    fn told(&self) -> Vec<(&'static str, Option<Free>)> {
        vec![("thickness", written(self.thickness.as_ref())), ("steel", word(&self.steel))]
    }
}

words! {
    /// What part of a bolt stands where the parts would slide.
    pub enum ShearPlane {
        /// The thread: the usual case with set screws.
        Thread = "thread",
        /// The plain shank.
        Shank = "shank",
    }
}

words! {
    /// What the thread was greased with when the bolt was tightened.
    pub enum Lubrication {
        /// As it came, zinc and dry.
        Dry = "dry",
        /// Oiled.
        Oiled = "oiled",
        /// Waxed, or with moly grease.
        Waxed = "waxed",
        /// Rusty, or stainless without grease.
        Rusty = "rusty",
    }
}

words! {
    /// What the faces that a bolt presses together look like.
    pub enum Faces {
        /// Blasted with grit, bare.
        Blasted = "blasted",
        /// Blasted, then sprayed with zinc or aluminium.
        Sprayed = "sprayed",
        /// Wire-brushed bare.
        Brushed = "brushed",
        /// As they came.
        Untreated = "untreated",
        /// Painted.
        Painted = "painted",
        /// Wood on one side.
        Wood = "wood",
    }
}

table! {
    "a bolts table"
    /// Bolts of one size that hold together.
    #[derive(Default)]
    pub struct Bolts {
        /// Size by the thread, such as "M12", "M12x1.25" or "1/2-13". Calliper over the thread; half an inch is 12.7 mm, not M12.
        pub size: Option<String>,
        /// Strength class on the heads, such as "8.8", "SAE 5" or "A2-70"; "?" if not known. No mark means 4.6.
        pub class: Option<String>,
        /// Number of bolts, all of them, such as 4.
        #[schemars(range(min = 1))]
        pub count: Option<u32>,
        /// Rows one above the other; `count` bolts stand in so many rows, such as 2.
        #[schemars(range(min = 1))]
        pub rows: Option<u32>,
        /// Distance from bolt to bolt within a row, centre to centre, such as "60 mm".
        pub pitch: Option<Stated<dim::Length>>,
        /// Distance from row to row, centre to centre, such as "50 mm".
        pub gauge: Option<Stated<dim::Length>>,
        /// Distance from a hole's centre to the nearest edge it is pulled against, such as "30 mm".
        pub edge: Option<Stated<dim::Length>>,
        /// Distance from a hole's centre to the nearest edge across the pull, such as "25 mm".
        pub side_edge: Option<Stated<dim::Length>>,
        /// Diameter of the holes, such as "13 mm". Left out: the usual one for the size.
        pub hole: Option<Stated<dim::Length>>,
        /// "thread" or "shank": what stands in the joint where the parts would slide. Left out: the thread.
        pub shear_plane: Option<ShearPlane>,
        /// Thickness and steel of the thinner part, such as "7 mm S355".
        pub into: Option<Short<Plate>>,
        /// How far the load stands off the face the bolts press on, such as "40 mm".
        pub arm: Option<Stated<dim::Length>>,
        /// Height of the lowest row above the bracket's lower edge, on which it would turn, such as "25 mm".
        pub heel: Option<Stated<dim::Length>>,
        /// Tightening torque, such as "90 Nm".
        pub torque: Option<Stated<dim::Torque>>,
        /// "dry", "oiled", "waxed" or "rusty": the thread when it was tightened.
        pub lubrication: Option<Lubrication>,
        /// "untreated", "painted", "brushed", "blasted", "sprayed" or "wood": the faces pressed together.
        pub faces: Option<Faces>,
        /// true if wood or plastic is pressed between head and nut.
        pub wood_under_head: Option<bool>,
    }
}

impl OneLine for Bolts {
    const EXPECTED: &'static str = "bolts, such as \"4 x M12 8.8\"";
    const EXAMPLES: &'static [&'static str] = &["4 x M12 8.8", "2 x 1/2-13 SAE 5", "M10 ?"];
    const KEYS: &'static [&'static str] = Self::FIELDS;

    fn from_line(line: &str) -> Option<Self> {
        let (count, rest) = counted(line);
        let mut words = rest.split_whitespace();
        let mut size = words.next()?.to_owned();
        let mut class: Vec<&str> = words.collect();
        // "1/2 in UNC 8.8": unit and thread series belong to the size.
        while let Some(word) = class.first().filter(|word| ["in", "UNC", "UNF"].contains(*word)) {
            size = format!("{size} {word}");
            class.remove(0);
        }
        let has_size = size.chars().any(|c| c.is_ascii_digit());
        let class = (!class.is_empty()).then(|| class.join(" "));
        has_size.then(|| Self { size: Some(size), class, count, ..Self::default() })
    }

    fn told(&self) -> Vec<(&'static str, Option<Free>)> {
        vec![("size", word(&self.size)), ("class", word(&self.class)), ("count", number(self.count))]
    }
}

table! {
    "a screws table"
    /// Screws of one size that hold together.
    #[derive(Default)]
    pub struct Screws {
        /// Diameter over the thread, such as "6 mm" or "#10".
        pub size: Option<String>,
        /// Number of screws, all of them, such as 8.
        #[schemars(range(min = 1))]
        pub count: Option<u32>,
        /// Length of thread that sits in what holds it, such as "25 mm"; not the length of the screw.
        pub length: Option<Stated<dim::Length>>,
        /// What the thread sits in, such as "spruce", "C24", "plywood" or "1.5 mm steel".
        pub into: Option<String>,
        /// Pull at which one screw of this kind came out of the same stuff in a test, such as "600 N".
        pub tested: Option<Stated<dim::Force>>,
    }
}

impl OneLine for Screws {
    const EXPECTED: &'static str = "screws, such as \"8 x 6 mm into spruce\"";
    const EXAMPLES: &'static [&'static str] = &["8 x 6 mm into spruce", "4 x #10"];
    const KEYS: &'static [&'static str] = Self::FIELDS;

    fn from_line(line: &str) -> Option<Self> {
        let (count, rest) = counted(line);
        let (size, into) = match rest.split_once(" into ") {
            Some((size, into)) => (size.trim(), Some(into.trim().to_owned())),
            None => (rest, None),
        };
        let has_size = size.chars().any(|c| c.is_ascii_digit());
        has_size.then(|| Self { size: Some(size.to_owned()), count, into, ..Self::default() })
    }

    fn told(&self) -> Vec<(&'static str, Option<Free>)> {
        vec![("size", word(&self.size)), ("count", number(self.count)), ("into", word(&self.into))]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bolts_in_one_line() {
        for (line, size, class, count) in [
            ("4 x M12 8.8", "M12", Some("8.8"), Some(4)),
            ("M12x1.25 10.9", "M12x1.25", Some("10.9"), None),
            ("2 x 1/2 in UNC SAE 5", "1/2 in UNC", Some("SAE 5"), Some(2)),
            ("M10", "M10", None, None),
            ("M10 ?", "M10", Some("?"), None),
        ] {
            let bolts = Bolts::from_line(line).expect(line);
            assert_eq!((bolts.size.as_deref(), bolts.class.as_deref(), bolts.count), (Some(size), class, count), "{line}");
        }
        assert_eq!(Bolts::from_line("some bolts"), None);
    }

    #[test]
    fn plates_and_screws_in_one_line() {
        let plate = Plate::from_line("7 mm S355").expect("it reads");
        assert_eq!((plate.thickness.and_then(|t| t.value()), plate.steel.as_deref()), (Some(0.007), Some("S355")));
        assert!(Plate::from_line("5/16 in").is_some_and(|plate| plate.steel.is_none()) && Plate::from_line("thick").is_none());
        let screws = Screws::from_line("8 x #10 into spruce").expect("it reads");
        assert_eq!((screws.size.as_deref(), screws.count, screws.into.as_deref()), (Some("#10"), Some(8), Some("spruce")));
    }
}
