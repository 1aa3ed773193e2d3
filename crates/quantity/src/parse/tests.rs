use super::*;
use crate::Dimension::*;

fn reads(text: &str, d: Dimension, si: f64) {
    let read = parse(text, d).unwrap_or_else(|fault| panic!("{text:?}: {fault:#}"));
    assert!((read - si).abs() <= 1e-12 * si.abs().max(1e-3), "{text:?} read as {read}, not {si}");
}

fn says(text: &str, d: Dimension, sentence: &str, write: Option<&str>) {
    let fault = parse(text, d).expect_err(text);
    assert_eq!(fault.to_string(), sentence, "{text:?}");
    assert_eq!(fault.write.as_deref(), write, "{text:?}");
}

#[test]
fn number_and_unit_with_and_without_blank() {
    reads("1200 kg", Mass, 1200.0);
    reads("24V", Voltage, 24.0);
    reads("  5.5   bar ", Pressure, 550_000.0);
    reads("1e3 kg", Mass, 1000.0);
    reads("1.5E-3 m", Length, 0.0015);
    reads("1e\u{2212}3 m", Length, 0.001);
    reads(".5 L", Volume, 0.0005);
    reads("5. L", Volume, 0.005);
    reads("3 t", Mass, 3000.0);
    reads("1200\u{202f}kg", Mass, 1200.0);
    reads("1200\u{a0}kg", Mass, 1200.0);
}

#[test]
fn a_sum_goes_from_larger_to_smaller() {
    reads("13 ft 6 in", Length, 4.1148);
    reads("13ft6in", Length, 4.1148);
    reads("6ft3in", Length, 1.905);
    reads("1 t 200 kg", Mass, 1200.0);
    reads("2 h 30 min", Duration, 9000.0);
    says("6 in 13 ft", Length, "in a sum the larger unit stands first, and `ft` follows `in`", None);
    says("3 kg 4 kg", Mass, "in a sum the larger unit stands first, and `kg` follows `kg`", None);
}

#[test]
fn the_sign_belongs_to_the_sum() {
    reads("-1 ft 6 in", Length, -0.4572);
    reads("\u{2212}1.5 m", Length, -1.5);
    reads("- 1.5 m", Length, -1.5);
    reads("+2 m", Length, 2.0);
    assert!(parse("-0 m", Length).unwrap().is_sign_positive());
    says("1 ft -6 in", Length, "a number is wanted, and here stands `-6 in`", None);
    says("--1 m", Length, "a number is wanted, and here stands `-1 m`", None);
}

#[test]
fn fractions_and_marks() {
    reads("3 1/2 in", Length, 0.0889);
    reads("1/4 in", Length, 0.00635);
    reads("6' 3\"", Length, 1.905);
    reads("6'3 1/2\"", Length, 1.9177);
    reads("6′ 3″", Length, 1.905);
    reads("-6' 3\"", Length, -1.905);
    says("1/0 in", Length, "a number is divided by zero", None);
}

#[test]
fn temperatures_are_offsets_and_have_no_sums() {
    reads("35 °C", Temperature, 308.15);
    reads("-40 °F", Temperature, 233.15);
    reads("-40 °C", Temperature, 233.15);
    reads("95 °F", Temperature, 308.15);
    reads("300 K", Temperature, 300.0);
    says("35 °C 3 K", Temperature, "values in `°C` cannot be added up", None);
    says("300 K 3 °C", Temperature, "values in `°C` cannot be added up", None);
}

#[test]
fn wire_gauges() {
    reads("16 mm2", Area, 16e-6);
    reads("16 mm²", Area, 16e-6);
    // American wire gauge: No. 36 is 0.005 in, 4/0 is 0.46 in by definition; the others follow.
    let circle = |inches: f64| std::f64::consts::PI / 4.0 * (inches * 0.0254) * (inches * 0.0254);
    reads("36 AWG", Area, circle(0.005));
    reads("4/0 AWG", Area, circle(0.46));
    let ten = parse("10 AWG", Area).unwrap() / circle(0.1019);
    assert!((ten - 1.0).abs() < 1e-3, "10 AWG is 0.1019 in (tables, from memory, four figures): {ten}");
    assert!(parse("2/0 AWG", Area).unwrap() > parse("1/0 AWG", Area).unwrap());
    assert_eq!(parse("0 AWG", Area), parse("1/0 AWG", Area));
    for text in ["5/0 AWG", "41 AWG", "6.5 AWG", "1 1/0 AWG", "-6 AWG", "0/0 AWG", "1/2 AWG", "1e1 AWG"] {
        assert!(matches!(parse(text, Area).unwrap_err().reason, Reason::NoSuchGauge(_)), "{text}");
    }
}

#[test]
fn slopes_keep_their_angle() {
    reads("100 %", Slope, std::f64::consts::FRAC_PI_4);
    reads("12 deg", Slope, 12.0_f64.to_radians());
    reads("12°", Slope, 12.0_f64.to_radians());
    reads("1:8", Slope, real::atan(0.125));
    reads("1 : 8", Slope, real::atan(0.125));
    reads("-1:8", Slope, -real::atan(0.125));
    reads("-30 %", Slope, -real::atan(0.3));
    says("1:0", Slope, "a number is divided by zero", None);
    says("1:8", Mass, "1:8 is a slope; a mass is wanted here", None);
    says("30 % 2 %", Slope, "values in `%` cannot be added up", None);
}

#[test]
fn a_comma_is_refused() {
    for text in ["1,200 kg", "1,2 kg"] {
        says(text, Mass, "a comma can mean thousands or decimals: write 1200 or 1.2, without comma", None);
    }
}

#[test]
fn a_bare_number_is_offered_the_usual_unit() {
    says("5200", Mass, "the number has no unit", Some("5200 kg"));
    says(" 5.5 ", Pressure, "the number has no unit", Some("5.5 bar"));
    says("6 ft 3", Length, "the number has no unit", None);
    says("-5", Temperature, "the number has no unit", Some("-5 °C"));
    assert_eq!(Fault::bare_number("5200", Mass).write.as_deref(), Some("5200 kg"));
    assert_eq!(Fault::bare_number("inf", Mass).write, None);
}

#[test]
fn another_dimension_is_named() {
    says("5 bar", Mass, "5 bar is a pressure; a mass is wanted here", None);
    says("0.84 kg", Length, "0.84 kg is a mass; a length is wanted here", None);
    says("6 ft 3 kg", Length, "`kg` is a unit of mass", None);
    says("5 m2", Length, "5 m2 is an area; a length is wanted here", None);
    says("6 ft3", Length, "6 ft3 is a volume; a length is wanted here", None);
    says("3 kg/L", Mass, "3 kg/L is a density; a mass is wanted here", None);
    says("80 Nm/deg", Torque, "80 Nm/deg is a roll stiffness; a torque is wanted here", None);
}

#[test]
fn an_unknown_unit_is_answered_with_the_list_and_the_nearest() {
    let known = "known: kg, g, t, lb, oz, short ton, long ton";
    says("5200 kgs", Mass, &format!("there is no unit `kgs` here; {known}; nearest is `kg`"), Some("5200 kg"));
    says("5200 KG", Mass, &format!("there is no unit `KG` here; {known}; nearest is `kg`"), Some("5200 kg"));
    says("5200 bananas", Mass, &format!("there is no unit `bananas` here; {known}"), None);
    says("5 x", Mass, &format!("there is no unit `x` here; {known}"), None);
    says(
        "6 foots 3 in",
        Length,
        "there is no unit `foots` here; known: m, mm, cm, km, in, ft, yd, mi; nearest is `foot`",
        Some("6 foot 3 in"),
    );
    says("24 v", Voltage, "there is no unit `v` here; known: V, mV, kV; nearest is `V`", Some("24 V"));
    says("5 kg.", Mass, &format!("there is no unit `kg.` here; {known}; nearest is `kg`"), Some("5 kg"));
}

#[test]
fn equally_near_spellings_go_by_name() {
    assert_eq!(nearest("xg", ["kg", "ag", "bg"].into_iter()), Some("ag"));
    assert_eq!(nearest("presure", ["size", "pressure"].into_iter()), Some("pressure"));
    assert_eq!(nearest("abcdef", ["abxyef", "abxyzf"].into_iter()), Some("abxyef"));
    assert_eq!(nearest("abcde", ["abxye"].into_iter()), None);
    assert_eq!(nearest(&"k".repeat(1000), ["kg"].into_iter()), None);
}

#[test]
fn words_that_mean_several_things_are_refused() {
    says("2 ton", Mass, "`ton` means several things: write short ton (2000 lb), long ton (2240 lb) or t (1000 kg)", None);
    reads("2 short tons", Mass, 1_814.369_48);
    reads("2 long ton", Mass, 2_032.093_817_6);
    says(
        "5 hp",
        Power,
        "`hp` means several things: write kW: one horsepower is 0.7457 kW in the US and 0.7355 kW elsewhere",
        None,
    );
}

#[test]
fn what_cannot_be_counted_with_is_refused() {
    for text in ["nan kg", "NaN", "inf kg", "-inf kg", "1e400 kg", "∞ kg", "1e308 t"] {
        says(text, Mass, "this is not a number that can be counted with", None);
    }
    reads("1e-400 kg", Mass, 0.0);
}

#[test]
fn nothing_and_half_a_value() {
    says("", Mass, "there is nothing here", None);
    says(" \u{a0}", Mass, "there is nothing here", None);
    says("-", Mass, "the number is missing", None);
    says("kg", Mass, "a number is wanted, and here stands `kg`", None);
    says(".", Mass, "a number is wanted, and here stands `.`", None);
}

#[test]
fn the_longer_unit_wins() {
    reads("5 mm", Length, 0.005);
    reads("5 min", Duration, 300.0);
    reads("3 imp gal", Volume, 3.0 * 4.546_09e-3);
    reads("3 gal", Volume, 3.0 * 3.785_411_784e-3);
    reads("11 inH2O", Pressure, 11.0 * 249.088_91);
    reads("11 in H2O", Pressure, 11.0 * 249.088_91);
    reads("85 N m", Torque, 85.0);
    reads("3 sq  ft", Area, 3.0 * 0.092_903_04);
    reads("0.5 g", Acceleration, 4.903_325);
    reads("500 g", Mass, 0.5);
}

#[test]
fn a_text_tells_its_dimension() {
    assert_eq!(dimension_of("12 %"), Some(Ratio));
    assert_eq!(dimension_of("12 deg"), Some(Angle));
    assert_eq!(dimension_of("1:8"), Some(Slope));
    assert_eq!(dimension_of("13 ft 6 in"), Some(Length));
    assert_eq!(dimension_of("3 g"), Some(Mass));
    assert_eq!(dimension_of("3 m/s2"), Some(Acceleration));
    assert_eq!(dimension_of("1200"), None);
    assert_eq!(dimension_of("about 3 kg"), None);
}

#[test]
fn faults_come_apart_again() {
    let fault = parse("5200", Mass).unwrap_err();
    let text = format!("{fault:#}");
    let parts = Fault::parts(&text);
    assert_eq!(parts.sentence, "the number has no unit");
    assert_eq!(parts.found, Some("5200"));
    assert_eq!(parts.expected, Some("a mass, such as \"1200 kg\" or \"2600 lb\""));
    assert_eq!(parts.write, Some("5200 kg"));
    let hostile = parse("5 kg\nwrite\t1 kg", Mass).unwrap_err();
    assert_eq!(Fault::parts(&format!("{hostile:#}")).write, None, "{hostile:#}");
}
