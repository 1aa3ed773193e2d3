//! The panels of a roof laid anew, so that all of them fit and the walkway stays free.

use check::limits::HeldBound;
use check::remedy::{Effort, Proposal};
use check::working::number;
use check::{Context, Held};
use physics::roof_pack::{self, Kind, Placed};
use physics::roof_shadow::Rect;
use quantity::{Dimension, System, show_exact};
use rig_facts::power::Roof;
use rig_model::model::{Panel, Walkway};
use rig_model::{Edit, EditOp, Free, Thing};

/// The bound of an "at least" limit; nothing of another kind.
pub(crate) fn least(held: &Held) -> f64 {
    match &held.bound {
        HeldBound::AtLeast(least) | HeldBound::Between(least, _) => least.value(),
        HeldBound::AtMost(_) => 0.0,
    }
}

/// Width of the strip along a side on which nothing lies, m.
pub(crate) fn free(roof: &Roof, taken: &[Rect], side: Walkway) -> f64 {
    let middle = roof.width / 2.0;
    let left = taken.iter().map(|rect| rect.y0).fold(roof.width, f64::min);
    let right = taken.iter().map(|rect| rect.y1).fold(0.0, f64::max);
    match side {
        Walkway::Left => left,
        Walkway::Right => roof.width - right,
        Walkway::Centre if taken.iter().any(|rect| rect.y0 < middle && rect.y1 > middle) => 0.0,
        Walkway::Centre => {
            let on_left = |rect: &&Rect| (rect.y0 + rect.y1) / 2.0 < middle;
            let from = taken.iter().filter(on_left).map(|rect| rect.y1).fold(0.0, f64::max);
            let to = taken.iter().filter(|rect| !on_left(rect)).map(|rect| rect.y0).fold(roof.width, f64::min);
            to - from
        }
        Walkway::None => 0.0,
    }
}

/// Layouts that are tried. A choice of this project: some milliseconds.
const TRIES: usize = 200;
/// Places are laid to the nearest of these, m. A choice of this project.
const STEP: f64 = 0.001;

/// All panels on the roof laid anew; none where they do not fit, or where one has no place to begin with.
pub(crate) fn anew(cx: &Context, roof: &Roof) -> Option<Proposal> {
    let front = *roof.front.as_ref().ok()?;
    let laid: Vec<(usize, &Panel, Rect)> =
        roof.rects().filter_map(|(at, rect)| Some((at, cx.rig().panel.get(at)?, rect))).collect();
    if roof.panels.iter().any(|laid| laid.rect.is_err() && !crate::roof_space::is_folding(cx, laid.index)) || laid.is_empty() {
        return None;
    }
    let own = cx.rig().roof.as_ref();
    let usual = |limit: &str| cx.limits(limit).iter().map(least).fold(0.0, f64::max);
    let told = |length: Option<f64>, limit: &str| length.unwrap_or_else(|| usual(limit));
    let edge = told(own.and_then(|roof| roof.edge.as_ref()).map(|edge| edge.si()), "power/roof-edge");
    let gap = told(own.and_then(|roof| roof.gap.as_ref()).map(|gap| gap.si()), "power/roof-gap");
    let wish = own.and_then(|roof| roof.walkway.as_ref()).map(|width| width.si());
    let side = own.and_then(|roof| roof.walkway_side);
    let width =
        (wish.is_some() || side.is_some()).then(|| told(wish, "power/roof-walkway")).filter(|_| side != Some(Walkway::None));
    // Clear gaps and edges keep a little in hand, as a remedy does.
    let in_hand = 1.0 / check::draft::GOAL;
    let (edge, gap) = (up(edge * in_hand), up(gap * in_hand));
    let pieces: Vec<Rect> = roof.pieces.iter().filter_map(|piece| piece.rect.clone().ok()).collect();
    let grown = |rect: &Rect| Rect::new(rect.x0 - gap, rect.y0 - gap, rect.x1 + gap, rect.y1 + gap);
    let sides = side.map_or_else(|| vec![Walkway::Left, Walkway::Right, Walkway::Centre], |side| vec![side]);
    let strips: Vec<Option<Rect>> = match width {
        None => vec![None],
        Some(width) => {
            // A strip over a hatch would not be free.
            let open = sides.into_iter().filter(|side| free(roof, &pieces, *side) >= width * in_hand);
            open.map(|side| Some(strip(roof, side, up(width * in_hand)))).collect()
        }
    };
    let kinds = kinds(&laid);
    let fits = |strip: &Option<Rect>| {
        let keep_out = pieces.iter().map(grown).chain(*strip).collect();
        let plan = roof_pack::Roof { length: roof.length, width: roof.width, keep_out, gap, edge, turn: true };
        let placed = roof_pack::pack(&plan, &kinds, TRIES);
        let rects: Vec<Rect> = placed.iter().map(|one| one.at).collect();
        (placed.len() == laid.len() && roof_pack::faults(&plan, &rects).is_empty()).then_some(placed)
    };
    let placed = strips.iter().find_map(fits)?;
    let moves = matched(&laid, &kinds, placed);
    let text = moves.iter().map(|(panel, at)| {
        format!("{} {} m behind the front edge and {} m from the left one", panel.name, number(at.x0, 3), number(at.y0, 3))
    });
    let text = text.collect::<Vec<_>>().join("; ");
    let edits = moves.iter().flat_map(|(panel, at)| place(panel, at, front, roof.width, cx)).collect();
    Some(Proposal { text: format!("lay the panels anew, front left corners: {text}"), effort: Effort::AnAfternoon, edits })
}

fn up(length: f64) -> f64 {
    check::edits::up_to_step(length, STEP)
}

fn strip(roof: &Roof, side: Walkway, width: f64) -> Rect {
    let (from, to) = match side {
        Walkway::Left => (0.0, width),
        Walkway::Right => (roof.width - width, roof.width),
        _ => ((roof.width - width) / 2.0, (roof.width + width) / 2.0),
    };
    Rect::new(0.0, from, roof.length, to)
}

/// Sizes that are alike when turned are one kind.
fn size(rect: &Rect) -> (f64, f64) {
    let round = |length: f64| (length / STEP).round() * STEP;
    let (long, wide) = (round(rect.x1 - rect.x0), round(rect.y1 - rect.y0));
    (long.max(wide), long.min(wide))
}

fn kinds(laid: &[(usize, &Panel, Rect)]) -> Vec<Kind> {
    let mut kinds: Vec<Kind> = Vec::new();
    for (_, _, rect) in laid {
        let (length, width) = size(rect);
        match kinds.iter_mut().find(|kind| (kind.length, kind.width) == (length, width)) {
            Some(kind) => kind.most = kind.most.map(|most| most + 1),
            // All of them have to fit: what counts is area.
            None => kinds.push(Kind { length, width, rated_w: length * width, most: Some(1) }),
        }
    }
    kinds
}

fn matched<'p>(laid: &[(usize, &'p Panel, Rect)], kinds: &[Kind], mut placed: Vec<Placed>) -> Vec<(&'p Panel, Rect)> {
    let mut moves = Vec::new();
    for (_, panel, rect) in laid {
        let of = size(rect);
        let mine = placed.iter().position(|one| kinds.get(one.kind).is_some_and(|kind| (kind.length, kind.width) == of));
        if let Some(mine) = mine {
            moves.push((*panel, placed.remove(mine).at));
        }
    }
    moves
}

/// The edits that lay one panel: its middle, and its size where it is turned.
fn place(panel: &Panel, at: &Rect, front: f64, roof_width: f64, cx: &Context) -> Vec<Edit> {
    let path = panel.path();
    let inner = if panel.in_body() { front + cx.facts().body().walls.value() } else { 0.0 };
    let x = (at.x0 + at.x1) / 2.0 + front - inner;
    let y = (at.y0 + at.y1) / 2.0 - roof_width / 2.0;
    let text = |length: f64| Some(Free::Text(show_exact((length / FINE).round() * FINE, Dimension::Length, System::Metric)));
    let set = |key: String, to: f64| Edit { path: format!("{path}.{key}"), op: EditOp::Set, from: None, to: text(to) };
    let mut edits = vec![set("at[1]".to_owned(), x), set("at[2]".to_owned(), y)];
    let (long, wide) = (at.x1 - at.x0, at.y1 - at.y0);
    let now = panel.size.as_ref().map(|[long, wide, _]| (long.value(), wide.value()));
    let turned = now.and_then(|(now_long, now_wide)| Some((now_long? - long).abs() > STEP && (now_wide? - wide).abs() > STEP));
    if turned == Some(true) {
        edits.push(set("size[1]".to_owned(), long));
        edits.push(set("size[2]".to_owned(), wide));
    }
    edits
}

/// Places are written to a tenth of a millimetre.
const FINE: f64 = 1e-4;
