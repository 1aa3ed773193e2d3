//! mount/removable: can the body come off again, and what must be undone?
//!
//! demand      case "held": a chain of welds or glue from body to chassis; case "services": a chain that a hose, cable or duct
//!             without connector closes
//! capacity    none: some parting of the two has to leave nothing but what comes undone
//! states      once
//! leaves out  whether the hoist can (`mount/lift`), what the law calls a body that comes off: ask the inspector

use std::borrow::Cow;

use check::remedy::{Effort, Proposal};
use check::working::number;
use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Words};
use rig_model::model::{MountKind, Tie, TieKind};
use rig_model::{Edit, EditOp, Free, path};

use crate::sources::{HOLDING, taken};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/removable"),
    question: Cow::Borrowed("Can the body come off again, and what must be undone?"),
    words: Words::new("is tied by", "comes off when"),
    consequence: Consequence::Comfort,
    scope: Scope::Once,
    needs: List::Static(&["tie"]),
    uses: List::Static(&["mount.name", "mount.kind", "mount.bolts", "mount.welds"]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "parts are joined where a weld or glue ties them; body and chassis must not end up joined",
        "the same with every hose, cable and duct that has no connector; bolts take 3 to 6 minutes each",
    ]),
    cautions: List::Static(&[
        "batteries off, gas shut at the cylinder and fuel drained before hoses and cables are parted",
        "nobody under a body that is held by jacks or a hoist alone",
    ]),
};

/// Can the body come off again?
#[derive(Debug)]
pub struct Removable;

impl Check for Removable {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().tie.is_empty() {
            return vec![begin(cx, "held").missing("tie")];
        }
        let links = links(cx);
        vec![held(cx, &links), services(cx, &links)]
    }
}

fn begin<'c>(cx: &'c Context, case: &'static str) -> Draft<'c> {
    CARD.about(cx, "the body").at("tie").case(case)
}

const BODY: &str = "body";
const CHASSIS: &str = "chassis";

/// How something that ties two parts comes undone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Undone {
    /// It does.
    Yes,
    /// It has to be cut, and it carries.
    Cut,
    /// It has to be cut, and something flows in it.
    Severed,
    /// Not told.
    Unsaid(&'static str),
}

/// Something that ties two parts.
#[derive(Clone, Copy, Debug)]
struct Link<'c> {
    name: &'c str,
    ends: [&'c str; 2],
    undone: Undone,
    /// Its place among the ties; none for a mount.
    tie: Option<usize>,
}

fn links(cx: &Context) -> Vec<Link<'_>> {
    let ties = cx.rig().tie.iter().enumerate().map(|(index, tie)| Link {
        name: &tie.name,
        ends: [tie.from.as_deref().unwrap_or(BODY), tie.to.as_deref().unwrap_or(CHASSIS)],
        undone: undone(tie),
        tie: Some(index),
    });
    // A mount that is welded and has no bolts is a weld.
    let welded =
        cx.rig().mount.iter().filter(|mount| {
            matches!(mount.kind, None | Some(MountKind::Fixed)) && !mount.welds.is_empty() && mount.bolts.is_empty()
        });
    let mounts = welded.map(|mount| Link { name: &mount.name, ends: [BODY, CHASSIS], undone: Undone::Cut, tie: None });
    ties.chain(mounts).collect()
}

fn undone(tie: &Tie) -> Undone {
    match (tie.kind, tie.connector) {
        (None, _) => Undone::Unsaid("kind"),
        (Some(TieKind::Weld | TieKind::Glue), _) => Undone::Cut,
        (Some(TieKind::Hose | TieKind::Cable | TieKind::Duct), None) => Undone::Unsaid("connector"),
        (Some(TieKind::Hose | TieKind::Cable | TieKind::Duct), Some(false)) => Undone::Severed,
        _ => Undone::Yes,
    }
}

/// The shortest chain from body to chassis of links that `stay`; none where they part.
fn chain<'a, 'c>(links: &'a [Link<'c>], stays: impl Fn(&Link<'c>) -> bool) -> Option<Vec<&'a Link<'c>>> {
    let mut reached: Vec<(&str, Vec<&'a Link<'c>>)> = vec![(BODY, Vec::new())];
    let mut next = 0;
    while let Some((part, so_far)) = reached.get(next).cloned() {
        if part == CHASSIS {
            return Some(so_far);
        }
        for link in links.iter().filter(|link| stays(link)) {
            let [from, to] = link.ends;
            let other = if from == part {
                to
            } else if to == part {
                from
            } else {
                continue;
            };
            if !reached.iter().any(|(known, _)| *known == other) {
                reached.push((other, so_far.iter().copied().chain([link]).collect()));
            }
        }
        next += 1;
    }
    None
}

fn held(cx: &Context, links: &[Link<'_>]) -> Finding {
    let cut = |link: &Link<'_>| link.undone == Undone::Cut;
    if let Some(chain) = chain(links, cut) {
        let sentence = format!("it has to be cut off: {}", names(&chain));
        return begin(cx, "held").require(Holds::No, sentence).proposal(|| bolt(links, &chain)).done();
    }
    let unsaid = |link: &Link<'_>| cut(link) || link.undone == Undone::Unsaid("kind");
    match chain(links, unsaid) {
        Some(chain) => asked(cx, "held", &chain),
        None => begin(cx, "held").require(Holds::Yes, what_to_undo(cx)).done(),
    }
}

fn services(cx: &Context, links: &[Link<'_>]) -> Finding {
    let joined = chain(links, |link| link.undone == Undone::Cut).is_some();
    let severed = |link: &Link<'_>| link.undone == Undone::Severed || (!joined && link.undone == Undone::Cut);
    if chain(links, severed).is_some() {
        let faulty: Vec<&Link<'_>> = links.iter().filter(|link| link.undone == Undone::Severed).collect();
        let sentence = format!("no connector or valve parts {}", names(&faulty));
        return begin(cx, "services").require(Holds::No, sentence).proposal(|| Some(connect(&faulty))).done();
    }
    // Of what kind nobody told may be a hose.
    let unsaid = |link: &Link<'_>| severed(link) || matches!(link.undone, Undone::Unsaid("connector" | "kind"));
    match chain(links, unsaid) {
        Some(chain) => asked(cx, "services", &chain),
        None => begin(cx, "services").require(Holds::Yes, "every hose, cable and duct in the parting has a connector").done(),
    }
}

/// What is not told of the first link of a chain of which something is not told.
fn asked(cx: &Context, case: &'static str, chain: &[&Link<'_>]) -> Finding {
    let key = chain.iter().find_map(|link| match link.undone {
        Undone::Unsaid(key) => Some(format!("tie{}.{key}", path::entry(Some(link.name), link.tie? + 1))),
        _ => None,
    });
    begin(cx, case).missing(key.unwrap_or_else(|| "tie".to_owned()))
}

fn names(chain: &[&Link<'_>]) -> String {
    chain.iter().map(|link| link.name).collect::<Vec<_>>().join(", ")
}

/// Bolts in place of one weld of the chain, where that parts the two.
fn bolt(links: &[Link<'_>], chain: &[&Link<'_>]) -> Option<Proposal> {
    let parts = |tie: usize| self::chain(links, |link| link.undone == Undone::Cut && link.tie != Some(tie)).is_none();
    let link = chain.iter().find(|link| link.tie.is_some_and(parts))?;
    let edit = set(link, "kind", Free::Text(TieKind::Bolt.word().to_owned()));
    Some(Proposal { text: format!("bolt {} instead", link.name), effort: Effort::CuttingAndWelding, edits: vec![edit] })
}

fn connect(faulty: &[&Link<'_>]) -> Proposal {
    Proposal {
        text: format!("connectors, or couplings with a valve, in {}", names(faulty)),
        effort: Effort::PartsToBuy,
        edits: faulty.iter().map(|link| set(link, "connector", Free::Bool(true))).collect(),
    }
}

fn set(link: &Link<'_>, key: &str, to: Free) -> Edit {
    let index = link.tie.unwrap_or_default();
    Edit { path: format!("{}.{key}", path::of("tie", link.name, index)), op: EditOp::Set, from: None, to: Some(to) }
}

/// How many bolts, how long, which tools.
fn what_to_undo(cx: &Context) -> String {
    let rig = cx.rig();
    let of_ties = rig.tie.iter().filter(|tie| tie.kind == Some(TieKind::Bolt)).map(|tie| tie.count.unwrap_or(1));
    let of_mounts = rig.mount.iter().flat_map(|mount| mount.bolts.iter()).map(|bolts| bolts.count.unwrap_or(1));
    let bolts: u32 = of_ties.chain(of_mounts).sum();
    let hours = |minutes: &str| number(f64::from(bolts) * taken(HOLDING, minutes) / MINUTES, 1);
    let mut tools: Vec<&str> = rig.tie.iter().filter_map(|tie| tie.tool.as_deref()).collect();
    tools.sort_unstable();
    tools.dedup();
    let with = if tools.is_empty() { String::new() } else { format!("; tools: {}", tools.join(", ")) };
    let (least, most) = (hours("least minutes for a bolt"), hours("most minutes for a bolt"));
    format!("{} ties and {bolts} bolts to undo, {least} to {most} h for the bolts{with}", rig.tie.len())
}

/// Minutes in an hour.
const MINUTES: f64 = 60.0;

#[cfg(test)]
mod tests {
    use super::*;

    fn link(name: &'static str, ends: [&'static str; 2], undone: Undone) -> Link<'static> {
        Link { name, ends, undone, tie: Some(0) }
    }

    #[test]
    fn a_chain_goes_through_parts_either_way() {
        let links = [
            link("skirt", ["subframe", BODY], Undone::Cut),
            link("shoes", ["subframe", CHASSIS], Undone::Yes),
            link("plate", ["subframe", "rail"], Undone::Cut),
            link("rail welds", ["rail", CHASSIS], Undone::Cut),
        ];
        let cut = |link: &Link<'_>| link.undone == Undone::Cut;
        assert_eq!(chain(&links, cut).map(|chain| names(&chain)), Some("skirt, plate, rail welds".to_owned()));
        assert!(chain(&links[..3], cut).is_none());
    }
}
