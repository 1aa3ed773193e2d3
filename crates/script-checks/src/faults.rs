//! What went wrong in a script, as `file:line:column` and a sentence for its author.

use rhai::{EvalAltResult, ParseError, Position};

use crate::{bounds, sandbox};

/// The address of a place in a script: `checks/ladder.rhai:12:5`.
pub(crate) fn address(file: &str, position: Position) -> String {
    match (position.line(), position.position()) {
        (Some(line), Some(column)) => format!("{file}:{line}:{column}"),
        (Some(line), None) => format!("{file}:{line}:1"),
        _ => format!("{file}:1:1"),
    }
}

/// A script that is not one.
pub(crate) fn of_parsing(file: &str, error: &ParseError) -> String {
    format!("{}: {}", address(file, error.position()), plain(&error.err_type().to_string()))
}

/// A call that broke off. The innermost place is the real one; the calls that led there are named.
pub(crate) fn of_running(file: &str, error: &EvalAltResult) -> String {
    let inner = error.unwrap_inner();
    let mut position = inner.position();
    let mut by = Vec::new();
    let mut at = error;
    while let EvalAltResult::ErrorInFunctionCall(name, _, next, call) = at {
        by.push(name.as_str());
        if position.is_none() {
            position = *call;
        }
        at = next;
    }
    let mut text = format!("{}: {}", address(file, position), sentence(inner));
    if let [_, helpers @ ..] = by.as_slice()
        && !helpers.is_empty()
    {
        text.push_str(&format!(" (in {})", helpers.join(", in ")));
    }
    text
}

fn sentence(error: &EvalAltResult) -> String {
    match error {
        EvalAltResult::ErrorTooManyOperations(_) => format!("it took more than {} steps", bounds::STEPS),
        EvalAltResult::ErrorStackOverflow(_) => format!("functions call each other more than {} deep", bounds::CALL_LEVELS),
        EvalAltResult::ErrorDataTooLarge(what, _) => format!("{} grows too large", what.to_lowercase()),
        EvalAltResult::ErrorTerminated(token, _) => match token.clone().into_string().as_deref() {
            Ok(sandbox::MEMORY) => format!("it holds more than {} MB", bounds::MEMORY >> 20),
            _ => format!("it took longer than {} ms", bounds::DEADLINE.as_millis()),
        },
        EvalAltResult::ErrorVariableNotFound(name, _) => {
            format!("there is no variable `{name}`; a function sees its own variables and nothing outside")
        }
        EvalAltResult::ErrorPropertyNotFound(name, _) => format!("there is no `{name}` here"),
        EvalAltResult::ErrorFunctionNotFound(signature, _) => format!("there is no function {}", plain(signature)),
        EvalAltResult::ErrorRuntime(value, _) => plain(&value.to_string()),
        other => {
            let mut other = other.to_string();
            // The engine writes the place in its own way, and we have written it already.
            if let Some(at) = other.rfind(" (line ") {
                other.truncate(at);
            }
            plain(&other)
        }
    }
}

/// One line, without the engine's own names of types.
fn plain(text: &str) -> String {
    let text = text.replace("script_checks::values::Doubt", "number in doubt").replace("script_checks::answer::Said", "answer");
    let text = text.replace("f64", "number").replace("i64", "whole number").replace("&str | ImmutableString | String", "text");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
