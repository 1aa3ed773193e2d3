//! Batteries.

use quantity::{Stated, dim};

use super::table::table;
use super::words::{YesNo, words};

words! {
    /// What a battery is made of.
    pub enum Chemistry {
        /// Lead-acid with free liquid.
        Flooded = "flooded",
        /// Lead-acid in glass mat.
        Agm = "agm",
        /// Lead-acid in gel.
        Gel = "gel",
        /// Lithium iron phosphate.
        Lifepo4 = "lifepo4",
        /// Lithium nickel manganese cobalt.
        Nmc = "nmc",
    }
}

impl Chemistry {
    /// Whether it is a lead-acid battery.
    #[must_use]
    pub const fn is_lead(self) -> bool {
        matches!(self, Chemistry::Flooded | Chemistry::Agm | Chemistry::Gel)
    }
}

words! {
    /// Where a battery stands.
    pub enum Stands {
        /// In the room people live in.
        Inside = "inside",
        /// In a locker or box.
        Locker = "locker",
        /// Outside, on the frame.
        Outside = "outside",
    }
}

words! {
    /// Where a battery box airs to.
    pub enum VentsTo {
        /// Outside.
        Outside = "outside",
        /// The room people live in.
        Inside = "inside",
    }
}

words! {
    /// What a battery is for.
    pub enum Serves {
        /// The house.
        House = "house",
        /// The engine's starter.
        Starter = "starter",
    }
}

table! {
    thing "a [[battery]] table"
    /// Batteries that are wired together as one bank, all alike. What the label says is said of one of them.
    pub struct Battery {
        /// "flooded", "agm", "gel", "lifepo4" or "nmc".
        pub chemistry: Option<Chemistry>,
        /// Nominal voltage of one by its label, such as "12.8 V".
        pub voltage: Option<Stated<dim::Voltage>>,
        /// Capacity of one by its label, such as "100 Ah".
        pub capacity: Option<Stated<dim::Charge>>,
        /// Hours in which that capacity was drawn, by the label: "20 h" for C20. A C100 label flatters.
        pub hour_rate: Option<Stated<dim::Duration>>,
        /// Energy of one by its label, such as "1280 Wh". With capacity and voltage beside it, it must be their product.
        pub energy: Option<Stated<dim::Energy>>,
        /// How many stand in series. Left out: 1.
        #[schemars(range(min = 1))]
        pub in_series: Option<u32>,
        /// How many such rows stand in parallel. Left out: 1.
        #[schemars(range(min = 1))]
        pub in_parallel: Option<u32>,
        /// Charge that the owner never goes below, such as "50 %" of lead-acid. Left out: usual for its chemistry.
        pub floor: Option<Stated<dim::Ratio>>,
        /// Share of the label's capacity that is left with age, such as "90 %". A capacity test tells.
        pub left: Option<Stated<dim::Ratio>>,
        /// Inner resistance of one with its switch and fuse, such as "12 mohm": voltage lost over current drawn.
        pub resistance: Option<Stated<dim::Resistance>>,
        /// Highest charging current of one by its label, such as "50 A".
        pub max_charge: Option<Stated<dim::Current>>,
        /// Highest current drawn for long of one by its label, such as "100 A".
        pub max_discharge: Option<Stated<dim::Current>>,
        /// true if it refuses to be charged when its cells are frozen. Protection of discharge alone is none.
        pub cold_protected: Option<YesNo>,
        /// true if it warms itself before it is charged.
        pub heated: Option<YesNo>,
        /// "inside", "locker" or "outside": where it stands.
        pub stands: Option<Stands>,
        /// Lowest temperature of the box it stands in, such as "5 °C".
        pub temperature: Option<Stated<dim::Temperature>>,
        /// Open area of the lower vent of its box, such as "40 cm2". Of a hose its bore.
        pub vent_low: Option<Stated<dim::Area>>,
        /// Open area of the upper vent of its box, such as "40 cm2".
        pub vent_high: Option<Stated<dim::Area>>,
        /// "outside" or "inside": where its box airs to.
        pub vents_to: Option<VentsTo>,
        /// Its turn in being charged by the sun: 1 is filled first.
        #[schemars(range(min = 1))]
        pub order: Option<u32>,
        /// "house" or "starter".
        pub serves: Option<Serves>,
        /// What its monitor and switch take for themselves, such as "0.5 W".
        pub own_draw: Option<Stated<dim::Power>>,
        /// Peukert's exponent, where two tests or the maker tell it, such as 1.2. A plain number.
        #[schemars(range(min = 1.0, max = 2.0))]
        pub peukert: Option<f64>,
        /// Voltage of one at which its own switch opens, such as "10 V".
        pub cut_off: Option<Stated<dim::Voltage>>,
    }
}
