//! What a plugin did wrong, in one sentence.

use std::time::Duration;

/// What a plugin did wrong. Each is shown behind the name of the check or of the file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// There is nothing to load.
    #[error("there is no such file")]
    NoFile,
    /// The child did not start.
    #[error("its process could not be started: {0}")]
    NotStarted(String),
    /// Native plugins are not done for this system.
    #[error("native plugins are not loaded on this system; a script is")]
    NotOnThisSystem,
    /// Its process ended without an answer: when, how, and what it wrote last.
    #[error("its process ended {when} ({how}){}", last_words(.said))]
    Ended {
        /// When.
        when: &'static str,
        /// Exit status or signal.
        how: String,
        /// What it wrote last.
        said: String,
    },
    /// It took too long.
    #[error("it gave no answer within {} s and was ended", .0.as_secs_f64())]
    TooLong(Duration),
    /// It wrote too much.
    #[error("its answer is longer than {0} bytes")]
    TooLarge(usize),
    /// Something wrote between its answers.
    #[error("something that is no answer came in place of its answer")]
    Garbled,
    /// Its answer is not of the form.
    #[error("its answer is not of the form {form}: {0}", form = plugin_api::wire::FORMAT)]
    NotOfTheForm(String),
    /// It answered what was not asked.
    #[error("it answered more than once")]
    Twice,
    /// It answered another question.
    #[error("it answered for {0}, which it was not asked")]
    Other(String),
    /// What it says itself.
    #[error("{0}")]
    Said(String),
    /// Its card or an answer makes no sense.
    #[error("{0}")]
    Senseless(String),
    /// It ended or hung too often.
    #[error("its process was lost over this {0} times; it is not asked again")]
    GivenUp(u32),
}

fn last_words(last: &str) -> String {
    if last.is_empty() { String::new() } else { format!("; it wrote: {last}") }
}
