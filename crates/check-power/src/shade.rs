//! power/shade: how much of the year do trees, hills and the roof's own boxes take from the panels?
//!
//! demand      share of the energy of a mean year that a panel loses to the horizon, and to the shadows of what stands on the
//!             roof
//! capacity    the owner's share, or the usual one, at most
//! states      once for each panel entry
//! leaves out  leaves that fall, awnings, antennas, a spare wheel that is no [[roof.hatch]]; shadows on tilted panels are taken
//!             as on flat ones; panels without a place on the roof see the horizon alone

use std::borrow::Cow;

use check::remedy::{Effort, Proposal};
use check::subject::each_or_missing;
use check::working::{figure, number, percent};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Verdict, Words};
use physics::pv_year::{Behind, Horizon, Ready};
use physics::roof_shadow::{Rect, Wiring, groups_left, thrown};
use physics::shade::Profile;
use physics::sun::Direction;
use quantity::{Dimension, Estimate, real};
use rig_facts::Gap;
use rig_facts::power::loads::{HOURS, MONTHS};
use rig_facts::power::{Lit, Power, Roof, Site0, month_name, planes, run};
use rig_model::model::{Horizon as Word, Panel};
use rig_model::{Edit, EditOp, Free, Thing};

use crate::feeds::{owners, taken};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/shade"),
    question: Cow::Borrowed("How much of the year do trees, hills and the roof's own boxes take from the panels?"),
    words: Words::new("loses of a year's energy", "may lose"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["site.horizon", "site.latitude"]),
    uses: List::Static(&[
        "site",
        "roof",
        "body.front",
        "body.floor",
        "body.length",
        "body.width",
        "body.height",
        "body.walls",
        "panel.name",
        "panel.at",
        "panel.in",
        "panel.size",
        "panel.count",
        "panel.tilt",
        "panel.faces",
        "panel.mounted",
        "panel.gap",
        "panel.power_change",
        "panel.glass",
        "panel.groups",
        "panel.half_cut",
        "panel.cells",
        "power.shade_loss",
    ]),
    limits: List::Static(&["power/shade-loss"]),
    formula: List::Static(&[
        "hour by hour: with the sun behind the horizon its beam and the ring around it are lost; of the rest of the sky what it covers",
        "a bypassed group that the shadow of a box touches counts as lost, unless a tenth of one cell or less is covered",
        "lost = 1 - energy behind all that / energy under an open sky",
    ]),
    cautions: List::Static(&[
        "stay off a wet roof, and off any roof without something to hold on to: a skyline can be read from a ladder that somebody holds",
        "a shaded cell of a large string gets hot: look for brown spots",
    ]),
};

/// How much do trees, hills and the roof's own boxes take?
#[derive(Debug)]
pub struct Shade;

/// Years that are looked at of those drawn; what a horizon takes hardly differs from one to the next. A choice of this project.
const YEARS: usize = 2;
/// Shadows are worked out for one day in so many, since the sun's path hardly moves in a week. A choice of this project.
const DAYS_ALIKE: usize = 8;
/// Corners on the roof are taken to this, m. A choice of this project: a thousandth of what a tape shows.
const GRAIN: f64 = 1e-6;
/// Headings that are tried where none is told. A choice of this project.
const HEADINGS: u32 = 8;
impl Check for Shade {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let roof = Roof::of(cx.rig(), cx.facts().power(), cx.facts().body()).ok();
        let findings = cx.rig().panel.iter().enumerate().map(|(index, panel)| answer(cx, index, panel, roof.as_ref()));
        each_or_missing(cx, &CARD, "panels", "panel", findings)
    }
}

/// What a panel is asked under.
struct Sky<'c> {
    power: &'c Power,
    site: &'c Site0,
    lit: &'c Lit,
    panel: &'c rig_facts::power::Panel,
}

/// Energy over rated power, h, under an open sky and behind what stands there, by month.
#[derive(Clone, Debug, Default, PartialEq)]
struct Sums {
    open: [f64; MONTHS],
    left: [f64; MONTHS],
}

impl Sums {
    fn lost(&self) -> f64 {
        let (open, left): (f64, f64) = (self.open.iter().sum(), self.left.iter().sum());
        if open > 0.0 { 1.0 - left / open } else { 0.0 }
    }

    /// The month of use that loses most, from 0, and its share.
    fn worst(&self, used: impl Fn(usize) -> bool) -> Option<(usize, f64)> {
        let months = self.open.iter().zip(&self.left).enumerate().filter(|(month, (open, _))| used(*month) && **open > 0.0);
        months.map(|(month, (open, left))| (month, 1.0 - left / open)).max_by(|a, b| a.1.total_cmp(&b.1))
    }
}

impl Sky<'_> {
    /// The horizon raised by an angle, rad; none where none is told.
    fn profile(&self, by: f64) -> Option<Profile> {
        let points: Vec<(f64, f64)> = self.site.skyline.iter().map(|(at, height)| (*at, (height + by).max(0.0))).collect();
        Profile::new(&points).ok()
    }

    /// Energy under an open sky, and of each view behind what stands there: light and what does not change with the view are
    /// worked out once for all of them.
    fn sums<const N: usize>(&self, views: &[View<'_>; N]) -> Result<[Sums; N], Gap> {
        let plane = planes::plane(self.panel, self.site, Horizon::Open)?;
        let open = Ready::new(&plane).map_err(|_| Gap::at(format!("{}.tilt", self.panel.path)))?;
        let behind = views.each_ref().map(|view| {
            let profile = view.profile.as_ref();
            profile.map(|profile| Behind::new(profile, plane.tilt, plane.azimuth))
        });
        // How it is mounted does not change the light.
        let key = format!("light {} {} {} {}", plane.tilt, plane.azimuth, plane.angular_loss, plane.albedo);
        let lit_hours = self.power.kept(&key, || planes::lit_hours(&open, self.lit, YEARS));
        let months: Vec<usize> = run::month_of_days().collect();
        let (mut whole, mut left) = ([0.0; MONTHS], [[0.0; N]; MONTHS]);
        for at in lit_hours.iter().flatten() {
            let Some(&month) = months.get(at.hour / HOURS) else { continue };
            let (Some(whole), Some(left)) = (whole.get_mut(month), left.get_mut(month)) else { continue };
            let Some(sun) = self.lit.sun.direction(at.hour) else { continue };
            let (share, change) = open.by_light(at.air, at.wind);
            let power = |light: f64| (light * (share + change * light)).max(0.0);
            *whole += power(at.direct + at.sky + at.ground);
            for (left, (view, behind)) in left.iter_mut().zip(views.iter().zip(&behind)) {
                let (direct, sky) = behind.as_ref().map_or((at.direct, at.sky), |behind| behind.leaves(at.direct, at.sky, &sun));
                let seen = view.beam.and_then(|beam| beam.get(at.hour)).copied().unwrap_or(1.0);
                *left += power(seen * direct + sky + at.ground);
            }
        }
        let of = |view: usize| left.each_ref().map(|month| month.get(view).copied().unwrap_or(0.0));
        Ok(std::array::from_fn(|view| Sums { open: whole, left: of(view) }))
    }
}

/// What stands in the way.
struct View<'a> {
    /// The horizon.
    profile: Option<Profile>,
    /// Share of beam that boxes on the roof leave, by hour of the year.
    beam: Option<&'a [f64]>,
}

/// A panel among what throws shadows on it.
#[derive(Debug)]
struct Near {
    rect: Rect,
    wiring: Wiring,
    /// Base and height above the panel's face, m.
    boxes: Vec<(Rect, f64)>,
}

impl Near {
    /// None where nothing stands there, or the panel has no place. The gap of a height that is not told.
    fn of(roof: Option<&Roof>, index: usize, panel: &Panel) -> Result<Option<Self>, Gap> {
        let Some(roof) = roof.filter(|roof| !roof.pieces.is_empty()) else { return Ok(None) };
        let Some((_, rect)) = roof.rects().find(|(at, _)| *at == index) else { return Ok(None) };
        let thick = panel.size.as_ref().and_then(|[_, _, height]| height.value()).unwrap_or(0.0);
        let gap = panel.gap.as_ref().and_then(quantity::Stated::value).unwrap_or(0.0);
        let mut boxes = Vec::new();
        for piece in &roof.pieces {
            let Ok(base) = piece.rect else { continue };
            let height = piece.height.clone()?;
            if height > gap + thick {
                boxes.push((base, height - gap - thick));
            }
        }
        let whole = |count: u32| usize::try_from(count).unwrap_or(1);
        let wiring = Wiring {
            groups: panel.groups.map_or(taken("groups of a panel") as usize, whole),
            cells: panel.cells.map_or(taken("cells of a panel") as usize, whole),
            half_cut: panel.half_cut == Some(rig_model::model::YesNo::Yes),
        };
        // From the panel's own corner: a roof that moves as a whole throws the same shadows.
        let grain = |metres: f64| (metres / GRAIN).round() * GRAIN;
        let moved =
            |of: Rect| Rect::new(grain(of.x0 - rect.x0), grain(of.y0 - rect.y0), grain(of.x1 - rect.x0), grain(of.y1 - rect.y0));
        let boxes: Vec<(Rect, f64)> = boxes.into_iter().map(|(base, height)| (moved(base), height)).collect();
        Ok((!boxes.is_empty()).then(|| Self { rect: moved(rect), wiring, boxes }))
    }

    /// Share of the beam that is left in each hour of the year, the nose at a heading, rad.
    fn beam(&self, lit: &Lit, heading: f64) -> Vec<f64> {
        let (suns, nose) = (lit.sun.len(), real::sin_cos(heading));
        let mut left = vec![1.0; suns];
        for start in (0..suns).step_by(DAYS_ALIKE * HOURS) {
            for hour in 0..HOURS {
                let middle = start + DAYS_ALIKE / 2 * HOURS + hour;
                let Some(sun) = lit.sun.direction(middle.min(suns.saturating_sub(HOURS) + hour)) else { continue };
                let share = self.left(&sun, nose);
                if share < 1.0 {
                    left.iter_mut().skip(start + hour).step_by(HOURS).take(DAYS_ALIKE).for_each(|left| *left = share);
                }
            }
        }
        left
    }

    /// Share of the beam that is left with the sun in a direction, by sine and cosine of the heading.
    fn left(&self, sun: &Direction, nose: (f64, f64)) -> f64 {
        let shadows = self.boxes.iter().filter_map(|(base, height)| {
            let (dx, dy) = thrown(*height, sun, nose)?;
            let apart = base.x0 + dx.min(0.0) > self.rect.x1
                || base.x1 + dx.max(0.0) < self.rect.x0
                || base.y0 + dy.min(0.0) > self.rect.y1
                || base.y1 + dy.max(0.0) < self.rect.y0;
            (!apart).then_some((*base, (dx, dy)))
        });
        let shadows: Vec<(Rect, (f64, f64))> = shadows.collect();
        if shadows.is_empty() { 1.0 } else { groups_left(&self.rect, self.wiring, &shadows) }
    }
}

/// What came of one panel.
struct Found {
    lost: Estimate,
    sums: Sums,
    /// Share lost to the horizon alone.
    horizon: f64,
}

/// The numbers of it.
#[derive(Clone)]
struct Lost {
    sums: Sums,
    horizon: f64,
    /// Change of what is lost with the height of the horizon, 1/rad; none where that has no doubt.
    slope: Option<f64>,
}

impl Lost {
    fn of(sky: &Sky<'_>, beam: Option<&[f64]>) -> Result<Self, Gap> {
        let view = |by: f64, beam| View { profile: sky.profile(by), beam };
        let (now, horizon) = (view(0.0, beam), view(0.0, None));
        let (low, high) = sky.site.skyline_off.interval95();
        if high <= low || sky.site.skyline.is_empty() {
            let [sums, horizon] = sky.sums(&[now, horizon])?;
            return Ok(Self { sums, horizon: horizon.lost(), slope: None });
        }
        let [sums, horizon, at_low, at_high] = sky.sums(&[now, horizon, view(low, beam), view(high, beam)])?;
        // Far from a straight line: the steeper side counts for both.
        let slope = ((at_high.lost() - sums.lost()) / high).max((sums.lost() - at_low.lost()) / -low);
        Ok(Self { sums, horizon: horizon.lost(), slope: Some(slope) })
    }
}

fn found(sky: &Sky<'_>, near: Option<&Near>, heading: f64) -> Result<Found, Gap> {
    let plane = planes::plane(sky.panel, sky.site, Horizon::Open)?;
    let (skyline, off) = (&sky.site.skyline, sky.site.skyline_off.interval95());
    let key = format!("shade {plane:?} {near:?} {:?} {skyline:?} {off:?}", near.map(|_| heading));
    let kept = sky.power.kept(&key, || {
        let beam = near.map(|near| sky.power.kept(&format!("beam {near:?} {heading}"), || near.beam(sky.lit, heading)));
        Lost::of(sky, beam.as_deref().map(Vec::as_slice))
    });
    let Lost { sums, horizon, slope } = kept.as_ref().clone()?;
    let lost = match slope {
        Some(slope) => sky.site.skyline_off.scale(slope).offset(sums.lost()),
        None => Estimate::exact(sums.lost()),
    };
    Ok(Found { lost, sums, horizon })
}

fn answer(cx: &Context, index: usize, panel: &Panel, roof: Option<&Roof>) -> Finding {
    let begin = || -> Draft<'_> { CARD.about(cx, &panel.name).at(panel.path()) };
    let power = cx.facts().power();
    let sky = match (power.site(), power.drawn(), power.panels().get(index)) {
        (Ok(site), Ok(lit), Some(panel)) => Sky { power, site, lit, panel },
        (Err(gap), _, _) | (_, Err(gap), _) => return begin().blocked(&gap),
        (_, _, None) => return begin().missing("panel"),
    };
    let wish = cx.rig().power.as_ref().and_then(|power| power.shade_loss.as_ref());
    let held = owners(cx, wish.map(|share| share.si()), "power.shade_loss", "power/shade-loss");
    let near = match Near::of(roof, index, panel) {
        Ok(near) => near,
        Err(gap) => return begin().blocked(&gap),
    };
    match judged(cx, &sky, near.as_ref(), &held, &begin) {
        Ok((found, draft, even)) => said(cx, &sky, panel, near.as_ref(), &held, (found, draft, even)),
        Err(gap) => begin().blocked(&gap),
    }
}

type Judged<'c> = (Found, Draft<'c>, &'static str);

/// Where something is not told: the worst of it if that holds, the best if that fails; else the gap.
fn judged<'c>(
    cx: &Context,
    sky: &Sky<'_>,
    near: Option<&Near>,
    held: &[Held],
    begin: &impl Fn() -> Draft<'c>,
) -> Result<Judged<'c>, Gap> {
    let heading = cx.facts().power().told("site.heading").map(Estimate::value);
    let headings: Vec<f64> = match (near, &heading) {
        (None, _) => vec![0.0],
        (Some(_), Ok(heading)) => vec![*heading],
        (Some(_), Err(_)) => (0..HEADINGS).map(|k| f64::from(k) * std::f64::consts::TAU / f64::from(HEADINGS)).collect(),
    };
    let mut all = Vec::new();
    for heading in &headings {
        all.push(found(sky, near, *heading)?);
    }
    all.sort_by(|a, b| b.lost.value().total_cmp(&a.lost.value()));
    let one = all.len() == 1;
    let best = all.pop().ok_or_else(|| Gap::at("site.heading"))?;
    let verdict = |found: &Found| begin().compare(&found.lost, held).verdict();
    let unknown_horizon = sky.site.skyline.is_empty();
    let best_verdict = verdict(&best);
    if best_verdict == Verdict::Fail {
        // Whatever else stands there takes more.
        let draft = begin().compare(&best.lost, held);
        return Ok((best, draft, if one { "" } else { ", whichever way it is parked" }));
    }
    if unknown_horizon {
        return Err(Gap::at("site.horizon"));
    }
    if one {
        let draft = begin().compare(&best.lost, held);
        return Ok((best, draft, ""));
    }
    let worst = all.into_iter().next().ok_or_else(|| Gap::at("site.heading"))?;
    if verdict(&worst) == Verdict::Pass {
        let draft = begin().compare(&worst.lost, held);
        return Ok((worst, draft, ", even parked the worst way round"));
    }
    Err(Gap::at("site.heading"))
}

fn said(
    cx: &Context,
    sky: &Sky<'_>,
    panel: &Panel,
    near: Option<&Near>,
    held: &[Held],
    (found, draft, even): Judged<'_>,
) -> Finding {
    let used = cx.facts().power().months();
    let worst = found.sums.worst(|month| used.has(month));
    let month = worst.map_or(String::new(), |(month, share)| format!("; in {} {}", month_name(month), percent(share)));
    let boxes = (found.sums.lost() - found.horizon).max(0.0);
    let roof = if near.is_some() { format!(", what stands on the roof {}", percent(boxes)) } else { String::new() };
    let draft = if near.is_some() { draft.exhibit("roof-plan") } else { draft };
    draft
        .sentence(format!("the horizon takes {}{roof}{month}{even}", percent(found.horizon)))
        .working(|| {
            let hours = |of: &[f64; MONTHS]| figure(of.iter().sum::<f64>() / YEARS as f64, 1);
            let (open, left) = (hours(&found.sums.open), hours(&found.sums.left));
            let lost = (open.get() - left.get()) / open.get();
            [
                format!("a mean year under an open sky gives {open} Wh for each watt of the label, here {left} Wh"),
                format!("({open} Wh - {left} Wh) / {open} Wh = {}", percent(lost)),
            ]
        })
        .remedies(|_| ways_out(cx, sky, panel, near, held))
        .done()
}

/// Park another way round where boxes throw the shade; park where less stands around.
fn ways_out(cx: &Context, sky: &Sky<'_>, panel: &Panel, near: Option<&Near>, held: &[Held]) -> Vec<Proposal> {
    let passes = |lost: &Estimate| CARD.about(cx, &panel.name).compare(lost, held).verdict() == Verdict::Pass;
    let heading = cx.facts().power().told("site.heading").map(Estimate::value).ok();
    let flat = panel.tilt.is_none();
    let mut ways = Vec::new();
    if let (Some(near), Some(now), true) = (near, heading, flat) {
        let turned = (1..HEADINGS).filter_map(|k| {
            let to = (now + f64::from(k) * std::f64::consts::TAU / f64::from(HEADINGS)).rem_euclid(std::f64::consts::TAU);
            let found = found(sky, Some(near), to).ok()?;
            passes(&found.lost).then_some((to, found.lost.value()))
        });
        if let Some((to, _)) = turned.min_by(|a, b| a.1.total_cmp(&b.1)) {
            let to = to.to_degrees().round().to_radians();
            ways.push(Proposal {
                text: format!("park with the nose to {} deg", number(to.to_degrees(), 0)),
                effort: Effort::Minutes,
                edits: vec![check::edits::set("site.heading", Some(now), to, Dimension::Angle)],
            });
        }
    }
    let site = cx.rig().site.as_ref();
    if let Some(now) = site.filter(|site| site.skyline.is_empty()).and_then(|site| site.horizon) {
        let near = near.filter(|_| heading.is_some());
        let word = |word: Word| Some(Free::Text(word.word().to_owned()));
        let enough =
            [(Word::SomeTrees, "where only some trees stand"), (Word::Open, "in the open")].into_iter().find(|(to, _)| {
                let edit = [Edit { path: "site.horizon".to_owned(), op: EditOp::Set, from: word(now), to: word(*to) }];
                let Ok(edited) = cx.tried_with(&edit) else { return false };
                let Ok(site) = edited.facts().power().site() else { return false };
                *to != now
                    && found(&Sky { site, ..*sky }, near, heading.unwrap_or_default()).is_ok_and(|found| passes(&found.lost))
            });
        ways.extend(enough.map(|(to, words)| Proposal {
            text: format!("park {words}"),
            effort: Effort::Minutes,
            edits: vec![Edit { path: "site.horizon".to_owned(), op: EditOp::Set, from: word(now), to: word(to) }],
        }));
    }
    ways
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    fn lost(horizon: &str) -> f64 {
        let rig = format!(
            "[site]\nlatitude = \"36.1 deg\"\nlongitude = \"-79.9 deg\"\n{horizon}\n\
             sun = [2.5, 3.3, 4.3, 5.4, 6.0, 6.3, 6.1, 5.5, 4.6, 3.7, 2.7, 2.2]\n\
             high = [\"9 °C\", \"11 °C\", \"16 °C\", \"21 °C\", \"25 °C\", \"29 °C\", \"31 °C\", \"30 °C\", \"27 °C\", \"21 °C\", \"16 °C\", \"10 °C\"]\n\
             low = [\"-2 °C\", \"-1 °C\", \"3 °C\", \"8 °C\", \"13 °C\", \"18 °C\", \"20 °C\", \"19 °C\", \"16 °C\", \"9 °C\", \"4 °C\", \"0 °C\"]\n\
             [[panel]]\nname = \"roof\"\nmounted = \"open\"\n"
        );
        first(&Shade, &rig).demand.expect("a number").value.0
    }

    #[test]
    fn about_what_the_reference_has_for_a_horizon_all_round() {
        // Greensboro, flat, open rack, a year of an open library: 5 degrees 0.4 %, 20 degrees 8.3 %. Here the ring around the sun
        // goes with the sun, and the years are drawn.
        let (open, valley) = (lost("horizon = \"open\""), lost("horizon = \"valley\""));
        assert!((open - 0.004).abs() < 0.005, "{open}");
        assert!((valley - 0.083).abs() < 0.025, "{valley}");
    }

    #[test]
    fn a_box_shades_the_panel_behind_it_while_the_sun_is_before_it() {
        let near = Near {
            rect: Rect::new(1.0, 0.0, 2.0, 1.0),
            wiring: Wiring { groups: 3, cells: 36, half_cut: false },
            boxes: vec![(Rect::new(0.0, 0.0, 0.8, 1.0), 0.5)],
        };
        // Nose to the south, the sun in the south at 45 degrees: the shadow reaches 0.5 m behind the box, 0.3 m over the panel.
        let half = f64::sqrt(0.5);
        let south = Direction { east: 0.0, north: -half, up: half };
        let (to_south, to_north) = ((0.0, -1.0), (0.0, 1.0));
        assert!(near.left(&south, to_south) < 1.0);
        assert_eq!(near.left(&south, to_north), 1.0);
        assert_eq!(near.left(&Direction { east: 0.0, north: 0.0, up: 1.0 }, to_south), 1.0);
    }
}
