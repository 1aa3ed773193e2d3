//! Hatching, drawn line by line: a pattern would be a reference, and a drawing stands alone.

use super::place::Rect;
use super::sheet::{Sheet, figure};

/// Distance of the lines from each other, across.
const APART: f64 = 6.0;
/// Lines of one box at most.
const MOST: usize = 2000;

/// A box with lines from lower left to upper right.
pub(super) fn rect(sheet: &mut Sheet, class: &str, rect: Rect) {
    let path = lines(rect);
    if !path.is_empty() {
        sheet.path(class, &path, None);
    }
}

/// The lines as a path. They stand at whole multiples of their distance, so that neighbouring boxes match.
fn lines(rect: Rect) -> String {
    // On a line x + y is the same everywhere.
    let (least, most) = (rect.x + rect.y, rect.right() + rect.bottom());
    let mut path = String::new();
    let first = (least / APART).floor() + 1.0;
    for step in 0..MOST {
        let sum = (first + step as f64) * APART;
        if sum.is_nan() || sum >= most {
            break;
        }
        let (from, to) = (rect.x.max(sum - rect.bottom()), rect.right().min(sum - rect.y));
        if to > from {
            path.push_str(&format!("M{} {}L{} {}", figure(from), figure(sum - from), figure(to), figure(sum - to)));
        }
    }
    path
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_stay_in_their_box_and_stand_as_far_apart_as_said() {
        // x + y of the box goes from 30 to 60: lines at 36, 42, 48, 54; the first leaves the left edge at y = 36 - 10.
        let path = lines(Rect::new(10.0, 20.0, 20.0, 10.0));
        assert_eq!(path.matches('M').count(), 4);
        assert!(path.starts_with("M10.0 26.0L16.0 20.0"), "{path}");
        assert!(path.ends_with("M24.0 30.0L30.0 24.0"), "{path}");
        assert_eq!(lines(Rect::new(0.0, 0.0, 0.0, 0.0)), "");
        assert_eq!(lines(Rect::new(f64::NAN, 0.0, 5.0, 5.0)), "");
    }
}
