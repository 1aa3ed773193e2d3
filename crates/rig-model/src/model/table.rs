//! One definition for each table: its fields, its reading, its schema, and the walk over every value in it.

/// Defines a table of the rig file.
///
/// The struct is written once; the macro adds what every table has in common: unknown keys are refused, and
/// [`Walk`](crate::walk::Walk) visits every field, so that no value of the file escapes the range check or the
/// list of inputs. A table met in lists and told apart by its `name` begins with `named`.
macro_rules! table {
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
                    crate::walk::Walk::walk(&self.$field, trail, see);
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
