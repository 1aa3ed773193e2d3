//! Axles with their wheels and tyres.

use quantity::{Stated, dim};

use super::table::table;

table! {
    named "an [[axle]] table"
    /// One axle of the truck with its wheels.
    pub struct Axle {
        /// A name of its own among the axles, such as "front".
        pub name: String,
        /// Distance of the axle's centre behind the front axle's centre; the front axle is at "0 m". Tape along the hubs, wheels straight.
        pub x: Option<Stated<dim::Length>>,
        /// Highest load on the ground under this axle, on the road: the lowest of axle, springs and wheels, as a mass. On the truck's plate, not on the tyre.
        pub rated: Option<Stated<dim::Mass>>,
        /// The same for slow going off the road, where the plate has one. Never used for the road.
        pub rated_off_road: Option<Stated<dim::Mass>>,
        /// Distance between the tyre centres left and right; with dual tyres between the middles of the pairs. Not the overall width.
        pub track: Option<Stated<dim::Length>>,
        /// Scale reading under both wheels of this axle with the bare chassis: load on the ground, axle and wheels included, as a mass.
        pub bare_load: Option<Stated<dim::Mass>>,
        /// Axles with the same word here share their load equally by a rocker or by linked air springs.
        pub group: Option<String>,
        /// true if the engine drives this axle.
        pub driven: Option<bool>,
        /// true if the steering wheel turns this axle's wheels.
        pub steered: Option<bool>,
        /// Force for one unit of sinking, both wheels together, at the ground, such as "300 N/mm".
        pub spring_rate: Option<Stated<dim::SpringRate>>,
        /// Moment for one unit of roll between body and ground at this axle, such as "12 kNm/deg".
        pub roll_stiffness: Option<Stated<dim::RollStiffness>>,
        /// Load held constant by air, as a mass: an air-loaded tag axle. Leave it out for steel springs.
        pub fixed_load: Option<Stated<dim::Mass>>,
        /// true if the axle can be lifted off the ground.
        pub can_lift: Option<bool>,
        /// Highest load on one wheel (the rim, not the tyre), as a mass. Stamped on the wheel.
        pub wheel_rated: Option<Stated<dim::Mass>>,
        /// The tyres on this axle.
        pub tyre: Option<Tyre>,
    }
}

table! {
    "a tyre table"
    /// The tyres of one axle, all alike.
    pub struct Tyre {
        /// Size as moulded on the side, such as "395/85 R20".
        pub size: Option<String>,
        /// Load index for single fitting: the first number of "152/149 K".
        #[schemars(transform = crate::schema::load_index)]
        pub load_index: Option<u16>,
        /// Load index for dual fitting: the second number of "152/149 K".
        #[schemars(transform = crate::schema::load_index)]
        pub load_index_dual: Option<u16>,
        /// Tyres on each side: 1 single, 2 dual.
        #[schemars(range(min = 1, max = 2))]
        pub per_side: Option<u8>,
        /// Pressure now, cold, by the gauge (above that of the air around).
        pub pressure: Option<Stated<dim::Pressure>>,
        /// Pressure, by the gauge, at which the load index holds. Moulded on the side ("AT 120 PSI COLD") or in the maker's table.
        pub reference_pressure: Option<Stated<dim::Pressure>>,
        /// Letter for the highest speed at the index load, such as "K".
        pub speed_symbol: Option<String>,
        /// Last four digits of the date code: "2319" is week 23 of 2019. On one side only; three digits are from before 2000.
        pub date_code: Option<String>,
        /// Height of the hub's centre above the ground, laden.
        pub radius: Option<Stated<dim::Length>>,
        /// Exponent of load against pressure, where the maker's table shows another than usual.
        #[schemars(range(min = 0.0, max = 2.0))]
        pub load_exponent: Option<f64>,
        /// "radial" or "diagonal" (bias ply).
        pub kind: Option<TyreKind>,
    }
}

/// How a tyre's plies run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TyreKind {
    /// Radial: an R in the size.
    Radial,
    /// Diagonal, or bias ply: a dash in the size.
    Diagonal,
}
