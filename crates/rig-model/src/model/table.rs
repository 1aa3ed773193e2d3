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

        impl crate::walk::Walk for $Name {
            fn walk<'r>(&'r self, trail: &mut crate::walk::Trail<'r>, see: &mut crate::walk::See<'_>) {
                $(
                    trail.enter_field(stringify!($field));
                    crate::walk::Walk::walk(&self.$field, trail, see);
                    trail.leave();
                )*
            }

            fn entry_name(&self) -> Option<&str> {
                let $table = self;
                $named
            }
        }
    };
}

pub(crate) use table;
