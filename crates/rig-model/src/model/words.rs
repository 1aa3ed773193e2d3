//! Words that a key can have: one definition for the enum, its spelling in the file and its schema.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

/// Defines an enum whose variants are words of the rig file.
macro_rules! words {
    ($(#[$meta:meta])* pub enum $Name:ident { $($(#[$variant_meta:meta])* $Variant:ident = $word:literal,)* }) => {
        $(#[$meta])*
        #[derive(
            Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize, schemars::JsonSchema,
        )]
        pub enum $Name {
            $($(#[$variant_meta])* #[serde(rename = $word)] $Variant,)*
        }

        impl $Name {
            /// All of them, in this order.
            pub const ALL: &'static [$Name] = &[$($Name::$Variant),*];

            /// Its word in rig files.
            pub const fn word(self) -> &'static str {
                match self {
                    $($Name::$Variant => $word,)*
                }
            }
        }

        impl crate::walk::Walk for $Name {
            fn walk<'r>(&'r self, _: &mut crate::walk::Trail<'r>, _: &mut crate::walk::See<'_>) {}
        }
    };
}

pub(crate) use words;

/// Yes, no, or not known yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Deserialize, serde::Serialize)]
pub enum YesNo {
    /// "?": not known yet. First, so that a blank of the reader says nothing.
    #[serde(rename = "?")]
    Unknown,
    /// "yes" or true.
    #[serde(rename = "yes")]
    Yes,
    /// "no" or false.
    #[serde(rename = "no")]
    No,
}

impl YesNo {
    /// The answer; none where it is not known.
    #[must_use]
    pub const fn told(self) -> Option<bool> {
        match self {
            YesNo::Yes => Some(true),
            YesNo::No => Some(false),
            YesNo::Unknown => None,
        }
    }
}

impl crate::walk::Walk for YesNo {
    fn walk<'r>(&'r self, _: &mut crate::walk::Trail<'r>, _: &mut crate::walk::See<'_>) {}
}

impl JsonSchema for YesNo {
    fn schema_name() -> Cow<'static, str> {
        "YesNo".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "\"yes\" or true, \"no\" or false, \"?\" for not known yet.",
            "enum": ["yes", "no", "?", true, false],
        })
    }
}

/// A text that says something: none where it is absent, blank or "?".
#[must_use]
pub fn told(text: Option<&String>) -> Option<&str> {
    text.map(|text| text.trim()).filter(|text| !text.is_empty() && *text != "?")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_question_mark_tells_nothing() {
        for (text, wanted) in [("8.8", Some("8.8")), (" 8.8 ", Some("8.8")), ("?", None), ("", None), (" ", None)] {
            assert_eq!(told(Some(&text.to_owned())), wanted);
        }
        assert_eq!(told(None), None);
        assert_eq!([YesNo::Yes, YesNo::No, YesNo::Unknown].map(YesNo::told), [Some(true), Some(false), None]);
    }
}
