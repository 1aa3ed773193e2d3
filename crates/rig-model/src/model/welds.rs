//! Fillet welds.

use quantity::{Stated, dim};

use super::leaf::read_stated;
use super::leaf::short::{counted, free_table, number, written};
use super::table::table;
use super::words::words;
use super::{Many, OneLine};
use crate::free::Free;

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

    fn told(&self) -> Vec<(&'static str, Option<Free>)> {
        let run = |run: &Run| free_table([("length", written(run.length.as_ref())), ("count", number(run.count))]);
        let runs = self.runs.first().map(run);
        vec![("throat", written(self.throat.as_ref())), ("leg", written(self.leg.as_ref())), ("runs", runs)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn welds_in_one_line() {
        let metres = |stated: Option<&Stated<dim::Length>>| stated.and_then(Stated::value);
        let welds = Welds::from_line("2 x 80 mm, leg 6 mm").expect("it reads");
        assert_eq!((metres(welds.leg.as_ref()), welds.throat), (Some(0.006), None));
        let runs: Vec<_> = welds.runs.iter().map(|run| (metres(run.length.as_ref()), run.count)).collect();
        assert_eq!(runs, [(Some(0.08), Some(2))]);
        assert!(Welds::from_line("120 mm throat 4 mm").is_some_and(|welds| welds.throat.is_some()));
        assert!(Welds::from_line("120 mm").is_none() && Welds::from_line("some throat 4 mm").is_none());
    }
}
