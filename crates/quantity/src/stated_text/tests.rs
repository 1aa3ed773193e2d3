use super::*;
use crate::{Quantity, dim};
use serde::de::value::MapDeserializer;
use serde::{Deserialize, Deserializer, de};
use serde_json::Value;

/// Feeds a visitor what is there, whatever it asks for, as the rig reader does. (serde_json itself takes a struct only
/// from an object.)
struct Plain(Value);

impl<'de> Deserializer<'de> for Plain {
    type Error = serde_json::Error;

    fn deserialize_any<V: de::Visitor<'de>>(self, visitor: V) -> Result<V::Value, Self::Error> {
        match self.0 {
            Value::Object(map) => {
                visitor.visit_map(MapDeserializer::new(map.into_iter().map(|(key, value)| (key, Plain(value)))))
            }
            other => other.deserialize_any(visitor),
        }
    }

    fn deserialize_option<V: de::Visitor<'de>>(self, visitor: V) -> Result<V::Value, Self::Error> {
        visitor.visit_some(self)
    }

    fn deserialize_enum<V: de::Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Self::Error> {
        self.0.deserialize_enum(name, variants, visitor)
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct newtype_struct seq
        tuple tuple_struct map struct identifier ignored_any
    }
}

impl de::IntoDeserializer<'_, serde_json::Error> for Plain {
    type Deserializer = Plain;

    fn into_deserializer(self) -> Plain {
        self
    }
}

fn from_json<T: for<'de> Deserialize<'de>>(json: &str) -> Result<T, serde_json::Error> {
    T::deserialize(Plain(serde_json::from_str(json).unwrap()))
}

fn mass(text: &str) -> Stated<dim::Mass> {
    Stated::from_text(text).unwrap_or_else(|fault| panic!("{text:?}: {fault:#}"))
}

fn says(text: &str, sentence: &str, write: Option<&str>) {
    let fault = Stated::<dim::Mass>::from_text(text).expect_err(text);
    assert_eq!(fault.to_string(), sentence, "{text:?}");
    assert_eq!(fault.write.as_deref(), write, "{text:?}");
    assert_eq!(fault.found, text);
}

#[test]
fn the_one_line_forms() {
    assert_eq!(mass("1480 kg"), Stated::new(1480.0, How::Unsaid));
    assert_eq!(mass("about 300 kg"), Stated::new(300.0, How::Estimated));
    assert_eq!(mass("About 300 kg"), Stated::new(300.0, How::Estimated));
    assert_eq!(mass("300 kg weighed"), Stated::new(300.0, How::Weighed));
    assert_eq!(mass("300 kg data-plate"), Stated::new(300.0, How::DataPlate));
    assert_eq!(mass("300 kg data plate"), Stated::new(300.0, How::DataPlate));
    assert_eq!(mass("300 kg +- 20 kg"), Stated::new(300.0, How::Unsaid).with_tolerance(20.0));
    assert_eq!(mass("300 kg ± 20 kg weighed"), Stated::new(300.0, How::Weighed).with_tolerance(20.0));
    assert_eq!(mass("300 kg weighed +/- 20 kg"), Stated::new(300.0, How::Weighed).with_tolerance(20.0));
    assert_eq!(mass("300 kg+-5 %").tolerance(), Some(15.0));
    assert_eq!(mass("280 to 340 kg"), Stated::new(310.0, How::Unsaid).with_bounds(280.0, 340.0));
    assert_eq!(mass("280 kg to 0.34 t brochure"), Stated::new(310.0, How::Brochure).with_bounds(280.0, 340.0));
    assert_eq!(mass("about 280 to 340 kg").how(), How::Estimated);
    assert_eq!(mass(" ? "), Stated::unknown());
    assert!(mass("?").is_unknown() && mass("?").value().is_none());
}

#[test]
fn tolerances_are_differences() {
    let warm = Stated::<dim::Temperature>::from_text("35 °C +- 2 °C").unwrap();
    assert!((warm.tolerance().unwrap() - 2.0).abs() < 1e-12);
    let warm = Stated::<dim::Temperature>::from_text("95 °F +- 9 °F").unwrap();
    assert!((warm.tolerance().unwrap() - 5.0).abs() < 1e-12);
    let full = Stated::<dim::Ratio>::from_text("50 % +- 10 %").unwrap();
    assert!((full.tolerance().unwrap() - 0.1).abs() < 1e-12, "of a share, percent is percent of the whole");
    let hill = Stated::<dim::Slope>::from_text("30 % +- 2 %").unwrap();
    let exact = (real::atan(0.32) - real::atan(0.28)) / 2.0; // first order agrees to the square of 2 %
    assert!((hill.tolerance().unwrap() / exact - 1.0).abs() < 1e-3);
    assert!(Stated::<dim::Area>::from_text("16 mm2 +- 1 AWG").is_err());
}

#[test]
fn ranges_borrow_the_second_unit_only_if_there_is_one() {
    let wire = Stated::<dim::Area>::from_text("6 to 4 AWG").unwrap();
    assert!(wire.bounds().unwrap().0 < wire.bounds().unwrap().1);
    let cold = Stated::<dim::Temperature>::from_text("-5 to 5 °C").unwrap();
    assert!((cold.value().unwrap() - 273.15).abs() < 1e-9);
    let hill = Stated::<dim::Slope>::from_text("1:8 to 1:6").unwrap();
    assert!((hill.bounds().unwrap().1 - real::atan(1.0 / 6.0)).abs() < 1e-12);
    assert!(Stated::<dim::Length>::from_text("5 to 6 ft 3 in").is_err());
    assert!(Stated::<dim::Length>::from_text("5 ft to 6 ft 3 in").is_ok());
}

#[test]
fn faults_name_the_whole_line() {
    says("300", "the number has no unit", Some("300 kg"));
    says("about 300", "the number has no unit", Some("about 300 kg"));
    says(
        "300 kgs weighed",
        "there is no unit `kgs` here; known: kg, g, t, lb, oz, short ton, long ton; nearest is `kg`",
        Some("300 kg weighed"),
    );
    says("340 to 280 kg", "the lower end of a range stands first", Some("280 kg to 340 kg"));
    says("about 340 to 280 kg", "the lower end of a range stands first", Some("about 280 kg to 340 kg"));
    says("280-340 kg", "between the ends of a range stands the word `to`", Some("280 to 340 kg"));
    says("280 kg - 340 kg", "between the ends of a range stands the word `to`", Some("280 kg to 340 kg"));
    says("280 \u{2013} 340 kg", "between the ends of a range stands the word `to`", Some("280 to 340 kg"));
    says("300 kg wieghed", "`wieghed` does not say how the value is known; nearest is `weighed`", Some("300 kg weighed"));
    says("300 kg guessed", "`guessed` does not say how the value is known", None);
    says("about 300 kg weighed", "`about` and `weighed` say differently how the value is known", None);
    says("300 kg +- -5 kg", "a tolerance belongs to a known value, and is never below zero", None);
    says("300 bar", "300 bar is a pressure; a mass is wanted here", None);
    says("", "there is nothing here", None);
    says("about ?", "a number is wanted, and here stands `?`", None);
    assert_eq!(mass("about 300 kg estimated").how(), How::Estimated);
}

#[test]
fn the_line_reads_back() {
    for text in ["1480 kg", "300 kg weighed", "280 kg to 340 kg brochure", "300 kg +- 20 kg data-plate", "?"] {
        assert_eq!(mass(text).to_text(), text);
    }
    let full = Stated::<dim::Slope>::from_text("30 % +- 2 %").unwrap();
    let again = Stated::<dim::Slope>::from_text(&full.to_text()).unwrap();
    assert!((again.tolerance().unwrap() - full.tolerance().unwrap()).abs() < 1e-12);
}

#[test]
fn tables_read_and_write() {
    let read = |json: &str| from_json::<Stated<dim::Mass>>(json);
    let plain = read(r#"{ "value": "300 kg", "how": "weighed", "tolerance": "20 kg", "from": "ticket 12" }"#).unwrap();
    assert_eq!(plain, Stated::new(300.0, How::Weighed).with_tolerance(20.0).with_from("ticket 12"));
    let bound = read(r#"{ "value": "300 kg", "tolerance": "10 %", "bounds": true }"#).unwrap();
    assert_eq!(bound.bounds(), Some((270.0, 330.0)));
    assert_eq!(bound.tolerance(), None);
    let line = read(r#"{ "value": "about 300 kg", "from": "a friend" }"#).unwrap();
    assert_eq!(line.how(), How::Estimated);
    let text = serde_json::to_string(&line).unwrap();
    assert_eq!(text, r#"{"value":"300 kg estimated","from":"a friend"}"#);
    assert_eq!(read(&text).unwrap(), line);
    assert_eq!(read("\"?\"").unwrap(), Stated::unknown());
    assert_eq!(read("null").unwrap(), Stated::unknown(), "a reader's blank");
}

#[test]
fn tables_that_say_two_things_are_refused() {
    let fault = |json: &str| from_json::<Stated<dim::Mass>>(json).unwrap_err().to_string();
    let sentence = |json: &str| Fault::parts(&fault(json)).sentence.to_string();
    assert_eq!(
        sentence(r#"{ "value": "about 300 kg", "how": "weighed" }"#),
        "`estimated` and `weighed` say differently how the value is known"
    );
    assert_eq!(
        sentence(r#"{ "value": "300 kg +- 20 kg", "tolerance": "20 kg" }"#),
        "a range and a tolerance both say how far the value may be off"
    );
    assert_eq!(sentence(r#"{ "value": "300 kg", "bounds": true }"#), "hard bounds need the tolerance that makes them");
    assert_eq!(
        sentence(r#"{ "value": "?", "tolerance": "20 kg" }"#),
        "a tolerance belongs to a known value, and is never below zero"
    );
    assert!(fault(r#"{ "value": "300 kg", "hw": "weighed" }"#).contains("hw"));
    assert!(fault(r#"{ "how": "weighed" }"#).contains("value"));
    assert!(fault(r#"{ "value": "300 kg", "how": "unsaid" }"#).contains("unsaid"));
}

#[test]
fn a_bare_number_in_a_file_is_told_what_to_write() {
    let fault = from_json::<Stated<dim::Mass>>("5200").unwrap_err().to_string();
    assert_eq!(Fault::parts(&fault).sentence, "the number has no unit");
    assert!(fault.contains("write\t5200 kg"));
    let fault = from_json::<Quantity<dim::Pressure>>("5.5").unwrap_err().to_string();
    assert!(fault.contains("write\t5.5 bar"));
    assert!(from_json::<Quantity<dim::Mass>>("null").unwrap().si().is_nan());
    let read: Quantity<dim::Length> = from_json("\"13 ft 6 in\"").unwrap();
    assert!((read.si() - 4.1148).abs() < 1e-12);
    assert_eq!(serde_json::to_string(&read).unwrap(), "\"4.1148 m\"");
}

#[test]
fn long_rows_of_dashes_and_words_end() {
    for piece in ["-", "- ", "a ", "1 ", "? ", "about ", "to ", "1 to ", "+-", "1 kg - ", "weighed "] {
        assert!(Stated::<dim::Mass>::from_text(&piece.repeat(20_000)).is_err(), "{piece}");
    }
}
