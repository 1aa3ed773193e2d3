use check::Exhibit;
use check::exhibit::*;
use proptest::prelude::*;
use quantity::{Num, System};

use super::place::Rect;
use super::*;
use crate::sample::{self, Year};

const KILOWATT_HOUR: f64 = 3.6e6;

fn exhibit(title: &str, picture: Picture) -> Exhibit {
    Exhibit { id: "one".to_owned(), title: title.to_owned(), state: None, picture }
}

fn exact(value: f64) -> Span {
    Span { value: Num(value), low: Num(value), high: Num(value) }
}

fn of_kind<T>(pick: impl Fn(&Picture) -> Option<T>) -> T {
    sample::pictures().iter().find_map(|exhibit| pick(&exhibit.picture)).unwrap()
}

fn map() -> DayHourMap {
    of_kind(|picture| if let Picture::DayHourMap(map) = picture { Some(map.clone()) } else { None })
}

fn months() -> MonthBars {
    of_kind(|picture| if let Picture::MonthBars(bars) = picture { Some(bars.clone()) } else { None })
}

fn curve() -> Curve {
    of_kind(|picture| if let Picture::Curve(curve) = picture { Some(curve.clone()) } else { None })
}

/// A whole year of one share.
fn even(share: f64, days: usize) -> DayHourMap {
    DayHourMap::of_year("state of charge", &vec![share; days * 24]).unwrap()
}

/// The shared samples, and what is bare, crowded or at an end.
pub(super) fn samples() -> Vec<Exhibit> {
    let mut samples = sample::pictures();
    let mut leap = even(0.7, 366);
    leap.floor = Some(Num(0.5));
    leap.hours[3] = Num(f64::NAN);
    leap.months_of_use = vec![2];
    let mut a_day = months();
    a_day.a_day = true;
    for month in &mut a_day.months {
        month.in_use = true;
        month.wanted = None;
        for number in [&mut month.used, &mut month.left_over, &mut month.gone_without] {
            number.0 /= 31.0;
        }
        for number in [&mut month.sun.value, &mut month.sun.low, &mut month.sun.high] {
            number.0 /= 31.0;
        }
    }
    let mut one = months();
    one.months.truncate(1);
    let mut crowded = sample::roof_plan();
    for n in 0..24 {
        let mut piece = crowded.pieces[3].clone();
        piece.name = format!("aerial {n} of the neighbours' with a rather long name for so small a thing");
        piece.patch.x = Num(0.2 + f64::from(n) * 0.2);
        crowded.pieces.push(piece);
        crowded.widths.push(Dimensioned { name: format!("aerial {n}"), from: Num(-1.0), to: Num(f64::from(n % 5) * 0.1) });
    }
    crowded.widths.truncate(6);
    let bare = RoofPlan {
        length: Num(1.2),
        width: Num(2.0),
        edge: None,
        panels: vec![],
        pieces: vec![],
        walkway: None,
        overlaps: vec![],
        shadows: vec![],
        shadows_at: None,
        heading: Some(Num(0.0)),
        lengths: vec![],
        widths: vec![],
    };
    let mut many = curve();
    let first = many.series[0].clone();
    for n in 0..6 {
        let mut series = first.clone();
        series.name = format!("a line number {n} with a name that runs over its two lines at the right of the chart");
        many.series.push(series);
    }
    samples.extend([
        exhibit("leap year", Picture::DayHourMap(leap)),
        exhibit("each day", Picture::MonthBars(a_day)),
        exhibit("one month", Picture::MonthBars(one)),
        exhibit("crowded roof", Picture::RoofPlan(crowded)),
        exhibit("bare roof", Picture::RoofPlan(bare)),
        exhibit("many lines", Picture::Curve(many)),
    ]);
    samples
}

#[test]
fn labels_cover_no_other_and_lie_on_the_sheet() {
    for exhibit in samples() {
        for units in [System::Metric, System::Us] {
            let sheet = sheet(&exhibit, units).unwrap();
            let view = Rect::new(0.0, 0.0, sheet.width, sheet.height);
            for (at, label) in sheet.labels().iter().enumerate() {
                assert!(label.rect.inside(&view), "{}: {:?} leaves {view:?}", exhibit.title, label);
                for other in &sheet.labels()[at + 1..] {
                    assert!(!label.rect.overlaps(&other.rect), "{}: {:?} over {:?}", exhibit.title, label, other);
                }
            }
        }
    }
}

#[test]
fn every_drawing_is_whole_xml_with_a_title_and_a_sentence_and_nothing_from_elsewhere() {
    for exhibit in samples() {
        let svg = render(&exhibit, System::Metric).unwrap();
        let document = roxmltree::Document::parse(&svg).unwrap();
        let text = |name: &str| document.descendants().find(|node| node.has_tag_name(name)).and_then(|node| node.text());
        assert_eq!(text("title").map(str::to_lowercase), Some(exhibit.title.to_lowercase()));
        assert!(text("desc").unwrap().ends_with('.'));
        for word in ["http://", "https://", "<script", "@import", "url(", "href"] {
            assert!(!svg.replace("http://www.w3.org/2000/svg", "").contains(word), "{}: {word}", exhibit.title);
        }
        assert!(!svg.contains('\u{1b}'));
    }
}

/// The first element of a class: its attributes.
fn element<'a>(svg: &'a roxmltree::Document<'a>, name: &str, class: &str) -> roxmltree::Node<'a, 'a> {
    svg.descendants().find(|node| node.has_tag_name(name) && node.attribute("class") == Some(class)).unwrap()
}

fn number(node: roxmltree::Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).and_then(|n| n.parse().ok()).unwrap()
}

/// The map begins at x 52, y 72; a day is 2 wide and an hour 10 high. Day 40 is 10 February: its hour from 7 to 8 stands at
/// x = 52 + 40 * 2 = 132 and y = 72 + 7 * 10 = 142 to 152; a line of the width of an hour has its middle at 147 = 77 + 7 * 10.
/// March begins after 59 days, at x = 52 + 59 * 2 = 170.
#[test]
fn an_hour_of_a_year_stands_at_its_day_and_hour() {
    let mut map = even(0.9, 365);
    map.short = vec![HourRun { from: 40 * 24 + 7, hours: 2 }];
    let svg = render(&exhibit("one", Picture::DayHourMap(map)), System::Metric).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let path = element(&document, "path", "cells ks");
    // Two hours on end are one line down the day, in the middle of its width.
    assert_eq!(
        (path.attribute("d"), path.attribute("transform")),
        (Some("M40 7v2"), Some("translate(53.0 72.0) scale(2.0 10.0)"))
    );
    let borders = document.descendants().filter(|node| node.attribute("class") == Some("month"));
    assert!(borders.into_iter().any(|line| number(line, "x1") == 170.0 && number(line, "x2") == 170.0));
    assert!(svg.contains("short: 2 h, on 1 day<") || svg.contains("short: 2 h, on 1 day\n"), "{svg}");
}

#[test]
fn steps_of_the_scale_begin_at_the_floor_and_each_hour_has_one() {
    let drawn = |share: f64, floor: Option<f64>| {
        let mut map = even(share, 365);
        map.floor = floor.map(Num);
        let svg = render(&exhibit("one", Picture::DayHourMap(map)), System::Metric).unwrap();
        let document = roxmltree::Document::parse(&svg).unwrap();
        let classes =
            document.descendants().filter_map(|node| node.attribute("class")).filter(|class| class.starts_with("cells"));
        classes.map(str::to_owned).collect::<Vec<_>>()
    };
    for (share, floor, class) in [
        (0.1, Some(0.1), "cells kf"),
        (0.105, Some(0.1), "cells kf"),
        (0.106, Some(0.1), "cells k1"),
        (0.0, None, "cells k1"),
        (0.2, None, "cells k1"),
        (0.201, None, "cells k2"),
        (0.55, Some(0.5), "cells k3"),
        (0.3, Some(0.5), "cells kf"),
        (1.0, Some(0.2), "cells k5"),
        (1.2, None, "cells k5"),
    ] {
        assert_eq!(drawn(share, floor), [class], "{share} over {floor:?}");
    }
    assert!(drawn(f64::NAN, Some(0.2)).is_empty());
}

/// A year of noise is the most that a map can hold: no two hours on end are alike.
#[test]
fn a_year_of_noise_stays_small() {
    let noise: Vec<f64> = (0..8784_u32).map(|hour| f64::from(hour.wrapping_mul(2_654_435_761) >> 16) / 65_536.0).collect();
    let mut map = DayHourMap::of_year("state of charge", &noise).unwrap();
    map.short = HourRun::of((0..8784).map(|hour| hour % 2 == 0));
    map.floor = Some(Num(0.1));
    let svg = render(&exhibit("noise", Picture::DayHourMap(map)), System::Metric).unwrap();
    assert!(svg.len() < 120_000, "{} bytes", svg.len());
    let even = render(&exhibit("even", Picture::DayHourMap(even(0.9, 365))), System::Metric).unwrap();
    assert!(even.len() < 12_000, "{} bytes", even.len());
}

/// 250 points stand for the highest number and 4 %: 100 kWh * 1.04 = 104 kWh. So the sun's 100 kWh are 250 * 100 / 104 = 240.4
/// high, its 60 left over 144.2, the 40 used 96.2, the 10 gone without 24.0; what is wanted, 50, is 120.2 over the ground.
#[test]
fn bars_are_as_high_as_their_energies() {
    let month = |month| MonthEnergy {
        month,
        in_use: month > 6,
        sun: exact(100.0 * KILOWATT_HOUR),
        used: Num(40.0 * KILOWATT_HOUR),
        left_over: Num(60.0 * KILOWATT_HOUR),
        gone_without: Num(10.0 * KILOWATT_HOUR),
        wanted: Some(Num(50.0 * KILOWATT_HOUR)),
    };
    let bars = MonthBars { a_day: false, months: (1..=12).map(month).collect() };
    let svg = render(&exhibit("months", Picture::MonthBars(bars)), System::Metric).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let heights = |class: &str| -> Vec<f64> {
        let rects = document.descendants().filter(|node| node.has_tag_name("rect") && node.attribute("class") == Some(class));
        rects.map(|rect| number(rect, "height")).collect()
    };
    assert_eq!(heights("sun")[..2], [240.4, 144.2]);
    assert_eq!((heights("used")[0], heights("without")[0]), (96.2, 24.0));
    // The ground stands at 46 + 26 + 250.
    assert_eq!(number(element(&document, "line", "wanted"), "y1"), 201.8);
    let words: Vec<&str> = document.descendants().filter(|node| node.has_tag_name("text")).filter_map(|n| n.text()).collect();
    for word in ["sun", "used", "left over", "gone without", "wanted", "kWh a month", "in use", "100.0", "60.0"] {
        assert!(words.iter().any(|text| text.trim() == word), "{word} not in {words:?}");
    }
}

#[test]
fn little_that_is_gone_without_still_shows() {
    let mut bars = months();
    bars.months[5].gone_without = Num(1.0);
    let svg = render(&exhibit("months", Picture::MonthBars(bars)), System::Metric).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let rects = document.descendants().filter(|node| node.has_tag_name("rect") && node.attribute("class") == Some("without"));
    let heights: Vec<f64> = rects.map(|rect| number(rect, "height")).collect();
    // Six months of the sample are short of something, and the swatch stands among them.
    assert_eq!(heights.len(), 5 + 1 + 1);
    assert!(heights.iter().all(|height| *height >= 2.0), "{heights:?}");
}

/// Two lines across the roof take 114 + 3 * 18 = 168 points at the right, so 5.7 m of roof have 800 - 20 - 168: 107.368 a metre.
/// The panel from x = 0.1 m, y = -1.1 to -0.11 m is left of the centre line, so it stands below the middle at 130 + 1.18 *
/// 107.368 = 256.7: x 20 + 10.7, y 256.7 + 11.8, 177.2 by 106.3. The nose points left, to 210 degrees; north is 150 degrees clockwise from it, so at (cos 30, sin 30) to
/// the upper right: 740 + 22 * 0.866 = 759.1, 84 - 11 = 73.
#[test]
fn a_panel_of_the_roof_stands_where_it_lies() {
    let svg = render(&exhibit("roof", Picture::RoofPlan(sample::roof_plan())), System::Metric).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let panel = element(&document, "rect", "panel");
    assert_eq!(["x", "y", "width", "height"].map(|name| number(panel, name)), [30.7, 268.5, 177.2, 106.3]);
    let mut needles = document.descendants().filter(|node| node.attribute("class") == Some("needle"));
    assert!(needles.next_back().and_then(|node| node.attribute("points")).unwrap().starts_with("759.1,73.0 "));
    let bar = element(&document, "line", "limit");
    assert_eq!(number(bar, "x2") - number(bar, "x1"), 107.4, "one metre");
}

#[test]
fn shadows_end_at_the_edges_of_the_roof() {
    let svg = render(&exhibit("roof", Picture::RoofPlan(sample::roof_plan())), System::Metric).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let roof = element(&document, "rect", "roof");
    let bottom = number(roof, "y") + number(roof, "height");
    let shade = element(&document, "polygon", "shade").attribute("points").unwrap();
    let ys: Vec<f64> = shade.split(' ').filter_map(|point| point.split_once(',')?.1.parse().ok()).collect();
    // Six corners, one of which lies 0.22 m past the left edge: the edge cuts it into two.
    assert_eq!(ys.len(), 7);
    assert!(ys.iter().all(|y| *y <= bottom + 0.1) && ys.iter().filter(|y| (**y - bottom).abs() < 0.11).count() == 2, "{ys:?}");
}

/// The chart is 300 high for 10 W and 5 % above: the last point stands at 70 + 300 * 0.5 / 10.5 = 84.3, at the right end
/// 800 - 176; the first one at the ground, 370, at the left end.
#[test]
fn a_line_goes_through_its_points() {
    let point = |x: f64| CurvePoint { x: Num(x), y: exact(x) };
    let axis = || Axis { name: "power".to_owned(), unit: "W".to_owned() };
    let series = Series { name: "one".to_owned(), points: vec![point(0.0), point(10.0)] };
    let curve = Curve { across: axis(), up: axis(), series: vec![series], levels: vec![] };
    let svg = render(&exhibit("line", Picture::Curve(curve)), System::Metric).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    assert_eq!(element(&document, "polyline", "c0").attribute("points"), Some("76.0,370.0 624.0,84.3"));
}

#[test]
fn what_holds_nothing_to_draw_is_none() {
    let mut roof = sample::roof_plan();
    roof.width = Num(0.0);
    let mut lines = curve();
    lines.series.clear();
    let mut unknown = curve();
    unknown.up.unit = "parrots".to_owned();
    let mut half_a_year = map();
    half_a_year.hours.truncate(4000);
    let no_month = MonthBars { a_day: false, months: vec![] };
    for picture in [
        Picture::RoofPlan(roof),
        Picture::Curve(lines),
        Picture::Curve(unknown),
        Picture::DayHourMap(half_a_year),
        Picture::MonthBars(no_month),
    ] {
        assert_eq!(render(&exhibit("nothing", picture.clone()), System::Metric), None, "{picture:?}");
    }
}

/// What an audit says of energy, in its own words; the months add up to the year of hours they come from.
#[test]
fn the_sample_agrees_with_itself() {
    let (map, months) = (map(), months());
    let short: u32 = map.short.iter().map(|run| u32::from(run.hours)).sum();
    assert!(short > 0 && short < 8760);
    for month in &months.months {
        let wanted = month.wanted.unwrap().0;
        assert!((month.used.0 + month.gone_without.0 - wanted).abs() < 1e-6 * wanted);
        assert!(month.left_over.0 <= month.sun.value.0);
    }
    assert_eq!(format!("{:?}", Year::of_365_days()), format!("{:?}", Year::of_365_days()));
}

/// The drawing without its style, a path of many hours cut to its beginning.
fn for_review(svg: &str) -> String {
    let (head, rest) = svg.split_once("<style>").unwrap();
    let (_, tail) = rest.split_once("</style>").unwrap();
    let cut = |line: &str| match line.char_indices().nth(400) {
        Some((at, _)) => format!("{} .. {} characters", &line[..at], line.len()),
        None => line.to_owned(),
    };
    head.lines().chain(tail.lines()).map(cut).collect::<Vec<_>>().join("\n")
}

#[test]
fn drawings_as_they_are() {
    for exhibit in sample::pictures() {
        insta::assert_snapshot!(exhibit.id.clone(), for_review(&render(&exhibit, System::Metric).unwrap()));
    }
}

fn odd() -> impl Strategy<Value = Num> {
    prop_oneof![3 => -2.0..8.0_f64, 1 => any::<f64>(), 1 => proptest::sample::select(vec![f64::NAN, f64::INFINITY, f64::MAX, -0.0])]
        .prop_map(Num)
}

fn odds() -> impl Strategy<Value = Vec<Num>> {
    proptest::collection::vec(odd(), 64)
}

/// Pictures of every kind filled with the given numbers.
fn filled(numbers: &[Num]) -> Vec<Picture> {
    let mut numbers = numbers.iter().copied().cycle();
    let mut next = || numbers.next().unwrap();
    let mut map = even(0.5, 365);
    map.hours.iter_mut().for_each(|hour| *hour = next());
    (map.floor, map.months_of_use) = (Some(next()), vec![0, 4, 200]);
    map.short = vec![HourRun { from: u16::MAX, hours: u16::MAX }, HourRun { from: 8000, hours: 20_000 }];
    let mut bars = months();
    for month in &mut bars.months {
        month.sun = Span { value: next(), low: next(), high: next() };
        (month.used, month.left_over, month.gone_without, month.wanted) = (next(), next(), next(), Some(next()));
    }
    let mut roof = sample::roof_plan();
    let mut patch = || Patch { x: next(), y: next(), length: next(), width: next() };
    roof.panels.iter_mut().for_each(|panel| panel.patch = patch());
    roof.pieces.iter_mut().for_each(|piece| piece.patch = patch());
    roof.overlaps.iter_mut().for_each(|overlap| overlap.patch = patch());
    for corner in roof.shadows.iter_mut().flat_map(|shadow| &mut shadow.corners) {
        (corner.x, corner.y) = (next(), next());
    }
    for line in roof.lengths.iter_mut().chain(&mut roof.widths) {
        (line.from, line.to) = (next(), next());
    }
    (roof.heading, roof.edge) = (Some(next()), Some(next()));
    let mut lines = curve();
    for point in lines.series.iter_mut().flat_map(|series| &mut series.points) {
        (point.x, point.y) = (next(), Span { value: next(), low: next(), high: next() });
    }
    lines.levels[0].y = next();
    vec![Picture::DayHourMap(map), Picture::MonthBars(bars), Picture::RoofPlan(roof), Picture::Curve(lines)]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn every_number_of_a_drawing_is_finite(numbers in odds()) {
        for picture in filled(&numbers) {
            let Some(svg) = render(&exhibit("odd", picture), System::Metric) else { continue };
            let document = roxmltree::Document::parse(&svg).unwrap();
            for attribute in document.descendants().flat_map(|node| node.attributes()).filter(|a| a.name() != "class") {
                let value = attribute.value();
                prop_assert!(!value.contains("NaN") && !value.contains("inf"), "{}={value}", attribute.name());
            }
            let view = document.root_element().attribute("viewBox").unwrap();
            prop_assert!(view.split(' ').skip(2).all(|side| side.parse::<f64>().is_ok_and(|side| side > 0.0)), "{view}");
        }
    }
}
