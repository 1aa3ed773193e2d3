//! One site-year: sun, two panels of 200 W (flat, and 30° to the south), 14 % of losses, and a battery of 2560 Wh under the
//! loads of a small house. The same work as a baseline in Python, whose results the test holds.

use std::f64::consts::{FRAC_PI_6, PI};

use physics::battery::run::{Store, Totals, run};
use physics::pv_year::{Array, Plane, site_dc};
use physics::sun::{Nodes, Site};
use weather::{Calendar, Hours, read};

/// Hours of the day by hours, W.
const LOAD: [f64; 24] = [
    45.0, 45.0, 45.0, 45.0, 45.0, 45.0, 80.0, 110.0, 60.0, 60.0, 60.0, 60.0, 90.0, 60.0, 60.0, 60.0, 60.0, 90.0, 140.0, 150.0,
    140.0, 110.0, 70.0, 45.0,
];
const KEPT: f64 = 0.86;
const RATED_W: f64 = 200.0;

/// The year that the tests carry, as hours.
pub(crate) fn greensboro() -> (Site, Hours, Calendar) {
    let year = read(super::common::tmy3().as_bytes()).expect("it reads");
    let hourly = year.to_hourly().expect("nothing is missing");
    let site = Site {
        latitude_rad: year.site.latitude_deg.to_radians(),
        longitude_rad: year.site.longitude_deg.to_radians(),
        altitude_m: year.site.altitude_m,
    };
    (site, hourly.hours, hourly.calendar)
}

/// Where the sun is in the hours' middles: nodes for a year.
pub(crate) fn nodes(calendar: &Calendar) -> Nodes {
    let first = first(calendar);
    Nodes::covering(first, first + calendar.days as f64 * 86_400.0)
}

fn first(calendar: &Calendar) -> f64 {
    calendar.first_unix_s as f64 + 1800.0
}

/// Energy of both panels, Wh, and what the battery made of it.
pub(crate) fn site_year(site: &Site, hours: &Hours, calendar: &Calendar, nodes: &Nodes, power: &mut [f64]) -> (f64, Totals) {
    let arrays = [0.0, FRAC_PI_6].map(|tilt| Array { plane: Plane::open(tilt, PI), rated_w: RATED_W });
    site_dc(nodes, site, first(calendar), &hours.columns(), &arrays, KEPT, power).expect("answers");
    let store = Store::new(2560.0, 0.1, 0.97, 0.97, 1200.0, 4e-5);
    let net = power.chunks(24).flat_map(|day| day.iter().zip(LOAD).map(|(sun, load)| sun - load));
    let totals = run(&store, net, 1.0);
    (power.iter().sum(), totals)
}
