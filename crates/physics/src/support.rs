//! A rigid body on mounts: what each mount carries, and how the body can move where nothing holds it.
//!
//! **Caution.** The body is rigid here and the frame is not: where more mounts share than statics needs, the answer
//! rests on stiffnesses that nobody measured. Vary them before a verdict rests on one mount.
//!
//! Each mount is a spring along x, y and z, 0 where it does not hold. A spring may be one-sided: a packer only pushes
//! up, a strap only pulls down, a captive guide only stops the body one way. Loads and reactions are forces on the
//! body; the frame feels the opposite, so a reaction with positive z presses the frame down.

mod cone;
mod motion;
mod solve;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, check_list, finite, in_schema, ranged, usual};

pub use motion::{Direction, FreeMotion};
pub use solve::{Answer, Held, free_motions, reactions};

/// Most mounts of one body.
pub const MOST_MOUNTS: usize = 64;

/// Which way a mount can push the body along an axis where it has stiffness.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Pushes {
    /// Either way: bolted, pinned.
    #[default]
    Both,
    /// Towards the positive end of the axis only: a packer, z; a stop ahead of the body, x.
    Positive,
    /// Towards the negative end only: a strap that holds down, z; a stop behind the body, x.
    Negative,
}

impl Pushes {
    /// Sign of its force along the axis; `None` when it pushes either way.
    fn sign(self) -> Option<f64> {
        match self {
            Self::Both => None,
            Self::Positive => Some(1.0),
            Self::Negative => Some(-1.0),
        }
    }
}

/// One mount: where it holds, how stiff, and which way. Plain numbers, for callers that solve many times.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mount {
    /// Its place, x rearward, y right, z up, m.
    pub at: [f64; 3],
    /// Stiffness along x, y, z, N/m; 0 where it does not hold.
    pub stiffness: [f64; 3],
    /// Which way it can push the body along x, y, z.
    pub pushes: [Pushes; 3],
}

/// A force on the body at a point.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Load {
    /// Force along x, y, z, N; weight is negative z, braking pushes the body to negative x.
    pub force: [f64; 3],
    /// Where it acts, m.
    pub at: [f64; 3],
}

/// A mount, as the kernel takes it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<MountAt>)]
pub struct MountAt {
    /// Its place rearward from the front axle.
    pub x_m: f64,
    /// Its place to the right of the centreline.
    pub y_m: f64,
    /// Its height; only differences to the load's height count.
    #[serde(default)]
    pub z_m: f64,
    /// Stiffness fore and aft, 0 where it does not hold.
    pub kx_n_m: f64,
    /// Stiffness sideways, 0 where it does not hold.
    pub ky_n_m: f64,
    /// Stiffness up and down, 0 where it does not hold.
    pub kz_n_m: f64,
    /// Which way it can push the body fore and aft; positive is rearward.
    #[serde(default)]
    pub pushes_x: Pushes,
    /// Which way it can push the body sideways; positive is to the right.
    #[serde(default)]
    pub pushes_y: Pushes,
    /// Which way it can push the body up and down; a packer only "positive".
    #[serde(default)]
    pub pushes_z: Pushes,
}

/// A stiffness that may be none; the high end keeps sums finite.
const STIFFNESS: Range = Range::of(0.0, 1e15);
/// Forces, N.
const FORCE: Range = Range::of(-1e12, 1e12);

ranged!(MountAt {
    x_m ["m"] usual::PLACE,
    y_m ["m"] usual::PLACE,
    z_m ["m"] usual::PLACE,
    kx_n_m ["N/m"] STIFFNESS,
    ky_n_m ["N/m"] STIFFNESS,
    kz_n_m ["N/m"] STIFFNESS,
});

impl MountAt {
    fn plain(&self) -> Mount {
        Mount {
            at: [self.x_m, self.y_m, self.z_m],
            stiffness: [self.kx_n_m, self.ky_n_m, self.kz_n_m],
            pushes: [self.pushes_x, self.pushes_y, self.pushes_z],
        }
    }
}

/// Input of [`mount_reactions`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<MountReactionsIn>)]
pub struct MountReactionsIn {
    /// The mounts, 1 to 64.
    pub mounts: Vec<MountAt>,
    /// Force on the body along x, y, z: weight is negative z, braking pushes to negative x.
    pub force: [f64; 3],
    /// Where it acts, x, y, z: for weight and braking the centre of gravity.
    pub at: [f64; 3],
}

ranged!(MountReactionsIn { force ["N"] FORCE, at ["m"] usual::PLACE });

/// How a body on its mounts stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// The mounts hold this load.
    Held,
    /// Nothing holds the body in some direction, whatever the load.
    Free,
    /// One-sided mounts let go under this load, and the body lifts, slides or tips.
    LetsGo,
    /// Which of the one-sided mounts hold was not found.
    Unsettled,
}

/// What one mount puts on the body.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reaction {
    /// Force on the body, positive rearward.
    pub x_n: f64,
    /// Force on the body, positive to the right.
    pub y_n: f64,
    /// Force on the body, positive up; the frame is pressed down by as much.
    pub z_n: f64,
}

/// A way the body can move, as the kernel gives it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FreeMotionOut {
    /// What it is called: fore-and-aft, sideways, up-and-down, roll, pitch, yaw, or oblique.
    pub direction: Direction,
    /// Shift of the body at the origin of the axes, per radian for a turn, else of length 1.
    pub translation: Vec<f64>,
    /// Turn, of length 1; zeros for a slide.
    pub rotation: Vec<f64>,
    /// A point on the axis of the turn; null for a slide.
    pub axis_point_m: Option<Vec<f64>>,
}

/// Output of [`mount_reactions`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MountReactionsOut {
    /// Whether the mounts hold this load.
    pub standing: Standing,
    /// What each mount puts on the body, in the order of the input; empty unless held.
    pub reactions: Vec<Reaction>,
    /// One-sided mounts that let go in some direction, counted from 0; when the body lets go, those that let go before.
    pub let_go: Vec<usize>,
    /// How the body can move; empty when held.
    pub free: Vec<FreeMotionOut>,
}

/// What each mount of a rigid body carries under one force, and how the body moves where it is not held.
///
/// | input    | unit | range         | note                                            |
/// |----------|------|---------------|-------------------------------------------------|
/// | `x_m`    | m    | -1e6 to 1e6   | each mount, rearward                            |
/// | `y_m`    | m    | -1e6 to 1e6   | each mount, to the right                        |
/// | `z_m`    | m    | -1e6 to 1e6   | each mount; default 0                           |
/// | `kx_n_m` | N/m  | 0 to 1e15     | 0 where it does not hold                        |
/// | `ky_n_m` | N/m  | 0 to 1e15     | 0 where it does not hold                        |
/// | `kz_n_m` | N/m  | 0 to 1e15     | 0 where it does not hold                        |
/// | `force`  | N    | -1e12 to 1e12 | on the body: x rearward, y right, z up          |
/// | `at`     | m    | -1e6 to 1e6   | point of the force                              |
///
/// Gives `standing`, `reactions` (N, on the body), `let_go` and `free`.
///
/// # Errors
/// `OutOfRange` and `Count` name the field.
///
/// # Source
/// Statics of a rigid body on springs (physics). A direction counts as free when its singular value is under 1e-4 of
/// the largest, the places scaled by their spread: mounts that close together hold no turn.
///
/// # Checked against
/// `tests/outside/support.rs`: six and three mounts computed with numpy, hand sums. `support_by_chance.rs`: a dense
/// least-squares solution, exact fractions.
pub fn mount_reactions(input: &MountReactionsIn) -> Result<MountReactionsOut, KernelError> {
    use crate::range::Ranged;
    input.check()?;
    check_list("mounts", &input.mounts, 1, MOST_MOUNTS)?;
    let mounts: Vec<Mount> = input.mounts.iter().map(MountAt::plain).collect();
    let load = Load { force: input.force, at: input.at };
    let none = MountReactionsOut { standing: Standing::Unsettled, reactions: Vec::new(), let_go: Vec::new(), free: Vec::new() };
    Ok(match reactions(&mounts, &load) {
        Answer::Held(held) => {
            let each = held
                .on_body
                .iter()
                .map(|[x, y, z]| Ok(Reaction { x_n: finite("x_n", *x)?, y_n: finite("y_n", *y)?, z_n: finite("z_n", *z)? }));
            let reactions = each.collect::<Result<Vec<_>, KernelError>>()?;
            MountReactionsOut { standing: Standing::Held, reactions, let_go: held.let_go, ..none }
        }
        Answer::Free(motions) => MountReactionsOut { standing: Standing::Free, free: shown(&motions)?, ..none },
        Answer::LetsGo { motions, let_go } => {
            MountReactionsOut { standing: Standing::LetsGo, let_go, free: shown(&motions)?, ..none }
        }
        Answer::Unsettled => none,
    })
}

fn shown(motions: &[FreeMotion]) -> Result<Vec<FreeMotionOut>, KernelError> {
    let list = |field, values: &[f64; 3]| values.iter().map(|v| finite(field, *v)).collect::<Result<Vec<_>, _>>();
    let one = |motion: &FreeMotion| {
        Ok(FreeMotionOut {
            direction: motion.direction(),
            translation: list("translation", &motion.translation)?,
            rotation: list("rotation", &motion.rotation)?,
            axis_point_m: motion.axis_point.as_ref().map(|point| list("axis_point_m", point)).transpose()?,
        })
    };
    motions.iter().map(one).collect()
}
