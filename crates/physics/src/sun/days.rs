//! The sun every few days, from which the hours between are interpolated: what is dear in the algorithm is slow.

use quantity::real::sin_cos_swift;

use super::spa::{DAY, geocentric};
use crate::sun_facts as facts;

/// Days between two nodes. A cubic through four of them is off by at most 4e-5 degrees, from the moon's pull on the earth
/// and from nutation; with one day it would be 2e-7 at four times the cost.
const SPACING: f64 = 4.0;

/// The sun seen from the centre of the earth at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Node {
    /// Unit vector: toward the equinox, square to it in the equator, along the axis.
    pub(super) at: [f64; 3],
    /// Distance, astronomical units.
    pub(super) distance: f64,
    /// Apparent less mean sidereal time, rad.
    pub(super) equinox: f64,
}

impl Node {
    fn at(unix_s: f64) -> Self {
        let sun = geocentric(unix_s, facts::sun().delta_t);
        let (sin_ascension, cos_ascension) = sin_cos_swift(sun.right_ascension);
        let (sin_declination, cos_declination) = sin_cos_swift(sun.declination);
        Self {
            at: [cos_declination * cos_ascension, cos_declination * sin_ascension, sin_declination],
            distance: sun.distance,
            equinox: sun.nutation_longitude * sin_cos_swift(sun.obliquity).1,
        }
    }
}

/// The sun at nodes over a span of time; one set serves every place.
#[derive(Clone, Debug, PartialEq)]
pub struct Nodes {
    first_day: f64,
    nodes: Vec<Node>,
}

impl Nodes {
    /// Nodes for all instants of unix time from `first_s` to `last_s`.
    #[must_use]
    pub fn covering(first_s: f64, last_s: f64) -> Self {
        // One node before and two after: each cubic needs four, and an instant may be the last of all.
        let first = (first_s / DAY / SPACING).floor() - 1.0;
        let last = (last_s / DAY / SPACING).floor() + 2.0;
        let count = (last - first).max(0.0) as usize + 1;
        let nodes = (0..count).map(|k| Node::at((first + k as f64) * SPACING * DAY)).collect();
        Self { first_day: first * SPACING, nodes }
    }

    /// The sun at an instant of unix time, by the cubic through the four nodes around it; beyond the span that of its end.
    pub(super) fn sun(&self, unix_s: f64) -> Node {
        let place = (unix_s / DAY - self.first_day) / SPACING;
        let most = self.nodes.len().saturating_sub(3).max(1);
        let index = (place.floor().max(1.0) as usize).min(most);
        let f = place - index as f64;
        let weights = [
            -f * (f - 1.0) * (f - 2.0) / 6.0,
            (f + 1.0) * (f - 1.0) * (f - 2.0) / 2.0,
            -(f + 1.0) * f * (f - 2.0) / 2.0,
            (f + 1.0) * f * (f - 1.0) / 6.0,
        ];
        let mut sun = Node { at: [0.0; 3], distance: 0.0, equinox: 0.0 };
        for (node, weight) in self.nodes.iter().skip(index - 1).zip(weights) {
            for (sum, part) in sun.at.iter_mut().zip(node.at) {
                *sum += weight * part;
            }
            sun.distance += weight * node.distance;
            sun.equinox += weight * node.equinox;
        }
        sun
    }
}
