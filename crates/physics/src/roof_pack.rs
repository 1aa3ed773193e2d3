//! How many panels fit on a roof: rectangles parallel to it, around hatches, with gaps and a way to walk.
//!
//! A search that starts from the fullest of many greedy layouts, takes a few panels out and fills up again, always the
//! same way for the same roof. It finds good layouts, and proves none to be the best unless the roof's area does.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, check_count, check_list, finite, in_schema, ranged};
use crate::roof_shadow::Rect;

/// A kind of panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kind {
    /// Length, m.
    pub length: f64,
    /// Width, m.
    pub width: f64,
    /// Power on its label, W.
    pub rated_w: f64,
    /// Most of them; `None` for any number.
    pub most: Option<u32>,
}

/// A roof.
#[derive(Clone, Debug, PartialEq)]
pub struct Roof {
    /// Length along the vehicle, m.
    pub length: f64,
    /// Width, m.
    pub width: f64,
    /// What stays free: hatches, units, the walkway; from the front left corner of the roof.
    pub keep_out: Vec<Rect>,
    /// Clear gap between two panels, m.
    pub gap: f64,
    /// What stays free along each edge, m.
    pub edge: f64,
    /// Whether a panel may lie across.
    pub turn: bool,
}

/// A panel in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which kind, counted from 0.
    pub kind: usize,
    /// Where, from the front left corner of the roof.
    pub at: Rect,
}

/// What is the matter with a layout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// This panel lies over the roof's edge or into what stays free there.
    Edge(usize),
    /// This panel lies on this keep-out.
    KeepOut(usize, usize),
    /// These two panels overlap or lie closer than the gap.
    Panels(usize, usize),
}

/// Lengths that differ by less are the same: a tenth of a thousandth of a millimetre.
const SAME: f64 = 1e-7;

impl Rect {
    /// Whether it is at least `gap` clear of another along x or y.
    fn clear_of(&self, other: &Self, gap: f64) -> bool {
        let gap = gap - SAME;
        self.x0 - other.x1 >= gap || other.x0 - self.x1 >= gap || self.y0 - other.y1 >= gap || other.y0 - self.y1 >= gap
    }
}

/// Everything that is the matter with panels on a roof; the search does not use it.
#[must_use]
pub fn faults(roof: &Roof, panels: &[Rect]) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (i, panel) in panels.iter().enumerate() {
        let low = roof.edge - SAME;
        if panel.x0 < low || panel.y0 < low || panel.x1 > roof.length - low || panel.y1 > roof.width - low {
            faults.push(Fault::Edge(i));
        }
        for (k, keep_out) in roof.keep_out.iter().enumerate() {
            if !panel.clear_of(keep_out, 0.0) {
                faults.push(Fault::KeepOut(i, k));
            }
        }
        for (k, other) in panels.iter().enumerate().skip(i + 1) {
            if !panel.clear_of(other, roof.gap) {
                faults.push(Fault::Panels(i, k));
            }
        }
    }
    faults
}

/// A small generator with a fixed start (xorshift, 64 bits), so that the same roof gives the same layout.
struct Draws(u64);

impl Draws {
    /// A number below `end`, which is at least 1.
    fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 33) as usize % end.max(1)
    }
}

/// What the search is about, and the layout it works on.
struct Search<'a> {
    roof: &'a Roof,
    kinds: &'a [Kind],
    /// Kind, length along the roof, width across it.
    forms: Vec<(usize, f64, f64)>,
    draws: Draws,
    /// Comparisons of two rectangles that are still to be had.
    left: std::cell::Cell<usize>,
}

impl Search<'_> {
    /// The first place for a form, going along the roof and then across it, or the other way about.
    fn place(&self, (kind, long, wide): (usize, f64, f64), placed: &[Placed], across: bool) -> Option<Rect> {
        let roof = self.roof;
        let (most_x, most_y) = (roof.length - roof.edge - long + SAME, roof.width - roof.edge - wide + SAME);
        let taken = placed.iter().filter(|p| p.kind == kind).count();
        if self.kinds.get(kind)?.most.is_some_and(|most| taken >= most as usize) {
            return None;
        }
        // A panel that cannot be pushed forward or left touches the roof's edge, a keep-out, or another panel.
        let starts = |edge: fn(&Rect) -> f64, most: f64| {
            let free = roof.keep_out.iter().map(edge);
            let beside = placed.iter().map(|p| edge(&p.at) + roof.gap);
            let mut starts: Vec<f64> =
                std::iter::once(roof.edge).chain(free).chain(beside).filter(|v| *v >= roof.edge && *v <= most).collect();
            starts.sort_by(f64::total_cmp);
            starts.dedup();
            starts
        };
        let (xs, ys) = (starts(|r| r.x1, most_x), starts(|r| r.y1, most_y));
        let each = roof.keep_out.len() + placed.len() + 1;
        let free = |x: f64, y: f64| {
            let left = self.left.get().checked_sub(each)?;
            self.left.set(left);
            let at = Rect::new(x, y, x + long, y + wide);
            let clear = roof.keep_out.iter().all(|k| at.clear_of(k, 0.0)) && placed.iter().all(|p| at.clear_of(&p.at, roof.gap));
            clear.then_some(at)
        };
        if across {
            ys.iter().find_map(|y| xs.iter().find_map(|x| free(*x, *y)))
        } else {
            xs.iter().find_map(|x| ys.iter().find_map(|y| free(*x, *y)))
        }
    }

    /// Adds panels until none fits: mostly the one that lies farthest forward, sometimes any.
    fn fill(&mut self, placed: &mut Vec<Placed>, favour: usize) {
        let across = self.draws.below(2) == 0;
        while placed.len() < PANELS {
            let mut fits: Vec<(f64, usize, Placed)> = Vec::new();
            for (index, form) in self.forms.iter().enumerate() {
                if let Some(at) = self.place(*form, placed, across) {
                    let rank = if across { at.y0 } else { at.x0 };
                    fits.push((if index == favour { -1.0 } else { rank }, index, Placed { kind: form.0, at }));
                }
            }
            fits.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            let wild = self.draws.below(WILD) == 0;
            let pick = if wild { self.draws.below(fits.len()) } else { 0 };
            let Some((_, _, panel)) = fits.get(pick) else { return };
            placed.push(*panel);
        }
    }
}

/// Most panels of a layout: past it no rig's roof goes.
const PANELS: usize = 100;
/// Comparisons of two rectangles in one search: some tens of milliseconds.
const COMPARED: usize = 20_000_000;
/// One choice in so many is not the obvious one.
const WILD: usize = 4;
/// Most panels that are taken out at once.
const TAKEN: usize = 4;

fn rated(kinds: &[Kind], placed: &[Placed]) -> f64 {
    placed.iter().filter_map(|p| kinds.get(p.kind)).map(|kind| kind.rated_w).sum()
}

/// The most watts that the roof's free area could hold, whatever the shape.
fn most_by_area(roof: &Roof, kinds: &[Kind]) -> f64 {
    let inner = (roof.length - 2.0 * roof.edge + roof.gap).max(0.0) * (roof.width - 2.0 * roof.edge + roof.gap).max(0.0);
    let per_area = |kind: &Kind| kind.rated_w / ((kind.length + roof.gap) * (kind.width + roof.gap));
    inner * kinds.iter().map(per_area).fold(0.0, f64::max)
}

/// The best layout found in so many tries, fewer where the roof is so full that comparing takes long; each try costs some
/// tens of microseconds on a usual roof. At most 100 panels.
#[must_use]
pub fn pack(roof: &Roof, kinds: &[Kind], tries: usize) -> Vec<Placed> {
    let mut forms: Vec<(usize, f64, f64)> = Vec::new();
    for (index, kind) in kinds.iter().enumerate() {
        forms.push((index, kind.length, kind.width));
        if roof.turn && kind.length != kind.width {
            forms.push((index, kind.width, kind.length));
        }
    }
    let count = forms.len();
    let mut search = Search { roof, kinds, forms, draws: Draws(0x9E37_79B9_7F4A_7C15), left: COMPARED.into() };
    let least = kinds.iter().map(|kind| kind.rated_w).fold(f64::INFINITY, f64::min);
    let ceiling = most_by_area(roof, kinds);
    let mut best: Vec<Placed> = Vec::new();
    let mut now: Vec<Placed> = Vec::new();
    for turn in 0..tries {
        // A third of the tries start anew, each with another favourite; the rest mend what there is.
        let mut next = if turn % 3 == 0 { Vec::new() } else { now.clone() };
        for _ in 0..=search.draws.below(TAKEN) {
            if !next.is_empty() {
                let out = search.draws.below(next.len());
                next.swap_remove(out);
            }
        }
        let favour = search.draws.below(count + 1);
        search.fill(&mut next, favour);
        if rated(kinds, &next) >= rated(kinds, &now) {
            now = next;
        }
        if rated(kinds, &now) > rated(kinds, &best) {
            best.clone_from(&now);
        }
        // No room for one panel more, whatever the layout.
        if rated(kinds, &best) + least > ceiling || search.left.get() < PANELS {
            break;
        }
    }
    best
}

fn yes() -> bool {
    true
}

/// Tries of one call of the kernel.
const TRIES: usize = 3000;

/// A kind of panel that may go on a roof.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<PanelKind>)]
pub struct PanelKind {
    /// Length.
    pub length_m: f64,
    /// Width.
    pub width_m: f64,
    /// Power on its label.
    pub rated_w: f64,
    /// Most of them; any number when left out.
    pub most_n: Option<u32>,
}

ranged!(PanelKind {
    length_m ["m"] Range::of(0.1, 10.0),
    width_m ["m"] Range::of(0.1, 10.0),
    rated_w ["W"] Range::over(0.0, 1e4),
    most_n [""] Range::of(0.0, 1000.0),
});

/// Input of [`pack_roof`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<PackRoofIn>)]
pub struct PackRoofIn {
    /// Length along the vehicle.
    pub length_m: f64,
    /// Width.
    pub width_m: f64,
    /// What stays free: front, left, rear and right edge of each, from the front left corner of the roof.
    #[serde(default)]
    pub keep_out_m: Vec<[f64; 4]>,
    /// Kinds of panels there are.
    pub panels: Vec<PanelKind>,
    /// Clear gap between two panels.
    #[serde(default)]
    pub gap_m: f64,
    /// What stays free along each edge.
    #[serde(default)]
    pub edge_m: f64,
    /// Whether a panel may lie across.
    #[serde(default = "yes")]
    pub turn: bool,
}

ranged!(PackRoofIn {
    length_m ["m"] Range::over(0.0, 20.0),
    width_m ["m"] Range::over(0.0, 20.0),
    keep_out_m ["m"] Range::of(-100.0, 100.0),
    gap_m ["m"] Range::of(0.0, 1.0),
    edge_m ["m"] Range::of(0.0, 2.0),
});

/// A panel in its place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PanelPlace {
    /// Which kind, counted from 0.
    pub panel: u32,
    /// Front, left, rear and right edge.
    pub at_m: [f64; 4],
}

/// Output of [`pack_roof`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PackRoofOut {
    /// Power on all labels together.
    pub rated_w: f64,
    /// How many of each kind.
    pub count_n: Vec<u32>,
    /// Where each lies.
    pub places: Vec<PanelPlace>,
}

/// Panels that fit on a roof, for the most watts.
///
/// | input        | unit | range          | note                                              |
/// |--------------|------|----------------|---------------------------------------------------|
/// | `length_m`   | m    | over 0 to 20   | of the roof along the vehicle                     |
/// | `width_m`    | m    | over 0 to 20   | of the roof                                       |
/// | `keep_out_m` | m    | -100 to 100    | front, left, rear, right edge of each; up to 100  |
/// | `gap_m`      | m    | 0 to 1         | between two panels; default 0                     |
/// | `edge_m`     | m    | 0 to 2         | free along each edge; default 0                   |
///
/// `panels` is a list of 1 to 8 kinds, each `length_m` and `width_m` (0.1 to 10 m), `rated_w` and `most_n`; `turn` (default
/// true) lets them lie across. A keep-out is taken as it is: add a clearance of its own, and give a walkway as one. Gives
/// `rated_w`, `count_n` of each kind and `places`, at most 100. A good layout, not proved to be the best.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above; `Count` no kind or too many.
///
/// # Source
/// Search over layouts that cannot be pushed forward or left, with a fixed number of tries.
///
/// # Checked against
/// `tests/outside/shade.rs`: optima on a grid proved by a solver.
pub fn pack_roof(input: &PackRoofIn) -> Result<PackRoofOut, KernelError> {
    /// Most kinds, and most keep-outs.
    const MOST: (usize, usize) = (8, 100);
    check_list("panels", &input.panels, 1, MOST.0)?;
    check_count("keep_out_m", input.keep_out_m.len(), 0, MOST.1)?;
    input.check()?;
    let kinds: Vec<Kind> =
        input.panels.iter().map(|p| Kind { length: p.length_m, width: p.width_m, rated_w: p.rated_w, most: p.most_n }).collect();
    let keep_out = input.keep_out_m.iter().map(|[x0, y0, x1, y1]| Rect::new(x0.min(*x1), y0.min(*y1), x0.max(*x1), y0.max(*y1)));
    let roof = Roof {
        length: input.length_m,
        width: input.width_m,
        keep_out: keep_out.collect(),
        gap: input.gap_m,
        edge: input.edge_m,
        turn: input.turn,
    };
    let placed = pack(&roof, &kinds, TRIES);
    // Never minus zero.
    let edges = |at: Rect| [at.x0 + 0.0, at.y0 + 0.0, at.x1 + 0.0, at.y1 + 0.0];
    let count = |kind: usize| placed.iter().filter(|p| p.kind == kind).count() as u32;
    Ok(PackRoofOut {
        rated_w: finite("rated_w", rated(&kinds, &placed))?,
        count_n: (0..kinds.len()).map(count).collect(),
        places: placed.iter().map(|p| PanelPlace { panel: p.kind as u32, at_m: edges(p.at) }).collect(),
    })
}
