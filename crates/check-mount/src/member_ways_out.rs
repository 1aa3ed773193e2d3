//! Ways out for what bends: a gusset, a longer bracket, a deeper channel.

use check::Context;
use check::draft::GOAL;
use check::edits::{restate, up_to_step};
use check::remedy::{Effort, Proposal};
use physics::{mount_facts, profile};
use quantity::Estimate;
use rig_model::model::Mount;
use rig_model::{Edit, EditOp, Free};

use crate::bolt_joint::MILLI;
use crate::member::Bent;
use crate::places::about;

/// Steps in which a bracket is cut, m. A choice of this project.
const STEP_M: f64 = 0.01;
/// A bracket is not made more than so many times as long; a gusset is the better way then. A choice of this project.
const LONGER: f64 = 2.0;

/// A gusset between the legs, or a longer bracket.
pub(crate) fn bracket(cx: &Context, mount: &Mount, path: &str, bent: &Bent<'_>, load: &Estimate, may: f64) -> Vec<Proposal> {
    let gusset = Proposal {
        text: format!("weld a gusset between the legs of the bracket of {}", about(mount)),
        effort: Effort::CuttingAndWelding,
        edits: vec![Edit { path: format!("{path}.gusset"), op: EditOp::Set, from: None, to: Some(Free::Bool(true)) }],
    };
    let stated = mount.bracket.as_ref().and_then(|bracket| bracket.length.as_ref());
    let longer = || {
        let now = stated?.value()?;
        let stress = bent.under(load)?;
        // The stress falls as the length grows.
        let factor = (stress.value() / (GOAL * may)).max(stress.interval95().1 / may);
        let to = up_to_step(now * factor, STEP_M);
        (to > now && to <= LONGER * now).then(|| Proposal {
            text: format!(
                "a bracket {} mm long instead of {} mm on {}",
                (to / MILLI).round(),
                (now / MILLI).round(),
                about(mount)
            ),
            effort: Effort::PartsToBuy,
            edits: vec![restate(cx, format!("{path}.length"), stated, to)],
        })
    };
    std::iter::once(gusset).chain(longer()).collect()
}

/// The next channel that bears it.
pub(crate) fn member(path: &str, now: &str, bent: &Bent<'_>, load: &Estimate, may: f64) -> Vec<Proposal> {
    let Some(stress) = bent.under(load) else { return Vec::new() };
    let Ok(own) = profile::profile(now) else { return Vec::new() };
    let factor = (stress.value() / (GOAL * may)).max(stress.interval95().1 / may);
    let wanted = own.properties.w_x * factor;
    let channels = mount_facts::table("section/channel").into_iter().flat_map(|table| table.words("name", "name"));
    let enough = |name: &str| profile::profile(name).is_ok_and(|profile| profile.properties.w_x >= wanted);
    let found = channels.map(|(name, _)| name).find(|name| enough(name));
    let proposal = |name: &str| Proposal {
        text: format!("{name} instead of {now} for the cross member"),
        effort: Effort::CuttingAndWelding,
        edits: vec![Edit {
            path: path.to_owned(),
            op: EditOp::Set,
            from: Some(Free::Text(now.to_owned())),
            to: Some(Free::Text(name.to_owned())),
        }],
    };
    found.filter(|name| *name != now).map(proposal).into_iter().collect()
}
