//! Pieces of a load path: bolts, welds, brackets, cross members, packers, screws.

use quantity::{Stated, dim};

use super::leaf::read_stated;
use super::leaf::short::counted;
use super::table::table;
use super::words::words;
use super::{Many, OneLine, Short};

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
}

words! {
    /// Which way something runs.
    pub enum Along {
        /// Along the truck.
        Along = "along",
        /// Across the truck.
        Across = "across",
        /// Upward.
        Up = "up",
    }
}

table! {
    "a run table"
    /// One run of weld: by its two ends, or by its length.
    #[derive(Default)]
    pub struct Run {
        /// One end, [along the weld's plane, up], such as ["0 mm", "0 mm"].
        pub from: Option<[Stated<dim::Length>; 2]>,
        /// The other end, [along the weld's plane, up], such as ["120 mm", "0 mm"].
        pub to: Option<[Stated<dim::Length>; 2]>,
        /// Length of sound weld, craters left out, such as "80 mm".
        pub length: Option<Stated<dim::Length>>,
        /// Number of such runs side by side, such as 2.
        #[schemars(range(min = 1))]
        pub count: Option<u32>,
        /// Distance between those runs, such as "80 mm".
        pub apart: Option<Stated<dim::Length>>,
        /// "along" the truck, "across" it, or "up".
        pub direction: Option<Along>,
    }
}

words! {
    /// How a welder or a weld was proved.
    pub enum WeldQuality {
        /// Home work that nobody tried.
        Untested = "untested",
        /// A coupon of the same steel, rod and place was bent and did not crack.
        Coupon = "coupon",
        /// Done by a welder with papers.
        Coded = "coded",
    }
}

words! {
    /// What a weld or a bracket stands on.
    pub enum On {
        /// The upright part of the rail.
        Web = "web",
        /// The top or bottom of the rail.
        Flange = "flange",
        /// A cross member or an outrigger.
        Member = "member",
        /// The body's own steel.
        Body = "body",
    }
}

table! {
    "a welds table"
    /// Fillet welds that hold together.
    #[derive(Default)]
    pub struct Welds {
        /// Throat: the shortest way through the weld, such as "4 mm". 0.7 of the leg. Give throat or leg, not both.
        pub throat: Option<Stated<dim::Length>>,
        /// Leg: the weld's width on the plate, such as "6 mm". A folded card against the corner shows it.
        pub leg: Option<Stated<dim::Length>>,
        /// The runs: { length, count, apart, direction }, or { from, to }.
        #[serde(default)]
        pub runs: Many<Run>,
        /// Strength of the filler on the rod's or wire's packet, such as "480 MPa".
        pub electrode_strength: Option<Stated<dim::Pressure>>,
        /// "untested", "coupon" (a bent trial piece held) or "coded" (a welder with papers). Left out: untested.
        pub quality: Option<WeldQuality>,
        /// The weaker of the steels joined, such as "S235"; "?" if nobody knows.
        pub steel: Option<String>,
        /// Thickness of the thinner part, such as "7 mm".
        pub thickness: Option<Stated<dim::Length>>,
        /// How far the load stands off the plane of the weld, such as "90 mm".
        pub arm: Option<Stated<dim::Length>>,
        /// "web", "flange", "member" or "body": what the weld stands on.
        pub on: Option<On>,
    }
}

impl OneLine for Welds {
    const EXPECTED: &'static str = "welds, such as \"2 x 80 mm leg 6 mm\"";
    const EXAMPLES: &'static [&'static str] = &["2 x 80 mm leg 6 mm", "120 mm throat 4 mm"];
    const KEYS: &'static [&'static str] = Self::FIELDS;

    fn from_line(line: &str) -> Option<Self> {
        let by_leg = line.contains("leg");
        let (runs, size) = line.split_once(if by_leg { "leg" } else { "throat" })?;
        let (count, length) = counted(runs.trim().trim_end_matches(','));
        let length = Some(read_stated(length).ok()?);
        let size = Some(read_stated(size.trim()).ok()?);
        let (leg, throat) = if by_leg { (size, None) } else { (None, size) };
        Some(Self { throat, leg, runs: Many::one(Run { length, count, ..Run::default() }), ..Self::default() })
    }
}

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
        /// Name of a [[cross_member]] that says the rest.
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
}

#[cfg(test)]
mod tests {
    use super::*;

    fn metres(stated: Option<&Stated<dim::Length>>) -> Option<f64> {
        stated.and_then(Stated::value)
    }

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
    fn welds_plates_packers_and_screws_in_one_line() {
        let welds = Welds::from_line("2 x 80 mm, leg 6 mm").expect("it reads");
        assert_eq!((metres(welds.leg.as_ref()), welds.throat), (Some(0.006), None));
        assert_eq!((metres(welds.runs[0].length.as_ref()), welds.runs[0].count), (Some(0.08), Some(2)));
        assert!(Welds::from_line("120 mm throat 4 mm").is_some_and(|welds| welds.throat.is_some()));
        assert!(Welds::from_line("120 mm").is_none() && Welds::from_line("some throat 4 mm").is_none());
        let plate = Plate::from_line("7 mm S355").expect("it reads");
        assert_eq!((metres(plate.thickness.as_ref()), plate.steel.as_deref()), (Some(0.007), Some("S355")));
        assert!(Plate::from_line("5/16 in").is_some_and(|plate| plate.steel.is_none()) && Plate::from_line("thick").is_none());
        let packer = Packer::from_line("white oak 100x70x50 mm").expect("it reads");
        assert_eq!(packer.material.as_deref(), Some("white oak"));
        let sides = [&packer.length, &packer.width, &packer.height].map(|side| metres(side.as_ref()));
        assert_eq!(sides, [Some(0.1), Some(0.07), Some(0.05)]);
        assert!(Packer::from_line("C24").is_some() && Packer::from_line("oak 100x70 mm").is_none());
        let screws = Screws::from_line("8 x #10 into spruce").expect("it reads");
        assert_eq!((screws.size.as_deref(), screws.count, screws.into.as_deref()), (Some("#10"), Some(8), Some("spruce")));
    }
}
