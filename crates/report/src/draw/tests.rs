use check::Exhibit;
use check::exhibit::*;
use quantity::{Num, System};

use super::place::Rect;
use super::*;

fn span(value: f64, half: f64) -> Option<Span> {
    Some(Span { value: Num(value), low: Num(value - half), high: Num(value + half) })
}

fn part(name: &str, kind: PartKind, mass: f64, across: (f64, f64), up: (f64, f64)) -> Part {
    let mass = (mass > 0.0).then_some(Num(mass));
    Part {
        name: name.to_owned(),
        kind,
        mass,
        from: Num(across.0),
        to: Num(across.1),
        bottom: Num(up.0),
        top: Num(up.1),
        sized: across.0 != across.1,
    }
}

fn wheel(axle: &str, x: f64, load: f64) -> Wheel {
    Wheel { axle: axle.to_owned(), x: Num(x), radius: Num(0.52), load: span(load, 95.0), rated: Some(Num(5200.0)), lifted: false }
}

/// An invented truck of 12.5 t.
fn side_view() -> SideView {
    let mut parts = vec![
        part("insulated body shell", PartKind::Body, 1480.0, (0.9, 6.6), (1.25, 3.55)),
        part("cab and frame", PartKind::Chassis, 0.0, (-1.35, 6.2), (0.75, 1.15)),
        part("cab", PartKind::Chassis, 0.0, (-1.35, 0.75), (1.15, 2.85)),
        part("fresh water", PartKind::Tank, 300.0, (2.4, 3.6), (1.3, 1.8)),
        part("herbarium presses", PartKind::Piece, 140.0, (1.0, 2.0), (1.3, 2.2)),
        part("kitchen block", PartKind::Piece, 95.0, (3.8, 5.0), (1.3, 2.2)),
        part("bed", PartKind::Piece, 60.0, (5.1, 6.5), (2.3, 2.6)),
        part("driver", PartKind::Person, 80.0, (-0.5, 0.1), (1.3, 2.3)),
        part("spare wheel", PartKind::Piece, 85.0, (6.6, 6.95), (1.3, 2.3)),
        part("ladder <\"rear\" & high>", PartKind::Out, 18.0, (6.95, 7.05), (0.6, 3.0)),
    ];
    parts.extend((0..22).map(|n| {
        part(
            &format!("box {n} with glass jars \u{1b} and paper"),
            PartKind::Piece,
            6.0 + f64::from(n),
            (1.2 + f64::from(n % 6) * 0.12, 1.2 + f64::from(n % 6) * 0.12),
            (2.4, 2.4),
        )
    }));
    SideView {
        wheels: vec![wheel("front", 0.0, 5347.0), wheel("middle", 3.9, 4310.0), wheel("rear", 5.2, 4200.0)],
        parts,
        centre_x: span(2.61, 0.08),
        centre_z: span(1.52, 0.13),
        mass: span(12_900.0, 150.0),
        ground_lines: vec![
            line("approach", 0.42, "front bumper", -1.35, 0.45, -0.4),
            line("departure", 0.36, "tow hook", 6.6, 0.5, 5.4),
            line("breakover", 0.29, "tank strap", 2.3, 0.42, 0.3),
        ],
        lengths: vec![
            length("front overhang", -1.35, 0.0),
            length("wheelbase", 0.0, 3.9),
            length("tandem", 3.9, 5.2),
            length("rear overhang", 5.2, 7.05),
            length("overall", -1.35, 7.05),
        ],
        height: Some(Num(3.62)),
    }
}

fn line(name: &str, angle: f64, touches: &str, x: f64, z: f64, from_x: f64) -> GroundLine {
    GroundLine {
        name: name.to_owned(),
        angle: Num(angle),
        touches: touches.to_owned(),
        x: Num(x),
        z: Num(z),
        from_x: Num(from_x),
    }
}

fn length(name: &str, from: f64, to: f64) -> Dimensioned {
    Dimensioned { name: name.to_owned(), from: Num(from), to: Num(to) }
}

fn rear_view() -> RearView {
    RearView {
        track: Num(1.83),
        radius: Num(0.52),
        twin: true,
        parts: vec![
            part("insulated body shell", PartKind::Body, 1480.0, (-1.22, 1.22), (1.25, 3.55)),
            part("fresh water", PartKind::Tank, 300.0, (-1.15, -0.45), (1.3, 1.8)),
            part("kitchen block", PartKind::Piece, 95.0, (0.55, 1.15), (1.3, 2.2)),
            part("gas cylinder", PartKind::Piece, 22.0, (0.3, 0.3), (0.9, 0.9)),
            part("gas hose", PartKind::Piece, 2.0, (0.3, 0.3), (0.9, 0.9)),
            part("gas valve", PartKind::Piece, 1.0, (0.32, 0.32), (0.9, 0.9)),
        ],
        centre_y: span(-0.06, 0.02),
        centre_z: span(1.52, 0.13),
        left: span(6900.0, 90.0),
        right: span(6000.0, 90.0),
        tips_rigid: span(0.512, 0.03),
        tips_sprung: span(0.43, 0.04),
        allowed: Some(Num(0.35)),
    }
}

fn bars() -> Bars {
    let bar = |name: &str, value: f64, limit: f64| Bar {
        name: name.to_owned(),
        value: span(value, 95.0).unwrap(),
        limit: Some(Num(limit)),
    };
    Bars { unit: "kg".to_owned(), bars: vec![bar("front axle", 5347.0, 5200.0), bar("rear axles", 6800.0, 8000.0)] }
}

fn exhibit(title: &str, picture: Picture) -> Exhibit {
    Exhibit { id: "one".to_owned(), title: title.to_owned(), state: Some("travel-full".to_owned()), picture }
}

fn samples() -> Vec<Exhibit> {
    let mut bare = side_view();
    bare.parts.clear();
    (bare.centre_x, bare.centre_z, bare.mass, bare.height) = (None, None, None, None);
    let mut long = side_view();
    long.wheels.extend((0..6).map(|n| wheel(&format!("a very long name of axle number {n}"), 3.95 + f64::from(n) * 0.05, 100.0)));
    long.lengths.extend((0..12).map(|n| length(&format!("offset of piece {n}"), f64::from(n) * 0.1, 0.2 + f64::from(n) * 0.1)));
    vec![
        exhibit("Side view", Picture::SideView(side_view())),
        exhibit("Rear view", Picture::RearView(rear_view())),
        exhibit("Loads against ratings", Picture::Bars(bars())),
        exhibit("Side view, bare", Picture::SideView(bare)),
        exhibit(
            "Side view, crowded, with a title that is far longer than the sheet is wide, as owners may well name their states",
            Picture::SideView(long),
        ),
    ]
}

#[test]
fn labels_cover_no_other_and_lie_on_the_sheet() {
    for exhibit in samples() {
        for units in [System::Metric, System::Us] {
            let sheet = sheet(&exhibit, units).unwrap();
            let view = Rect::new(0.0, 0.0, sheet.width, sheet.height);
            let labels = sheet.labels();
            assert!(labels.len() > 4, "{}: {} labels", exhibit.title, labels.len());
            for (at, label) in labels.iter().enumerate() {
                assert!(label.rect.inside(&view), "{}: {:?} leaves {view:?}", exhibit.title, label);
                for other in &labels[at + 1..] {
                    assert!(!label.rect.overlaps(&other.rect), "{}: {:?} over {:?}", exhibit.title, label, other);
                }
            }
        }
    }
}

/// Circles of a class: middle and radius.
fn circles(svg: &str, class: &str) -> Vec<(f64, f64, f64)> {
    let of_class = svg.lines().filter(|line| line.contains("<circle") && line.contains(&format!("class=\"{class}\"")));
    of_class.map(|line| (number(line, "cx"), number(line, "cy"), number(line, "r"))).collect()
}

fn number(line: &str, name: &str) -> f64 {
    let rest = line.split(&format!(" {name}=\"")).nth(1).and_then(|rest| rest.split('"').next());
    rest.and_then(|n| n.parse().ok()).unwrap()
}

#[test]
fn no_number_lies_over_the_spot_of_a_piece() {
    for exhibit in samples() {
        let svg = render(&exhibit, System::Metric).unwrap();
        for (x, y, radius) in circles(&svg, "dot") {
            for (at_x, at_y, spot) in circles(&svg, "spot") {
                let apart = quantity::real::hypot(x - at_x, y - at_y);
                assert!(apart >= radius + spot, "{}: a dot at {x}, {y} covers the spot at {at_x}, {at_y}", exhibit.title);
            }
        }
    }
    // The three at one place of the rear view stand around it: none on it, each with its line.
    let svg = render(&samples()[1], System::Metric).unwrap();
    assert_eq!(circles(&svg, "spot").len(), 3);
}

#[test]
fn what_touches_is_named_beside_the_pieces() {
    let mut view = side_view();
    // A tank just over the point that touches behind, and a height told close behind it.
    view.parts.push(part("grey", PartKind::Tank, 12.0, (5.9, 6.7), (0.55, 1.0)));
    let sheet = sheet(&exhibit("Side view", Picture::SideView(view)), System::Metric).unwrap();
    let label = sheet.labels().iter().find(|label| label.lines[0].starts_with("departure")).unwrap().rect;
    let svg = sheet.svg();
    let boxes: Vec<Rect> = svg
        .lines()
        .filter(|line| {
            line.contains("<rect") && ["tank", "piece", "chassis"].iter().any(|c| line.contains(&format!("class=\"{c}\"")))
        })
        .map(|line| Rect::new(number(line, "x"), number(line, "y"), number(line, "width"), number(line, "height")))
        .collect();
    assert!(boxes.len() > 6);
    assert!(!boxes.iter().any(|piece| piece.overlaps(&label)), "{label:?}");
}

#[test]
fn every_piece_is_named_in_place_or_in_the_legend() {
    let sheet = sheet(&samples()[0], System::Metric).unwrap();
    let all: Vec<String> = sheet.labels().iter().flat_map(|label| label.lines.clone()).collect();
    for part in side_view().parts {
        let name = crate::text::clean(&part.name);
        assert!(all.iter().any(|line| line.starts_with(&name)), "{name}");
    }
    for axle in [
        "front",
        "middle",
        "rear",
        "centre of gravity",
        "height",
        "wheelbase 3.9 m",
        "approach 24.1°",
        "carries 5350 kg",
        "between 5250 and 5440",
        "rated 5200 kg",
    ] {
        assert!(all.iter().any(|line| line == axle), "{axle} not in {all:?}");
    }
}

#[test]
fn names_from_the_file_stay_text() {
    let svg = render(&samples()[0], System::Metric).unwrap();
    assert!(svg.contains("ladder &lt;\"rear\" &amp; high&gt;") && !svg.contains('\u{1b}'));
    assert_eq!(svg.matches("<svg").count(), 1);
    assert!(!svg.contains("http://") || svg.matches("http").count() == svg.matches("http://www.w3.org/2000/svg").count());
}

#[test]
fn what_cannot_be_drawn_is_none_and_odd_numbers_draw_nothing_odd() {
    let mut view = side_view();
    view.parts[0].top = Num(f64::NAN);
    view.wheels[0].radius = Num(f64::INFINITY);
    view.centre_x = span(f64::NAN, 1.0);
    view.ground_lines[0].x = Num(f64::NEG_INFINITY);
    let svg = render(&exhibit("odd", Picture::SideView(view)), System::Metric).unwrap();
    assert!(!svg.contains("NaN") && !svg.contains("inf"), "{svg}");
    let nothing = SideView {
        wheels: vec![],
        parts: vec![],
        centre_x: None,
        centre_z: None,
        mass: None,
        ground_lines: vec![],
        lengths: vec![],
        height: None,
    };
    assert_eq!(render(&exhibit("nothing", Picture::SideView(nothing)), System::Metric), None);
    assert_eq!(render(&exhibit("no bars", Picture::Bars(Bars { unit: "kg".to_owned(), bars: vec![] })), System::Metric), None);
    let mut flat = rear_view();
    flat.track = Num(0.0);
    assert_eq!(render(&exhibit("flat", Picture::RearView(flat)), System::Metric), None);
}

/// The line from the tyre through the centre of gravity has the angle that the audit gives for a stiff rig: drawn from
/// two sources, it holds only if sides and axes are right. atan((1.83/2 - 0.06) / 1.52) = 29.35 deg = 0.512 rad.
#[test]
fn the_stiff_tip_line_passes_through_the_centre_of_gravity() {
    let svg = render(&samples()[1], System::Metric).unwrap();
    let numbers = |line: &str, names: [&str; 2]| {
        names.map(|name| {
            line.split(&format!(" {name}=\""))
                .nth(1)
                .and_then(|rest| rest.split('"').next())
                .and_then(|n| n.parse::<f64>().ok())
                .unwrap()
        })
    };
    // The stiff line is drawn last of the two.
    let ray = svg.lines().rfind(|line| line.contains("class=\"angle\"")).unwrap();
    let ([x1, y1], [x2, y2]) = (numbers(ray, ["x1", "y1"]), numbers(ray, ["x2", "y2"]));
    let [cx, cy] =
        numbers(svg.lines().find(|line| line.contains("class=\"centre\"") && line.contains("<circle")).unwrap(), ["cx", "cy"]);
    let off = ((x2 - x1) * (cy - y1) - (y2 - y1) * (cx - x1)).abs() / quantity::real::hypot(x2 - x1, y2 - y1);
    assert!(off < 1.0, "{off} points beside it");
    assert!(x2 > x1 && cx < super::rear::MIDDLE, "the centre of gravity is left of the middle, so it tips over the left wheels");
}

#[test]
fn the_same_exhibit_gives_the_same_bytes() {
    assert_eq!(render(&samples()[0], System::Metric), render(&samples()[0], System::Metric));
}

/// Writes the samples for a person to look at: `RIGPROOF_DRAWINGS=folder cargo test -p report to_look_at`.
#[test]
fn drawings_to_look_at() {
    let Some(folder) = std::env::var_os("RIGPROOF_DRAWINGS") else { return };
    for (at, exhibit) in samples().iter().chain(&super::power_tests::samples()).enumerate() {
        std::fs::write(std::path::Path::new(&folder).join(format!("{at}.svg")), render(exhibit, System::Metric).unwrap())
            .unwrap();
    }
}
