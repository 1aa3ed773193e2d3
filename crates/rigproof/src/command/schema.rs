//! `rigproof schema rig|audit|plugin`

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
    /// Of the documents between the program and a native plugin
    Plugin,
}

pub(crate) fn run(arguments: &SchemaArguments) -> Result<Status, String> {
    let text = match arguments.of {
        Of::Rig => serde_json::to_string_pretty(&rig_model::schema()).map_err(|why| why.to_string())? + "\n",
        Of::Audit => report::json::schema(),
        Of::Plugin => plugin_api::wire::schema().map_err(|why| why.to_string())?,
    };
    output::result(&text, None)?;
    Ok(Status::Fine)
}
