//! Where the mounts are, which ways they hold and how stiff they are.

use physics::support::{self, Pushes};
use quantity::{Dimension, Estimate, How, Z95, real};
use rig_model::model::{Direction, Mount, MountKind, Rig};
use rig_model::path;

use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::place::{BodyFrame, Spot, place};
use crate::tables;
use crate::told::Told;

/// What facts know of one mount.
#[derive(Clone, Debug, PartialEq)]
pub struct MountFacts {
    /// Its name.
    pub name: String,
    /// Its path, `mount["front left"]`.
    pub path: String,
    /// Where it takes the body's load, in the rig's frame, m.
    pub at: [Result<Estimate, Gap>; 3],
    /// Its kind, where told.
    pub kind: Option<MountKind>,
    /// The ways it holds, as told or by its kind; a gap where neither is told.
    pub holds: Result<Vec<Direction>, Gap>,
    /// Stiffness along x, y, z, N/m, whether or not it holds there: as told, else usual for its kind.
    pub stiffness: [f64; 3],
    /// Factor on its stiffness: 1, with the doubt of it. The shares of the mounts depend on it.
    pub stiffness_factor: Estimate,
}

impl MountFacts {
    pub(super) fn read(mount: &Mount, index: usize, frame: &BodyFrame, told: &Told, inputs: &mut Inputs) -> Self {
        let path = path::of("mount", &mount.name, index);
        let in_body = mount.in_.is_some();
        let at = place(&Spot { path: &path, key: "at", at: mount.at.as_ref(), in_body, size: None, corner: true }, frame, inputs);
        let (stiffness, doubt) = stiffness(mount, &path, told);
        let stiffness_factor = inputs.add(format!("{path}.stiffness"), 1.0, doubt, How::Unsaid, Dimension::Ratio, false);
        Self { holds: holds(mount, &path), name: mount.name.clone(), kind: mount.kind, at, stiffness, stiffness_factor, path }
    }

    /// Whether it holds the body in that direction; false where that is not told.
    #[must_use]
    pub fn does_hold(&self, direction: Direction) -> bool {
        self.holds.as_ref().is_ok_and(|holds| holds.contains(&direction))
    }

    /// It as the solver takes it, at its nominal place.
    fn plain(&self) -> Result<support::Mount, Gap> {
        self.holds.as_ref().map_err(Clone::clone)?;
        let [x, y, z] = self.at.each_ref().map(|at| at.as_ref().map(Estimate::value).map_err(Clone::clone));
        let mut plain = support::Mount { at: [x?, y?, z?], stiffness: [0.0; 3], pushes: [Pushes::Both; 3] };
        // What keeps the body from sliding forward pushes it rearward, which is positive x.
        let axes =
            [(Direction::Forward, Direction::Rearward), (Direction::Left, Direction::Right), (Direction::Down, Direction::Up)];
        let each = axes.iter().zip(self.stiffness).zip(plain.stiffness.iter_mut().zip(&mut plain.pushes));
        for (((positive, negative), usual), (stiffness, pushes)) in each {
            (*stiffness, *pushes) = match (self.does_hold(*positive), self.does_hold(*negative)) {
                (true, true) => (usual, Pushes::Both),
                (true, false) => (usual, Pushes::Positive),
                (false, true) => (usual, Pushes::Negative),
                (false, false) => (0.0, Pushes::Both),
            };
        }
        Ok(plain)
    }
}

/// The ways a mount holds: as told, else by its kind.
fn holds(mount: &Mount, path: &str) -> Result<Vec<Direction>, Gap> {
    if let Some(holds) = &mount.holds {
        return Ok(holds.clone());
    }
    let Some(kind) = mount.kind else {
        return Err(Gap::because(format!("{path}.kind"), "it follows from the kind which ways the mount holds"));
    };
    let usual =
        tables::table("mounts/holds").and_then(|table| table.words("kind", "holds").find(|(word, _)| *word == kind.word()));
    let (_, words) = usual.ok_or_else(|| Gap::at(format!("{path}.holds")))?;
    let direction = |word: &str| Direction::ALL.iter().copied().find(|direction| direction.word() == word);
    Ok(words.split_whitespace().filter_map(direction).collect())
}

/// Stiffness along x, y, z, and the standard deviation of a factor on all three.
fn stiffness(mount: &Mount, path: &str, told: &Told) -> ([f64; 3], f64) {
    let kind = mount.kind.map_or("unsaid", MountKind::word);
    let usual = |axis: &str| tables::number("mounts/stiffness", "kind", kind, axis).unwrap_or(1.0);
    let factor = tables::number("mounts/doubt", "what", "factor of a usual stiffness", "number").unwrap_or(1.0);
    let usual_doubt = real::ln(factor) / Z95;
    let spring = told.get(&format!("{path}.spring.rate"));
    let mut doubt = 0.0_f64;
    let mut one = |axis: &str| {
        let own = told.get(&format!("{path}.stiffness.{axis}")).or(if axis == "z" { spring.clone() } else { Err(Gap::at("")) });
        match own {
            Ok(own) if own.value() > 0.0 => {
                doubt = doubt.max(own.sd() / own.value());
                own.value()
            }
            Ok(_) => 0.0,
            Err(_) => {
                doubt = doubt.max(usual_doubt);
                usual(axis)
            }
        }
    };
    let stiffness = [one("x"), one("y"), one("z")];
    (stiffness, doubt)
}

/// All mounts, in file order.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layout {
    pub(super) list: Vec<MountFacts>,
    /// Factor on what each mount carries upward: 1, with the doubt of a rail that bends; exact up to four mounts.
    pub(super) rail_factor: Estimate,
    /// Share of a roll between the axles that the springs leave to the frame.
    pub(super) frame_share: Estimate,
}

impl Layout {
    pub(super) fn read(rig: &Rig, frame: &BodyFrame, told: &Told, inputs: &mut Inputs) -> Self {
        let mounts = rig.mount.iter().enumerate();
        let list: Vec<_> = mounts.map(|(index, mount)| MountFacts::read(mount, index, frame, told, inputs)).collect();
        let number = |what| tables::number("mounts/doubt", "what", what, "number").unwrap_or(0.0);
        let rail_factor = if list.is_empty() || list.len() as f64 <= number("mounts up to which the rail does not matter") {
            Estimate::exact(1.0)
        } else {
            let sd = number("share where the rail bends") / Z95;
            inputs.add("chassis.frame.bending".to_owned(), 1.0, sd, How::Unsaid, Dimension::Ratio, false)
        };
        let (low, high) =
            (number("share of a roll that the frame takes, low"), number("share of a roll that the frame takes, high"));
        let frame_share = if list.is_empty() {
            Estimate::exact(low)
        } else {
            let half = (high - low) / 2.0;
            inputs.add("chassis.frame.twist_test".to_owned(), low + half, half / Z95, How::Unsaid, Dimension::Ratio, false)
        };
        Self { list, rail_factor, frame_share }
    }

    /// The mounts as the solver takes them.
    pub(super) fn plain(&self) -> Result<Vec<support::Mount>, Gap> {
        if self.list.is_empty() {
            return Err(Gap::at("mount"));
        }
        self.list.iter().map(MountFacts::plain).collect()
    }
}
