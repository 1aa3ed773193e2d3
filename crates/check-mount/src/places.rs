//! Where in the load path bolts and welds stand: at the mounts, and at the ends of the cross members they stand on.

use check::Context;
use rig_facts::Gap;
use rig_model::model::{CrossMember, Mount, MountKind};
use rig_model::path;

/// A piece of the rig that bolts or welds hold.
#[derive(Clone, Debug)]
pub struct Place {
    /// As a person would name it: "mount front left", "each end of rear outrigger".
    pub about: String,
    /// Its path.
    pub path: String,
    /// The mounts whose load it takes, each alone, by their place in the file.
    pub mounts: Vec<usize>,
    /// What the load of one mount is multiplied by: an overhang is a lever.
    pub lever: f64,
    /// Path of the distance by which the load stands off, where a bracket says that there is one.
    pub arm: Option<String>,
    /// What kind of mount it is.
    pub kind: Option<MountKind>,
    /// Path and steel of a plate that its bolts go through, where they say none of their own.
    pub part: Option<(String, Option<String>)>,
}

/// Path of a mount.
#[must_use]
pub fn mount_path(mount: &Mount, index: usize) -> String {
    path::of("mount", &mount.name, index)
}

/// Every mount that bolts or welds may hold, with what the file says of it. Straps are another check's.
pub fn of_mounts(cx: &Context) -> impl Iterator<Item = (Place, &Mount)> {
    let mounts = cx.rig().mount.iter().enumerate().filter(|(_, mount)| mount.kind != Some(MountKind::Strap));
    mounts.map(|(index, mount)| {
        let path = mount_path(mount, index);
        let arm = mount.bracket.is_some().then(|| format!("{path}.bracket.arm"));
        let place = Place { about: about(mount), mounts: vec![index], lever: 1.0, arm, kind: mount.kind, part: None, path };
        (place, mount)
    })
}

/// "mount front left"; one that is called a mount keeps its name.
#[must_use]
pub fn about(mount: &Mount) -> String {
    if mount.name.contains("mount") { mount.name.clone() } else { format!("mount {}", mount.name) }
}

/// Every cross member that mounts stand on.
pub fn of_members(cx: &Context) -> impl Iterator<Item = (Place, &CrossMember)> {
    cx.rig().cross_member.iter().enumerate().filter_map(|(index, member)| {
        let stands_on = |mount: &Mount| mount.member.as_ref().is_some_and(|on| on.of.as_deref() == Some(&*member.name));
        let mounts: Vec<usize> =
            cx.rig().mount.iter().enumerate().filter(|(_, mount)| stands_on(mount)).map(|(at, _)| at).collect();
        let path = path::of("cross_member", &member.name, index);
        // Beyond its ends a beam presses on the nearer one by more than it carries.
        let levers = mounts.iter().filter_map(|at| {
            let mount = cx.rig().mount.get(*at)?;
            let span = crate::member::span(cx, mount, &mount_path(mount, *at)).ok()?;
            let overhang = crate::member::overhang(cx, mount, *at, &span).ok()?;
            Some(1.0 + overhang.value().max(0.0) / span.value())
        });
        let lever = levers.fold(1.0, f64::max);
        let place =
            Place { about: format!("each end of {}", member.name), path, lever, arm: None, kind: None, part: None, mounts };
        (!place.mounts.is_empty()).then_some((place, member))
    })
}

/// How far the load stands off the face of a joint: its own `arm`, else the bracket's; none where nothing stands off.
///
/// # Errors
/// The gap where there is a bracket and neither says.
pub fn arm(cx: &Context, place: &Place, own: &str) -> Result<Option<quantity::Estimate>, Gap> {
    let told = |path: &str| cx.facts().mounts().told(path).cloned();
    match (told(own), &place.arm) {
        (Ok(arm), _) => Ok(Some(arm)),
        (Err(_), None) => Ok(None),
        (Err(_), Some(bracket)) => told(bracket)
            .map(Some)
            .map_err(|gap| Gap::because(gap.path, "a bracket turns on its bolts or welds by how far the load stands off")),
    }
}
