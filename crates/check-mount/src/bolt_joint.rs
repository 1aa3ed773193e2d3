//! One line of bolts in a load path: what the worst of them carries across and along itself, and what it may carry.
//!
//! Bolts share alike. Where the load stands off the face they press on, they go through an upright face (the web of a
//! rail) and the bracket turns on its lower edge and on its side; else it passes through their middle, and of an upright
//! and a lying face the worse counts.

use check::Context;
use physics::fastener::{self, InPlate, ShearPlane, shear_area};
use physics::thread::{Grade, Thread, grade};
use physics::{mount_facts, weld};
use quantity::{Estimate, real};
use rig_facts::Gap;
use rig_model::model::{self, Bolts, MountKind};

use crate::places::{Place, arm};
use crate::sources::{JOINT, taken};

/// What is taken for a bolt whose class nobody read.
pub const WORST_CLASS: &str = "4.6";
/// What is taken for a steel that nobody knows.
pub const WORST_STEEL: &str = "S235";

/// What about a joint was taken at its worst since nobody told it.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// Path of what would tell.
    pub path: String,
    /// "the bolts are 4.6".
    pub words: String,
    /// Whether it bears on the plate and not on the bolt.
    pub plate: bool,
}

/// Sizes that a joint's answer rests on, in this order in every list of them, m.
const SIZES: usize = 7;
const ARM: usize = 0;
const HEEL: usize = 1;
const GAUGE: usize = 2;
const PITCH: usize = 3;
const EDGE: usize = 4;
const SIDE: usize = 5;
const THICKNESS: usize = 6;

/// A line of bolts, ready for many forces.
#[derive(Clone, Debug)]
pub struct Joint {
    /// Its path.
    pub path: String,
    /// Size of the bolts.
    pub thread: Thread,
    /// Their class.
    pub grade: Grade,
    /// How many.
    pub count: u32,
    /// Resistance of one bolt to shear and to tension, N.
    pub shear: f64,
    /// The same.
    pub tension: f64,
    /// What was taken at its worst.
    pub assumed: Vec<Assumed>,
    /// Ultimate strength of the thinner part, Pa.
    pub plate: f64,
    plane: ShearPlane,
    rows: u32,
    hole: f64,
    sizes: [Estimate; SIZES],
    stands_off: bool,
    lies: bool,
}

/// What the worst bolt of a line carries.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Use {
    /// Across itself, N.
    pub shear: f64,
    /// Along itself, N.
    pub pull: f64,
    /// What the part around it may press on it, N.
    pub bearing: f64,
    /// Share of what it may carry itself.
    pub bolt: f64,
    /// The same with the part beside it.
    pub share: f64,
    /// Whether the part beside the bolt gives before the bolt does.
    pub plate_governs: bool,
}

impl Joint {
    /// A line of bolts as the file has it.
    ///
    /// # Errors
    /// The gap that stops it: a size or a class that is not told or not known, an arm.
    pub fn read(cx: &Context, place: &Place, bolts: &Bolts, path: String) -> Result<Self, Gap> {
        let size = bolts.size.as_deref().filter(|size| *size != "?").ok_or_else(|| Gap::at(format!("{path}.size")))?;
        let thread = Thread::parse(size).map_err(|fault| Gap::because(format!("{path}.size"), fault.to_string()))?;
        let mut assumed = Vec::new();
        let mut take =
            |key: &str, words: String, plate: bool| assumed.push(Assumed { path: format!("{path}.{key}"), words, plate });
        let class = match bolts.class.as_deref().filter(|class| *class != "?") {
            Some(class) => class,
            None => {
                take("class", format!("the bolts are {WORST_CLASS}"), false);
                WORST_CLASS
            }
        };
        let grade = grade(class, thread.diameter).map_err(|fault| Gap::because(format!("{path}.class"), fault.to_string()))?;
        let count = bolts.count.unwrap_or_else(|| {
            take("count", "there is one bolt".to_owned(), false);
            1
        });
        let told = |key: &str| cx.facts().mounts().told(&format!("{path}.{key}")).cloned();
        let rows = bolts.rows.unwrap_or(1).clamp(1, count.max(1));
        let hole = told("hole").map_or_else(|_| fastener::hole(thread.diameter).unwrap_or(thread.diameter), |hole| hole.value());
        let (end, pitch, gauge) = fastener::least_spacing(hole);
        let arm = arm(cx, place, &format!("{path}.arm"))?;
        let stands_off = arm.is_some();
        let mut at_least = |key: &str, least: f64, asked: bool, words: &str, plate: bool| {
            told(key).unwrap_or_else(|_| {
                if asked {
                    take(key, words.to_owned(), plate);
                }
                Estimate::exact(least)
            })
        };
        let columns = count.div_ceil(rows.max(1));
        let of_place =
            || place.part.as_ref().and_then(|(part, _)| cx.facts().mounts().told(&format!("{part}.thickness")).ok().cloned());
        let thickness = told("into.thickness").ok().or_else(of_place);
        let sizes = [
            arm.unwrap_or(Estimate::exact(0.0)),
            at_least("heel", end, stands_off, "the lowest bolt is as near to the edge as it may be", false),
            at_least("gauge", gauge, rows > 1, "the rows are as close as they may be", false),
            at_least("pitch", pitch, columns > 1 && stands_off, "the bolts are as close as they may be", false),
            at_least("edge", end, true, "the holes are as near to the edge as they may be", true),
            at_least("side_edge", end, true, "the holes are as near to the edge as they may be", true),
            thickness.unwrap_or_else(|| {
                let thin = taken(JOINT, "thinnest part that bolts go through, mm") * MILLI;
                take("into", format!("the thinner part is {} mm", taken(JOINT, "thinnest part that bolts go through, mm")), true);
                Estimate::exact(thin)
            }),
        ];
        let steel = bolts.into.as_ref().and_then(|plate| plate.steel.as_deref());
        let steel = steel.or_else(|| place.part.as_ref().and_then(|(_, steel)| steel.as_deref())).filter(|steel| *steel != "?");
        let plate = match steel {
            Some(name) => weld::steel(name).map_err(|fault| Gap::because(format!("{path}.into.steel"), fault.to_string()))?.1,
            None => {
                if bolts.into.is_some() || place.part.is_some() {
                    take("into.steel", format!("its steel is {WORST_STEEL}"), true);
                }
                weld::steel(WORST_STEEL).map(|(_, ultimate, _)| ultimate).unwrap_or_default()
            }
        };
        let plane = match bolts.shear_plane {
            Some(model::ShearPlane::Shank) => ShearPlane::Shank,
            _ => ShearPlane::Thread,
        };
        let mut joint = Self {
            path,
            shear: 0.0,
            tension: 0.0,
            thread,
            grade,
            count: count.max(1),
            assumed,
            plate,
            plane,
            rows,
            hole,
            sizes,
            stands_off,
            lies: place.kind == Some(MountKind::Clamp),
        };
        joint.strengthen();
        Ok(joint)
    }

    /// Works the resistances of one bolt out anew.
    fn strengthen(&mut self) {
        let partial = mount_facts::bolt().partial;
        let (area, factor) = shear_area(&self.thread, &self.grade, self.plane);
        self.shear = fastener::shear(factor, self.grade.ultimate, area, partial);
        self.tension = fastener::tension(self.grade.ultimate, self.thread.stress_area(), partial);
    }

    /// The same with other bolts; none where no table has them.
    #[must_use]
    pub fn with(&self, size: &str, class: &str, count: u32) -> Option<Self> {
        let thread = Thread::parse(size).ok()?;
        let grade = grade(class, thread.diameter).ok()?;
        // A hole drilled out to the next bolt stays where it was.
        let hole = fastener::hole(thread.diameter)?.max(self.hole);
        let mut other = Self { thread, grade, count, hole, ..self.clone() };
        other.strengthen();
        Some(other)
    }

    /// The same with holes that far from every edge and from each other, in a part that thick, m.
    #[must_use]
    pub fn at_edge(mut self, edge: f64, thickness: f64) -> Self {
        let set = [(EDGE, edge), (SIDE, edge), (PITCH, edge), (THICKNESS, thickness)];
        for (at, value) in set {
            self.sizes.iter_mut().skip(at).take(1).for_each(|size| *size = Estimate::exact(value));
        }
        self
    }

    /// Nominal sizes.
    fn nominal(&self) -> [f64; SIZES] {
        self.sizes.each_ref().map(Estimate::value)
    }

    /// What the worst bolt carries under that force on the joint, N along x, y, z.
    #[must_use]
    pub fn under(&self, force: [f64; 3]) -> Use {
        self.with_sizes(force, &self.nominal())
    }

    fn with_sizes(&self, [x, y, z]: [f64; 3], sizes: &[f64; SIZES]) -> Use {
        let count = f64::from(self.count);
        let upright = || {
            let (turning, yawing) = self.turning(x, z, sizes);
            self.used(real::hypot(x, z) / count, y.abs() / count + (turning + yawing) * self.prying(sizes), sizes)
        };
        // What presses down on a lying face does not pull its bolts.
        let lying = || self.used(real::hypot(x, y) / count, (-z).max(0.0) / count, sizes);
        if self.stands_off {
            return upright();
        }
        if self.lies {
            return lying();
        }
        let (upright, lying) = (upright(), lying());
        if upright.share >= lying.share { upright } else { lying }
    }

    /// Pull in the worst bolt of a bracket that turns on its lower edge, and on its side.
    fn turning(&self, x: f64, z: f64, sizes: &[f64; SIZES]) -> (f64, f64) {
        let [arm, heel, gauge, pitch, edge, ..] = *sizes;
        let columns = f64::from(self.count) / f64::from(self.rows);
        let pull = |moment: f64, first: f64, step: f64, steps: u32, beside: f64| {
            let places = (0..steps.max(1)).map(|at| first + step * f64::from(at));
            let (far, squares) = places.fold((0.0_f64, 0.0), |(far, squares), at| (far.max(at), squares + at * at));
            if squares > 0.0 { moment * far / (squares * beside) } else { 0.0 }
        };
        let across = self.count.div_ceil(self.rows.max(1));
        let by_z = pull(z.abs() * arm, heel, gauge, self.rows, columns);
        let by_x = pull(x.abs() * arm, edge, pitch, across, f64::from(self.rows));
        (by_z, by_x)
    }

    /// What a thin part adds to the pull by prying.
    fn prying(&self, sizes: &[f64; SIZES]) -> f64 {
        if sizes.get(THICKNESS).is_some_and(|thick| *thick >= self.thread.diameter) {
            1.0
        } else {
            taken(JOINT, "prying of a thin part")
        }
    }

    fn used(&self, shear: f64, pull: f64, sizes: &[f64; SIZES]) -> Use {
        let bearing = self.bearing(sizes);
        let bolt = fastener::together(shear, self.shear, pull, self.tension);
        let plate = if bearing > 0.0 { shear / bearing } else { f64::INFINITY };
        Use { shear, pull, bearing, bolt, share: bolt.max(plate), plate_governs: plate > bolt }
    }

    fn bearing(&self, sizes: &[f64; SIZES]) -> f64 {
        let get = |at: usize| sizes.get(at).copied().unwrap_or_default();
        let many = |several: bool, at: usize| if several { get(at) } else { f64::INFINITY };
        let plate = InPlate {
            diameter: self.thread.diameter,
            hole: self.hole,
            thickness: get(THICKNESS),
            end: get(EDGE),
            edge: get(SIDE),
            pitch: many(self.count > self.rows, PITCH),
            gauge: many(self.rows > 1, GAUGE),
        };
        fastener::bearing(&plate, self.grade.ultimate, self.plate, mount_facts::bolt().partial)
    }

    /// Share of what the worst bolt may carry, with the doubt of forces and sizes.
    ///
    /// # Errors
    /// The gap of a number that is none.
    pub fn share(&self, [x, y, z]: &[Estimate; 3], lever: f64) -> Result<Estimate, Gap> {
        let mut inputs = vec![x, y, z];
        inputs.extend(&self.sizes);
        Estimate::propagate(&inputs, |v| {
            let Some(([x, y, z], sizes)) = v.split_first_chunk::<3>() else { return Err(()) };
            let sizes: [f64; SIZES] = sizes.try_into().map_err(|_| ())?;
            let share = self.with_sizes([x * lever, y * lever, z * lever], &sizes.map(|size| size.max(0.0))).share;
            if share.is_finite() { Ok(share) } else { Err(()) }
        })
        .map_err(|()| Gap::because(format!("{}.edge", self.path), "as told, the holes are at the edge of the part: look again"))
    }

    /// What all of its bolts hold along x, y and z, N, wherever their axis points: the smaller of pull and shear.
    #[must_use]
    pub fn strength(&self) -> [f64; 3] {
        let count = f64::from(self.count);
        let across = self.shear.min(self.bearing(&self.nominal()));
        [across * count, across.min(self.tension) * count, across.min(self.tension) * count]
    }

    /// What was taken at its worst and matters for what governs; a bolt that gives by itself is asked about first.
    pub fn open(&self, used: &Use) -> impl Iterator<Item = &Assumed> {
        let plate = used.plate_governs && used.bolt <= 1.0;
        self.assumed.iter().filter(move |assumed| assumed.plate == plate || assumed.path.ends_with(".count"))
    }

    /// How far the load stands off, nominal, m.
    #[must_use]
    pub fn arm(&self) -> f64 {
        self.sizes.get(ARM).map_or(0.0, Estimate::value)
    }

    /// Height of the lowest row over the edge it turns on, and from row to row, nominal, m.
    #[must_use]
    pub fn heights(&self) -> (f64, f64) {
        let get = |at: usize| self.sizes.get(at).map_or(0.0, Estimate::value);
        (get(HEEL), get(GAUGE))
    }
}

/// Metres in a millimetre.
pub(crate) const MILLI: f64 = 1e-3;
