//! Places for labels: a label takes the first of its slots that lies on the sheet and covers nothing placed before.

/// Space kept free around a label.
const AIR: f64 = 2.0;

/// A box on the sheet, y downward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rect {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) w: f64,
    pub(super) h: f64,
}

impl Rect {
    pub(super) fn new(x: f64, y: f64, w: f64, h: f64) -> Self {
        Self { x, y, w, h }
    }

    /// A box around its middle.
    pub(super) fn around(x: f64, y: f64, (w, h): (f64, f64)) -> Self {
        Self::new(x - w / 2.0, y - h / 2.0, w, h)
    }

    pub(super) fn middle(&self) -> (f64, f64) {
        (self.x + self.w / 2.0, self.y + self.h / 2.0)
    }

    pub(super) fn right(&self) -> f64 {
        self.x + self.w
    }

    pub(super) fn bottom(&self) -> f64 {
        self.y + self.h
    }

    pub(super) fn overlaps(&self, other: &Self) -> bool {
        self.x < other.right() && other.x < self.right() && self.y < other.bottom() && other.y < self.bottom()
    }

    pub(super) fn inside(&self, outer: &Self) -> bool {
        self.x >= outer.x && self.y >= outer.y && self.right() <= outer.right() && self.bottom() <= outer.bottom()
    }

    fn grown(&self, by: f64) -> Self {
        Self::new(self.x - by, self.y - by, self.w + 2.0 * by, self.h + 2.0 * by)
    }

    /// The point of the box's edge or inside nearest to a point.
    pub(super) fn nearest(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (x.max(self.x).min(self.right()), y.max(self.y).min(self.bottom()))
    }
}

/// What is taken already.
#[derive(Debug)]
pub(super) struct Placer {
    bounds: Rect,
    taken: Vec<Rect>,
}

impl Placer {
    pub(super) fn new(bounds: Rect) -> Self {
        Self { bounds, taken: Vec::new() }
    }

    /// Keeps a box free of labels.
    pub(super) fn keep_free(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// Whether a slot lies on the sheet and covers nothing.
    pub(super) fn is_free(&self, slot: &Rect) -> bool {
        slot.inside(&self.bounds) && !self.taken.iter().any(|taken| slot.grown(AIR).overlaps(taken))
    }

    /// The first slot that is free; it is taken then.
    pub(super) fn place(&mut self, slots: impl IntoIterator<Item = Rect>) -> Option<Rect> {
        let free = slots.into_iter().find(|slot| self.is_free(slot))?;
        self.taken.push(free);
        Some(free)
    }
}

/// Eight directions, the likelier ones to be free first: up, down, right, left, then the corners.
const DIRECTIONS: [(f64, f64); 8] =
    [(0.0, -1.0), (0.0, 1.0), (1.0, 0.0), (-1.0, 0.0), (1.0, -1.0), (-1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];

/// Slots of a size around a point: its own place if `on` it may lie, then rings further and further out.
pub(super) fn rings((x, y): (f64, f64), size: (f64, f64), on: bool, step: f64, rings: u32) -> impl Iterator<Item = Rect> {
    let own = on.then(|| Rect::around(x, y, size));
    let outer = (1..=rings).flat_map(move |ring| {
        let far = f64::from(ring) * step;
        DIRECTIONS.iter().map(move |(dx, dy)| Rect::around(x + dx * (far + size.0 / 2.0), y + dy * (far + size.1 / 2.0), size))
    });
    own.into_iter().chain(outer)
}

/// Slots inside a box, row by row from its middle outward, or from its upper edge down.
pub(super) fn within(outer: Rect, (w, h): (f64, f64), from_top: bool) -> Vec<Rect> {
    /// Shares of the free room, in the order they are tried.
    const MIDDLE_FIRST: [f64; 5] = [0.5, 0.25, 0.75, 0.0, 1.0];
    const EDGE_FIRST: [f64; 5] = [0.0, 1.0, 0.5, 0.25, 0.75];
    let inner = outer.grown(-AIR);
    let (free_x, free_y) = (inner.w - w, inner.h - h);
    if free_x < 0.0 || free_y < 0.0 {
        return Vec::new();
    }
    let order = if from_top { EDGE_FIRST } else { MIDDLE_FIRST };
    let slot = |down: f64, across: f64| Rect::new(inner.x + free_x * across, inner.y + free_y * down, w, h);
    order.iter().flat_map(|down| order.iter().map(move |across| slot(*down, *across))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slot_that_covers_another_label_or_leaves_the_sheet_is_not_taken() {
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 100.0, 100.0));
        let first = Rect::new(10.0, 10.0, 20.0, 10.0);
        assert_eq!(placer.place([first]), Some(first));
        assert_eq!(placer.place([Rect::new(15.0, 15.0, 20.0, 10.0)]), None);
        assert_eq!(placer.place([Rect::new(90.0, 50.0, 20.0, 10.0)]), None);
        let beside = Rect::new(50.0, 10.0, 20.0, 10.0);
        assert_eq!(placer.place([first, beside]), Some(beside));
    }

    #[test]
    fn slots_within_a_box_lie_within_it() {
        let outer = Rect::new(5.0, 5.0, 50.0, 20.0);
        let slots = within(outer, (20.0, 10.0), true);
        assert!(!slots.is_empty() && slots.iter().all(|slot| slot.inside(&outer)));
        assert!(within(outer, (60.0, 10.0), false).is_empty());
    }
}
