//! One row of the table of kernels.

use schemars::JsonSchema;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use crate::error::KernelError;
use crate::shape;

/// One row of the table: trade, name, function, its structs, summary, example.
macro_rules! kernel {
    ($trade:literal, $name:literal, $function:path, $input:ty => $output:ty, $summary:literal, $example:literal) => {
        $crate::Kernel {
            name: $name,
            trade: $trade,
            summary: $summary,
            example: $example,
            input_schema: || schemars::schema_for!($input),
            output_schema: || schemars::schema_for!($output),
            call: |input, _files| {
                static SHAPE: std::sync::LazyLock<serde_json::Value> =
                    std::sync::LazyLock::new(|| schemars::schema_for!($input).to_value());
                $crate::row::answer::<$input, $output>(&SHAPE, input, $function)
            },
        }
    };
}

pub(crate) use kernel;

/// Answers one JSON object with a function of the input struct `I`.
pub(crate) fn answer<I, O>(
    schema: &Value,
    input: Value,
    function: fn(&I) -> Result<O, physics::KernelError>,
) -> Result<Value, KernelError>
where
    I: DeserializeOwned + JsonSchema,
    O: Serialize,
{
    let input = parsed::<I>(schema, input)?;
    let output = function(&input)?;
    serde_json::to_value(output).map_err(|why| KernelError::Unwritable { why: why.to_string() })
}

/// The input struct of one JSON object, its shape held first.
pub(crate) fn parsed<I: DeserializeOwned>(schema: &Value, input: Value) -> Result<I, KernelError> {
    let input = shape::held(schema, input)?;
    // The shape was held already, so serde finds nothing more but a number too large for its field.
    serde_json::from_value::<I>(input).map_err(|why| KernelError::WrongKind {
        place: "the input".into(),
        found: why.to_string(),
        wanted: "what the schema of this kernel says".into(),
    })
}
