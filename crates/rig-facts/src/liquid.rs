//! Where the liquid of a part-filled tank is.

use quantity::real;
use rig_model::model::TankShape;

/// Height of the liquid's centre over the tank's bottom, as a share of the tank's height, for a fill of 0 to 1. The tank
/// stands level. Box and upright cylinder: half the depth. Lying cylinder: centroid of the circular segment.
#[must_use]
pub fn centre_share(shape: TankShape, fill: f64) -> f64 {
    let fill = fill.clamp(0.0, 1.0);
    match shape {
        TankShape::Box | TankShape::Upright => fill / 2.0,
        TankShape::CylinderAlong | TankShape::CylinderAcross => segment_centre(fill),
    }
}

/// Depth of the liquid as a share of the tank's height.
#[must_use]
pub fn depth_share(shape: TankShape, fill: f64) -> f64 {
    let fill = fill.clamp(0.0, 1.0);
    match shape {
        TankShape::Box | TankShape::Upright => fill,
        TankShape::CylinderAlong | TankShape::CylinderAcross => (1.0 - real::cos(half_angle(fill))) / 2.0,
    }
}

/// Centroid of a circular segment over the circle's lowest point, in diameters: 1/2 - 2 sin^3(t) / (3 (2t - sin 2t)) for
/// the half angle t seen from the centre (a standard result of plane geometry).
fn segment_centre(fill: f64) -> f64 {
    let t = half_angle(fill);
    let sin = real::sin(t);
    let area = 2.0 * t - real::sin(2.0 * t);
    if area <= 0.0 { 0.0 } else { (1.0 - 4.0 * sin * sin * sin / (3.0 * area)) / 2.0 }
}

/// Half angle t of the segment that holds this share of the circle: (2t - sin 2t) / 2 pi = fill, by halving.
fn half_angle(fill: f64) -> f64 {
    let (mut low, mut high) = (0.0, std::f64::consts::PI);
    // Halving 52 times uses up the digits of an f64.
    for _ in 0..f64::MANTISSA_DIGITS {
        let middle = (low + high) / 2.0;
        if (2.0 * middle - real::sin(2.0 * middle)) / (2.0 * std::f64::consts::PI) < fill {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low + high) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_tank_has_its_centre_in_the_middle() {
        for shape in [TankShape::Box, TankShape::Upright, TankShape::CylinderAlong, TankShape::CylinderAcross] {
            assert!((centre_share(shape, 1.0) - 0.5).abs() < 1e-9);
            assert!((depth_share(shape, 1.0) - 1.0).abs() < 1e-9);
            assert!(centre_share(shape, 0.0).abs() < 1e-9);
        }
    }

    /// Half a disc: centroid 4 r / 3 pi from the diameter (handbook of plane figures, from memory).
    #[test]
    fn a_half_full_lying_cylinder_follows_the_half_disc() {
        let wanted = 0.5 - 2.0 / (3.0 * std::f64::consts::PI);
        assert!((centre_share(TankShape::CylinderAlong, 0.5) - wanted).abs() < 1e-9);
        assert!((depth_share(TankShape::CylinderAlong, 0.5) - 0.5).abs() < 1e-9);
    }

    #[test]
    fn the_centre_rises_with_the_fill() {
        let mut last = -1.0;
        for step in 0..=100 {
            let centre = centre_share(TankShape::CylinderAcross, f64::from(step) / 100.0);
            assert!(centre > last);
            last = centre;
        }
    }
}
