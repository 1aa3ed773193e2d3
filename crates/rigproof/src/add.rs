//! Lines to paste into a rig file, one block a kind of table: every number still `"?"`, with where it stands.
//!
//! Values that are a wish or a choice take no `"?"`; they stand behind a `#` until they are filled in.

mod power;

/// A kind of table and its lines.
pub type Block = (&'static str, &'static str);

/// Every block, by the name of its table.
pub const BLOCKS: &[Block] = &[
    ("chassis", CHASSIS),
    ("axle", AXLE),
    ("body", BODY),
    ("mass", MASS),
    ("tank", TANK),
    ("seat", SEAT),
    ("person", PERSON),
    ("state", STATE),
    ("weighing", WEIGHING),
    ("coupling", COUPLING),
    ("trailer", TRAILER),
    ("envelope", ENVELOPE),
    ("low_point", LOW_POINT),
    ("passage", PASSAGE),
    ("ground", GROUND),
    ("mount", MOUNT),
    ("cross_member", CROSS_MEMBER),
    ("levelling", LEVELLING),
    ("strap", STRAP),
    ("lifting", LIFTING),
    ("roof_item", ROOF_ITEM),
    ("awning", AWNING),
    ("clearance", CLEARANCE),
    ("contact", CONTACT),
    ("tie", TIE),
    ("fixing", FIXING),
    ("recovery", RECOVERY),
    ("site", power::SITE),
    ("power", power::POWER),
    ("body.heat", power::HEAT),
    ("panel", power::PANEL),
    ("battery", power::BATTERY),
    ("controller", power::CONTROLLER),
    ("charger", power::CHARGER),
    ("alternator", power::ALTERNATOR),
    ("inverter", power::INVERTER),
    ("converter", power::CONVERTER),
    ("portable", power::PORTABLE),
    ("load", power::LOAD),
    ("inlet", power::INLET),
    ("generator", power::GENERATOR),
    ("roof", power::ROOF),
    ("locker", power::LOCKER),
    ("accept", ACCEPT),
    ("limit", LIMIT),
];

/// The lines of a kind.
#[must_use]
pub fn block(kind: &str) -> Option<&'static str> {
    BLOCKS.iter().find(|(known, _)| *known == kind).map(|(_, text)| *text)
}

const CHASSIS: &str = r#"[chassis]                 # in place of a line  chassis = { ... }
gross_mass = "?"          # plate in the door frame or on the cab's step: highest mass, laden
registered_mass = "?"     # registration papers
centre_height = "?"       # maker's body-builder data, or planks and scale pads; "about 0.9 m" will do for a start
front_end = "?"           # plumb line from the bumper, tape to the front hub; ahead of the hub is negative
rear_end = "?"            # plumb line from the last fixed part, tape to the front hub
width = "?"               # tape across the widest fixed part, mirrors left out
height = "?"              # straight edge from the top of the cab, plumb to the ground
# brakes.load_sensing_valve = true   # a lever between frame and rear axle that works a valve
"#;

const AXLE: &str = r#"[[axle]]                  # all axles so, or all as lines of  axle = [ ... ]
name = "another axle"     # a name of its own, such as "rear"
x = "?"                   # tape from the front hub to this hub, both sides, mean of the two; the front axle is at "0 m"
rated = "?"               # plate on the axle beam or in the door frame
track = "?"               # tape from tyre centre to tyre centre; twin tyres: from gap to gap
bare_load = "?"           # weighbridge, bare chassis, this axle alone on the plate
wheel_rated = "?"         # number stamped on the wheel
tyre.pressure = "?"       # gauge, tyres cold
tyre.reference_pressure = "?"        # beside "max load" on the tyre's side
# tyre.load_index = 152              # first number after the size; load_index_dual: the second
# tyre.per_side = 2                  # tyres on each side: 1 or 2
# tyre.date_code = "2322"            # four figures in an oval: week and year
# tyre.speed_symbol = "K"            # letter after the load index
"#;

const BODY: &str = r#"[body]                    # in place of a line  body = { ... }
front = "?"               # tape from the front hub back to the front wall's inner face
floor = "?"               # tape from level ground to the floor's upper face
length = "?"              # tape inside, front wall to rear wall
width = "?"               # tape inside, wall to wall
height = "?"              # tape inside, floor to ceiling
walls = "?"               # tape in a window or door cut-out
mass = "?"                # crane scale, or the weighbridge with and without it; an empty shell
heat.u = "?"              # a heater of known watts overnight: watts over degrees and over the area of walls, roof and floor
heat.windows = "?"        # tape: area of all windows
# heat.insulation = "40 mm XPS"        # steel rule in a cut-out, where heat.u is not known
# heat.colour = "white"   # white, sand, olive or black
"#;

const MASS: &str = r#"[[mass]]
name = "another piece"    # a name of its own
mass = "?"                # scale; "about 30 kg" will do for a start, or  like = "..."  as `rigproof parts` lists
in = "body"               # counted from inside the body; without this line from the front hub, the centreline and the ground
at = ["?", "?", "?"]      # tape to its middle: back from the front wall, right of the centreline (left is negative), up from the floor
# size = ["0.6 m", "0.6 m", "0.9 m"]   # tape: length along the rig, width, height
# count = 2                            # so many of them there
"#;

const TANK: &str = r#"[[tank]]
name = "another tank"     # a name of its own
# holds = "water"         # water, grey, black, diesel, petrol, urea
volume = "?"              # water meter or bucket, from empty to the overflow
mass = "?"                # scale, empty, with its straps
in = "body"               # counted from inside the body
at = ["?", "?", "?"]      # tape to the middle of its box
size = ["?", "?", "?"]    # tape: length along the rig, width, height
fill = "?"                # usual fill, such as "full" or "80 L"
# cells_across = 1        # cells between baffles, counted across the truck
"#;

const SEAT: &str = r#"[[seat]]
name = "another seat"     # a name of its own
at = ["?", "?", "?"]      # tape to a sitting person's belt buckle: back from the front hub, right of the centreline, up from the ground
# travel = true           # true if somebody may sit there while the truck drives
"#;

const PERSON: &str = r#"[[person]]
name = "another person"   # a name of its own
mass = "?"                # bathroom scale, clothes and boots on
# licence = ["C1"]        # classes on the licence card
# drives = true           # true for whoever drives
"#;

const STATE: &str = r#"[[state]]
name = "another state"    # such as "travel-full"
kind = "travel"           # travel: on the road; camp: standing
# fill = { fresh = "full", diesel = "50 %" }        # dip stick or sight tube, by the name of each tank
# people = ["driver seat: Ana"]                     # seat: person, or seat: mass
# absent = ["firewood"]                             # pieces left at home
# out = ["awning"]                                  # pieces folded or slid out
"#;

const WEIGHING: &str = r#"[[weighing]]
name = "another ticket"   # such as "quarry, whole rig"
# state = "weighing day"  # the state the rig was in: tanks and people as they were
whole = true              # the whole rig on the plate; for one axle in its place  axle = "front"
reading = "?"             # the ticket
# scale = "quarry"        # readings of one scale share its error
# division = "20 kg"      # e on the scale's plate
# date = "2026-05-01"
"#;

const COUPLING: &str = r#"[coupling]
# kind = "ball"           # pintle, ball or fifth
at = ["?", "?", "?"]      # tape to where the eye or ball bears: back from the front hub, right of the centreline, up from the ground
rated_vertical = "?"      # letter S on its plate
rated_d = "?"             # letter D on its plate
rated_mass = "?"          # plate: highest trailer mass
"#;

const TRAILER: &str = r#"[trailer]
mass = "?"                # weighbridge, laden, axles and drawbar
nose_load = "?"           # scale under the drawbar, trailer level and laden
length = "?"              # tape from the eye to the tail
# braked = true           # true if its wheels have brakes that work
"#;

const ENVELOPE: &str = r#"[envelope]
height = "?"              # straight edge from the highest point, plumb to the ground; tyres pumped, rig empty
width = "?"               # plumb lines from both widest points, tape between them, mirrors left out
length = "?"              # plumb lines from the foremost and the rearmost point, tape between them
"#;

const LOW_POINT: &str = r#"[[low_point]]
name = "another corner"   # such as "rear bumper"
at = ["?", "?", "?"]      # straight edge and tape: back from the front hub, right of the centreline, up from the ground
"#;

const PASSAGE: &str = r#"[[passage]]
name = "another passage"  # such as "yard gate"
# kind = "gate"           # gate, ferry, garage, bridge or road
# height = "4.0 m"        # the sign, or a tape at its lowest
# width = "3.0 m"         # the sign, or a tape at its narrowest
# length = "8.0 m"        # longest rig that fits
# mass = "12 t"           # the sign
"#;

const GROUND: &str = r#"[ground]                  # wishes: there is no law here
# side_slope = "15 deg"   # cross slope to stand and drive on
# grade = "30 %"          # slope to climb
# approach = "25 deg"     # steepest ramp to drive up to
# departure = "20 deg"    # steepest ramp to drive off
# breakover = "20 deg"    # sharpest crest, the angle between its two ramps
# clearance = "250 mm"    # stone to pass over
"#;

const MOUNT: &str = r#"[[mount]]
name = "another mount"    # such as "front left"
at = ["?", "?", "?"]      # tape to where the body bears: back from the front hub, right of the centreline, up from the ground
# kind = "fixed"          # lever with a bar: fixed, guide, slide, pivot, spring, strap or clamp
# rail = "left"           # the rail it stands on
bracket = "?"             # steel rule, calliper: section such as "L 80x8"
bolts = "?"               # calliper, wire brush: count, size and class such as "4 x M12 8.8"
# welds = "2 x 80 mm leg 6 mm"         # folded card, steel rule: length, count and leg
# packer = "oak 100x70x50 mm"          # what it is of; length x width x height
# metals = "aluminium on steel"        # magnet, file: what touches what
"#;

const CROSS_MEMBER: &str = r#"[[cross_member]]
name = "another beam"     # a name of its own, such as "rear outrigger"; mounts name it in  member = "..."
x = "?"                   # tape from the front hub
section = "?"             # steel rule, calliper: such as "UPN 100"
steel = "?"               # stamp or bill
# ends = "welded"         # welded, bolted, pinned or resting
"#;

const LEVELLING: &str = r#"[levelling]
corners.front_left = "?"  # water hose from one datum to the frame, upward; truck on level ground, loaded as it will be
corners.front_right = "?" # the same
corners.rear_left = "?"   # the same
corners.rear_right = "?"  # the same
# pitch = "0.5 deg"       # slope wanted along the truck, nose up positive
# packers = ["front left", "rear right"]         # corners where packers can go
"#;

const STRAP: &str = r#"[[strap]]
name = "another strap"    # such as "rear cross straps"
# kind = "over"           # over: presses down; direct: pulls
angle = "?"               # phone level: angle to the floor
capacity = "?"            # LC on the label
standard_tension = "?"    # STF on the label
# count = 2               # so many of them
# surface = "planed wood on plywood"   # what lies on what under the load
"#;

const LIFTING: &str = r#"[lifting]                 # nobody under a body that hangs, or stands on a jack alone
# method = "forks"        # forks, crane, legs or stands
truck_rated = "?"         # lift truck's plate: rated load with the attachment that is on it
load_centre = "?"         # lift truck's plate: load centre from the forks' face
face_to_axle = "?"        # tape from the lift truck's front axle to the forks' face
fork_insertion = "?"      # tape along a fork under the body
# sling_angle = "60 deg"  # angle of the slings to the horizontal
"#;

const ROOF_ITEM: &str = r#"[[roof_item]]
name = "another roof item"             # a name of its own; a thing told elsewhere is named in  of = "..."
mass = "?"                # scale
in = "body"               # counted from inside the body
at = ["?", "?", "?"]      # tape to its middle: back from the front wall, right of the centreline, up from the floor
size = ["?", "?", "?"]    # tape: length along the rig, width, height
over_roof = "?"           # steel rule from the roof to its upper edge
gap = "?"                 # steel rule from the roof to its lower face
# feet = 4                # so many feet or brackets
screws = "?"              # calliper, eyes: count, size and what they sit in, such as "16 x 6 mm into spruce"
"#;

const AWNING: &str = r#"[[awning]]
name = "another awning"   # a name of its own; a thing told elsewhere is named in  of = "..."
mass = "?"                # scale
in = "body"               # counted from inside the body
at = ["?", "?", "?"]      # tape to its middle, wound in: back from the front wall, right of the centreline, up from the floor
width = "?"               # tape along the cloth
reach = "?"               # tape from the wall to the front bar, wound out
# wind_class = 2          # its papers: 0, 1, 2 or 3
# brackets = 3            # so many brackets on the wall
bracket_height = "?"      # steel rule from its upper fastener to its lower edge
"#;

const CLEARANCE: &str = r#"[[clearance]]
name = "another gap"      # such as "rear left tyre"
# between = "tyre-body"   # tyre-body, cab-body, tilting-cab-body, exhaust-wood, exhaust-line, shaft-body, hose-body, fuel-tank-body or spring-end
gap = "?"                 # tape or a ball of putty, laden and level
bump_travel = "?"         # tape from the axle to its bump stop, laden
# chains = "18 mm"        # thickness of snow chains
"#;

const CONTACT: &str = r#"[[contact]]
name = "another contact"  # such as "roof rail screws"
metals = "?"              # magnet, file: such as "stainless on aluminium"
"#;

const TIE: &str = r#"[[tie]]
name = "another tie"      # such as "fuel hose to the heater"
# kind = "hose"           # bolt, pin, strap, guide, weld, glue, seal, hose, cable or duct
# connector = true        # true if a plug, a coupling or a valve parts it without cutting
"#;

const FIXING: &str = r#"# [[fixing]]               # take the # away once it names the thing
# of = "firewood"          # the thing that is held
# screws = "8 x 6 mm into spruce"      # what holds it: screws, bolts or straps
# bears = ["forward", "down"]          # the ways it bears on something solid: a wall ahead, the floor below
"#;

const RECOVERY: &str = r#"[[recovery]]
name = "another eye"      # such as "rear eye"
at = ["?", "?", "?"]      # tape to where it is pulled: back from the front hub, right of the centreline, up from the ground
pull = "?"                # the pull it is to stand: at least the laden mass as a weight
plate = "?"               # calliper: thickness and steel of the eye, such as "20 mm S355"
bolts = "?"               # calliper, wire brush: such as "4 x M16 10.9"; or  welds = "..."
"#;

const ACCEPT: &str = r#"[[accept]]
check = "weight/side-slope"          # id of the check, as the report names it
why = "?"                            # your reason: it stays in the report
# about = "barn"                     # what it is about, as the report names it; all of that check if left out
# until = "first weighing"           # a day or an event
"#;

const LIMIT: &str = r#"# [[limit]]                          # take the # away once every line says what you mean
# id = "weight/steer-share"          # id of the limit, as `rigproof explain` names it
# value = "25 %"                     # your own, with its unit
# why = "?"                          # your reason: it stays in the report, beside the value replaced
"#;

#[cfg(test)]
mod tests {
    use check::Verdict;

    use super::BLOCKS;
    use crate::start::STARTER;
    use crate::{Options, audit};

    /// The starter file without its own table of that kind, which a block takes the place of.
    fn starter_without(kind: &str) -> String {
        // A table below another stands beside it, and not in its line.
        let kind = kind.split('.').next().unwrap_or(kind);
        let mut inside = false;
        let lines = STARTER.lines().filter(|line| {
            inside |= line.starts_with(&format!("{kind} ="));
            let keep = !inside;
            inside &= line.ends_with('[') || line.starts_with("  ");
            keep
        });
        lines.map(|line| format!("{line}\n")).collect()
    }

    #[test]
    fn every_block_reads_in_a_starter_file_and_passes_nothing() {
        let passing = |text: &str| {
            let audit = audit(text, &Options::default());
            assert_eq!(audit.errors, [], "{text}");
            // A tank that a made state calls full does not slop, whatever its size; an awning that no state has out is in.
            let passing = audit.findings.iter().filter(|finding| finding.verdict == Verdict::Pass);
            passing.filter(|finding| !["weight/free-surface", "mount/awning"].contains(&&*finding.check)).count()
        };
        assert_eq!(passing(STARTER), 0);
        for (kind, block) in BLOCKS {
            assert_eq!(passing(&format!("{}\n{block}", starter_without(kind))), 0, "{kind}");
        }
        assert!(!starter_without("axle").contains("bare_load = "), "{}", starter_without("axle"));
    }

    #[test]
    fn behind_every_sign_stands_a_line_that_reads() {
        let starter = "format = \"rigproof-rig/1\"\nrig = \"invented\"\n[[axle]]\nname = \"front\"\n[[tank]]\nname = \"fresh\"\n\
            [[tank]]\nname = \"diesel\"\n[[seat]]\nname = \"driver seat\"\n[[person]]\nname = \"Ana\"\n[[mass]]\nname = \"firewood\"\n\
            [[mass]]\nname = \"awning\"\n[[battery]]\nname = \"house\"\n[[controller]]\nname = \"sun controller\"\n\
            [[inverter]]\nname = \"big inverter\"\n[[inlet]]\nname = \"shore\"\n[[state]]\nname = \"weighing day\"\nkind = \"travel\"\n";
        for (kind, block) in BLOCKS {
            // A weather file is handed in beside the text; none is here.
            let lines = block.lines().filter(|line| !line.starts_with("# weather"));
            let filled: String = lines.map(|line| format!("{}\n", line.strip_prefix("# ").unwrap_or(line))).collect();
            let body = if *kind == "body" { "" } else { "[body]\nfront = \"?\"\nfloor = \"?\"\n" };
            assert_eq!(audit(&format!("{starter}{body}{filled}"), &Options::default()).errors, [], "{kind}");
        }
    }

    #[test]
    fn every_value_says_where_it_stands() {
        for (kind, block) in BLOCKS {
            for line in block.lines().filter(|line| line.contains("\"?\"")) {
                let (_, comment) = line.split_once("\"?\"").unwrap_or_default();
                assert!(comment.contains("# "), "{kind}: {line}");
            }
        }
    }
}
