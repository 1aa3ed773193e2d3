//! `rigproof schema rig|audit`

use clap::{Args, ValueEnum};

use crate::output;
use crate::status::Status;

/// What `rigproof schema` takes.
#[derive(Debug, Args)]
pub(crate) struct SchemaArguments {
    /// Whose schema
    #[arg(value_enum)]
    of: Of,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Of {
    /// Of rig files
    Rig,
    /// Of audits in JSON
    Audit,
}

pub(crate) fn run(arguments: &SchemaArguments) -> Result<Status, String> {
    let text = match arguments.of {
        Of::Rig => serde_json::to_string_pretty(&rig_model::schema()).map_err(|why| why.to_string())? + "\n",
        Of::Audit => report::json::schema(),
    };
    output::result(&text, None)?;
    Ok(Status::Fine)
}
