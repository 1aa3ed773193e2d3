//! `rigproof calc NAME`

use std::fmt::Write as _;
use std::io::{self, BufRead, Write as _};

use clap::Args;
use kernels::{Files, Kernel, find};
use serde_json::{Map, Value, json};

use crate::output;
use crate::status::Status;

/// What `rigproof calc` takes.
#[derive(Debug, Args)]
pub(crate) struct CalcArguments {
    /// Name of a function, such as axle-loads
    #[arg(value_name = "NAME", required_unless_present = "list")]
    name: Option<String>,
    /// List all functions
    #[arg(long)]
    list: bool,
    /// Print the schemas of its input and output
    #[arg(long)]
    schema: bool,
    /// Input as FIELD=VALUE, or one JSON object; without either, JSON objects are read from stdin, one a line
    #[arg(value_name = "FIELD=VALUE")]
    fields: Vec<String>,
}

/// Files that a field of the input names: the user named them on the command line.
struct Named;

impl Files for Named {
    fn read(&self, path: &str) -> Result<Vec<u8>, String> {
        std::fs::read(path).map_err(|why| format!("{path}: {why}"))
    }
}

pub(crate) fn run(arguments: &CalcArguments) -> Result<Status, String> {
    if arguments.list {
        let width = kernels::all().iter().map(|kernel| kernel.name.len()).max().unwrap_or(0);
        let mut text = String::new();
        for kernel in kernels::all() {
            let _ = writeln!(text, "{:width$}  {}", kernel.name, kernel.summary);
        }
        output::result(&text, None)?;
        return Ok(Status::Fine);
    }
    let name = arguments.name.as_deref().unwrap_or_default();
    let kernel = find(name).ok_or_else(|| format!("there is no function called {name}; `rigproof calc --list` lists them"))?;
    if arguments.schema {
        let both = json!({ "input": (kernel.input_schema)(), "output": (kernel.output_schema)() });
        output::result(&(serde_json::to_string_pretty(&both).map_err(|why| why.to_string())? + "\n"), None)?;
        return Ok(Status::Fine);
    }
    if !arguments.fields.is_empty() {
        let (line, status) = answer(kernel, object(&arguments.fields));
        output::result(&line, None)?;
        return Ok(status);
    }
    stream(kernel)
}

/// One answer a line of stdin; a bad line gives an error in its place and the stream goes on.
fn stream(kernel: &Kernel) -> Result<Status, String> {
    let mut status = Status::Fine;
    let mut out = io::stdout().lock();
    for line in io::stdin().lock().lines() {
        let line = line.map_err(|why| format!("stdin: {why}"))?;
        let (text, ended) = answer(kernel, serde_json::from_str(&line).map_err(|why| format!("this line is not JSON: {why}")));
        status = status.and(ended);
        match out.write_all(text.as_bytes()) {
            Err(why) if why.kind() == io::ErrorKind::BrokenPipe => return Ok(status),
            Err(why) => return Err(format!("stdout: {why}")),
            Ok(()) => {}
        }
    }
    Ok(status)
}

fn answer(kernel: &Kernel, input: Result<Value, String>) -> (String, Status) {
    match input.and_then(|input| kernel.call(input, &Named).map_err(|why| why.to_string())) {
        Ok(output) => (format!("{output}\n"), Status::Fine),
        Err(why) => (format!("{}\n", json!({ "error": why })), Status::Wrong),
    }
}

/// One JSON object, or fields as FIELD=VALUE; a value that is no JSON is taken as text.
fn object(fields: &[String]) -> Result<Value, String> {
    if let [one] = fields
        && one.trim_start().starts_with('{')
    {
        return serde_json::from_str(one).map_err(|why| format!("this is not JSON: {why}"));
    }
    let mut object = Map::new();
    for field in fields {
        let (name, value) = field.split_once('=').ok_or_else(|| format!("{field}: write FIELD=VALUE, such as track_m=1.94"))?;
        let value = serde_json::from_str(value).unwrap_or_else(|_| Value::String(value.to_owned()));
        if object.insert(name.to_owned(), value).is_some() {
            return Err(format!("{name} is given twice"));
        }
    }
    Ok(Value::Object(object))
}
