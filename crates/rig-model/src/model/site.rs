//! Where the rig stands, when, and what the owner wants of its power.

use quantity::{Quantity, Stated, dim};

use super::Many;
use super::table::table;
use super::words::words;

words! {
    /// What is around the place.
    pub enum Setting {
        /// Far from the sea.
        Inland = "inland",
        /// By the sea.
        Coast = "coast",
        /// An island.
        Island = "island",
        /// A desert.
        Desert = "desert",
    }
}

words! {
    /// What stands on the horizon.
    pub enum Horizon {
        /// Nothing much.
        Open = "open",
        /// A few trees or houses.
        SomeTrees = "some-trees",
        /// Slopes all round.
        Valley = "valley",
        /// A clearing in a wood.
        Wood = "wood",
    }
}

words! {
    /// What lies around the rig.
    pub enum GroundCover {
        /// Grass, soil.
        Grass = "grass",
        /// Asphalt.
        Asphalt = "asphalt",
        /// Dry sand.
        Sand = "sand",
        /// Fresh snow.
        Snow = "snow",
    }
}

words! {
    /// A month.
    pub enum Month {
        /// January.
        Jan = "jan",
        /// February.
        Feb = "feb",
        /// March.
        Mar = "mar",
        /// April.
        Apr = "apr",
        /// May.
        May = "may",
        /// June.
        Jun = "jun",
        /// July.
        Jul = "jul",
        /// August.
        Aug = "aug",
        /// September.
        Sep = "sep",
        /// October.
        Oct = "oct",
        /// November.
        Nov = "nov",
        /// December.
        Dec = "dec",
    }
}

table! {
    "a skyline table"
    /// How high the horizon stands in one direction, seen from the roof.
    pub struct Skyline {
        /// Bearing, clockwise from true north, such as "135 deg". Phone compass, with its declination put right.
        pub bearing: Option<Stated<dim::Angle>>,
        /// Angle from level up to the top of trees or hills there, such as "12 deg". Phone level along the roof.
        pub height: Option<Stated<dim::Angle>>,
    }
}

table! {
    "a [site] table"
    /// Where and when the rig is lived in.
    pub struct Site {
        /// What the owner calls the place, such as "upper meadow".
        pub place: Option<String>,
        /// Latitude; south is negative. On any map, such as "46.5 deg".
        pub latitude: Option<Stated<dim::Angle>>,
        /// Longitude; west is negative, such as "-79.9 deg".
        pub longitude: Option<Stated<dim::Angle>>,
        /// Height above the sea, such as "620 m". On any map.
        pub altitude: Option<Stated<dim::Length>>,
        /// Weather file inside the rig's folder, such as "meadow.csv". Left out: a climate from latitude and what is told here.
        pub weather: Option<String>,
        /// Sun on the level, kWh/m2 a day, for January to December: twelve plain numbers.
        pub sun: Option<[f64; 12]>,
        /// Hours of bright sun a day, for January to December: twelve plain numbers.
        pub sunshine: Option<[f64; 12]>,
        /// Warmest of a usual day, for January to December: twelve temperatures.
        pub high: Option<[Stated<dim::Temperature>; 12]>,
        /// Coldest of a usual day, for January to December: twelve temperatures.
        pub low: Option<[Stated<dim::Temperature>; 12]>,
        /// "inland", "coast", "island" or "desert".
        pub setting: Option<Setting>,
        /// Months in which the rig is lived in: "jan" to "dec". Left out: all of them.
        #[serde(default)]
        pub months: Many<Month>,
        /// The lowest temperature on record where the rig goes, not a mean, such as "-25 °C". Panels give most voltage then.
        pub coldest: Option<Stated<dim::Temperature>>,
        /// The highest temperature on record where the rig goes, such as "38 °C".
        pub hottest: Option<Stated<dim::Temperature>>,
        /// "open", "some-trees", "valley" or "wood": what stands on the horizon all round.
        pub horizon: Option<Horizon>,
        /// The horizon in up to twelve directions, where it decides: it wins over the word.
        #[serde(default)]
        pub skyline: Vec<Skyline>,
        /// "grass", "asphalt", "sand" or "snow": what lies around the rig.
        pub ground: Option<GroundCover>,
        /// Bearing of the nose when parked, clockwise from true north, such as "180 deg". It matters for tilted panels and for shade.
        pub heading: Option<Stated<dim::Angle>>,
        /// Hours driven on a usual day, such as "1.5 h": the alternator charges then.
        pub driving: Option<Stated<dim::Duration>>,
        /// Time until the owner sweeps snow off the panels, such as "1 d".
        pub snow_cleared: Option<Quantity<dim::Duration>>,
    }
}

words! {
    /// What the owner does when the battery is empty.
    pub enum Then {
        /// Drives until it is charged.
        Drive = "drive",
        /// Plugs in.
        PlugIn = "plug-in",
        /// Sits in the dark.
        Nothing = "nothing",
    }
}

table! {
    "a [power] table"
    /// What the owner wants of the rig's power. Each has a usual value where it is left out.
    pub struct PowerWishes {
        /// Days in a row without sun that the battery is to last, such as 3. A plain number.
        #[schemars(range(min = 0.0))]
        pub dark_days: Option<f64>,
        /// Days a month that the owner bears without power, such as 2. A plain number.
        #[schemars(range(min = 0.0))]
        pub short_days: Option<f64>,
        /// In how many of ten such months there may be more of them, such as 3. A plain number from 0 to 10.
        #[schemars(range(min = 0.0, max = 10.0))]
        pub short_months: Option<f64>,
        /// What the owner does then: "drive", "plug-in" or "nothing".
        pub then: Option<Then>,
        /// Hours a day that the air conditioner is to run on the battery, such as "6 h".
        pub cooling_hours: Option<Quantity<dim::Duration>>,
        /// Share of a day's energy that may go to what is never switched off, such as "20 %".
        pub standby_share: Option<Quantity<dim::Ratio>>,
        /// Share of the year's sun that may be lost to shade, such as "10 %".
        pub shade_loss: Option<Quantity<dim::Ratio>>,
        /// Share of the year's energy that may be lost for want of a tracking controller, such as "15 %".
        pub pwm_loss: Option<Quantity<dim::Ratio>>,
    }
}
