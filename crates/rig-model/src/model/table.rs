//! One definition for each table: its fields, its reading, its schema, and the walk over every value in it.

/// Defines a table of the rig file.
///
/// The struct is written once; the macro adds what every table has in common: unknown keys are refused, and
/// [`Walk`](crate::walk::Walk) visits every field, so that no value of the file escapes the range check or the
/// list of inputs. A table met in lists and told apart by its `name` begins with `named`; one of a thing, which has the keys
/// of everything that weighs and stands somewhere before its own, with `thing` (`@thing` where `on` means something else).
macro_rules! table {
    (thing $expecting:literal $(#[$meta:meta])* pub struct $Name:ident { $($body:tt)* }) => {
        table!(@thing $expecting $(#[$meta])* $Name {
            /// "body" or "chassis": what carries it, where `in` does not tell. Left out: the body if it is placed in the body.
            pub on: Option<crate::model::CarriedBy>,
            $($body)*
        });
    };
    (@thing $expecting:literal $(#[$meta:meta])* $Name:ident { $($body:tt)* }) => {
        table!(@define $expecting $(#[$meta])* $Name {
            /// A name of its own among all things; findings and other tables speak of it by that.
            pub name: String,
            /// Mass of one piece, such as "12 kg". "?" means not known yet. Leave it out where `of` names a thing that says it.
            pub mass: Option<quantity::Stated<quantity::dim::Mass>>,
            /// A generic part instead of a mass, such as "solar panel"; `rigproof parts WORDS` searches them.
            pub like: Option<String>,
            /// Its centre: [x, y, z], such as ["2.9 m", "0 m", "1.8 m"]; with in = "body" also words, such as ["0.4 m", "left", "floor"].
            pub at: Option<[crate::model::Coord; 3]>,
            /// Outer size: [length along the truck, width, height].
            pub size: Option<[quantity::Stated<quantity::dim::Length>; 3]>,
            /// "body": `at` is counted from inside the body. Left out: from the front axle's centre and the ground.
            #[serde(rename = "in")]
            pub in_: Option<crate::model::PlacedIn>,
            /// Name of a thing in another table that this entry adds to. What that table says may not be said again.
            pub of: Option<String>,
            /// Number of such pieces, 1 if left out; everything here is said of one.
            #[schemars(range(min = 1))]
            pub count: Option<u32>,
            $($body)*
        } |table| Some(table.name.as_str()));
    };
    (named $expecting:literal $(#[$meta:meta])* pub struct $Name:ident { $($body:tt)* }) => {
        table!(@define $expecting $(#[$meta])* $Name { $($body)* } |table| Some(table.name.as_str()));
    };
    ($expecting:literal $(#[$meta:meta])* pub struct $Name:ident { $($body:tt)* }) => {
        table!(@define $expecting $(#[$meta])* $Name { $($body)* } |_table| None);
    };
    (@define $expecting:literal $(#[$meta:meta])* $Name:ident {
        $($(#[$field_meta:meta])* pub $field:ident : $type:ty,)*
    } |$table:ident| $named:expr) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq, serde::Deserialize, schemars::JsonSchema)]
        #[serde(deny_unknown_fields, expecting = $expecting)]
        pub struct $Name {
            $($(#[$field_meta])* pub $field: $type,)*
        }

        impl $Name {
            /// Its fields, as Rust names them.
            #[allow(dead_code, reason = "only tables that may be one line of text name their keys")]
            pub(crate) const FIELDS: &'static [&'static str] = &[$(stringify!($field)),*];
        }

        impl crate::walk::Walk for $Name {
            fn walk<'r>(&'r self, trail: &mut crate::walk::Trail<'r>, see: &mut crate::walk::See<'_>) {
                $(
                    trail.enter_field(stringify!($field));
                    if !trail.is_passed_over() {
                        crate::walk::Walk::walk(&self.$field, trail, see);
                    }
                    trail.leave();
                )*
            }

            fn view<'r>(
                &'r self,
                node: &crate::tree::Node,
                trail: &mut crate::walk::Trail<'r>,
                eye: &mut dyn crate::view::Eye,
            ) -> crate::view::View {
                // A table told in one line of text is seen as that text.
                if node.text().is_some() {
                    return crate::view::as_written(node);
                }
                let outermost = trail.is_empty();
                let mut seen = std::collections::BTreeMap::new();
                $(
                    let key = stringify!($field);
                    let key = key.strip_suffix('_').unwrap_or(key);
                    if !outermost || eye.wants(key) {
                        trail.enter_key(key);
                        let value = node.get(key).map(|node| crate::walk::Walk::view(&self.$field, node, trail, eye));
                        seen.insert(key.to_owned(), value.unwrap_or_else(<$type as crate::walk::Walk>::absent));
                        trail.leave();
                    }
                )*
                crate::view::View::Map(seen)
            }

            fn entry_name(&self) -> Option<&str> {
                let $table = self;
                $named
            }
        }
    };
}

pub(crate) use table;
