//! A library that greeted, and its idle processes.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use check::Check;
use plugin_api::wire::{FORMAT, Finding, Greeting, Reply, Request};

use crate::asked::Asked;
use crate::bounds::{Bounds, CARDS};
use crate::card;
use crate::document::Document;
use crate::fault::Fault;
use crate::process::Process;

const GREETING: &str = "before its greeting";
const ANSWER: &str = "before its answer";

/// A library that greeted. Its processes end with the last of its checks.
#[derive(Debug)]
pub struct Plugin {
    program: PathBuf,
    path: PathBuf,
    bounds: Bounds,
    greeting: Greeting,
    /// Processes that nobody asks just now. As many at most as were asked at one time.
    idle: Mutex<Vec<Hosted>>,
}

/// A process, and the number of the rig that it was sent last.
#[derive(Debug)]
struct Hosted {
    process: Process,
    rig: Option<u64>,
}

impl Plugin {
    /// Loads the library at `path` in a child of `program`, which must ask [`crate::inside::called`] first of all.
    ///
    /// # Errors
    /// Why it is of no use.
    pub fn load(path: &Path, program: &Path, bounds: Bounds) -> Result<Arc<Self>, Fault> {
        // The child starts elsewhere; and a bare name would be looked for among the system's libraries.
        let path = path.canonicalize().ok().filter(|path| path.is_file()).ok_or(Fault::NoFile)?;
        let (process, greeting) = greet(program, &path, &bounds)?;
        let idle = Mutex::new(vec![Hosted { process, rig: None }]);
        Ok(Arc::new(Self { program: program.to_owned(), path, bounds, greeting, idle }))
    }

    /// Its name and version, as it says.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.greeting.plugin
    }

    /// Its checks. A trade of `taken` is somebody else's.
    ///
    /// # Errors
    /// When a card makes no sense, or is of a trade that is taken.
    pub fn checks(self: &Arc<Self>, taken: &[String]) -> Result<Vec<Box<dyn Check>>, Fault> {
        let cards = &self.greeting.cards;
        if cards.is_empty() || cards.len() > CARDS {
            return Err(Fault::Senseless(format!("it has {} checks; 1 to {CARDS} are wanted", cards.len())));
        }
        let mut checks: Vec<Box<dyn Check>> = Vec::new();
        for card in cards {
            if checks.iter().any(|known| known.card().id == card.id) {
                return Err(Fault::Senseless(format!("it has two checks called {}", card.id)));
            }
            let made = card::made(card, taken).map_err(Fault::Senseless)?;
            checks.push(Box::new(Asked::new(Arc::clone(self), made, card)));
        }
        Ok(checks)
    }

    /// The answers of one check about one rig.
    pub(crate) fn ask(&self, id: &str, rig: &Document) -> Result<Vec<Finding>, Fault> {
        let mut hosted = self.hosted()?;
        if hosted.rig != Some(rig.number) {
            match self.exchange(&mut hosted, rig.bytes.clone())? {
                Reply::Ready => hosted.rig = Some(rig.number),
                other => return Err(unasked(&other)),
            }
        }
        let question = written(&Request::Check { id: id.to_owned() })?;
        match self.exchange(&mut hosted, question)? {
            Reply::Findings(answer) if answer.check == id => {
                self.idle.lock().unwrap_or_else(PoisonError::into_inner).push(hosted);
                Ok(answer.findings)
            }
            Reply::Findings(answer) => Err(Fault::Other(answer.check)),
            other => Err(unasked(&other)),
        }
    }

    /// An idle process, or a new one. One that had a fault is gone: it may be in any state.
    fn hosted(&self) -> Result<Hosted, Fault> {
        let idle = self.idle.lock().unwrap_or_else(PoisonError::into_inner).pop();
        if let Some(hosted) = idle {
            return Ok(hosted);
        }
        let (process, greeting) = greet(&self.program, &self.path, &self.bounds)?;
        if greeting != self.greeting {
            return Err(Fault::Senseless("it greets otherwise than it did at first".to_owned()));
        }
        Ok(Hosted { process, rig: None })
    }

    fn exchange(&self, hosted: &mut Hosted, question: Vec<u8>) -> Result<Reply, Fault> {
        read(&hosted.process.ask(question, self.bounds.answer, ANSWER)?)
    }
}

/// Starts a process and asks who it is.
fn greet(program: &Path, path: &Path, bounds: &Bounds) -> Result<(Process, Greeting), Fault> {
    let mut process = Process::start(program, path, bounds)?;
    let hello = written(&Request::Hello { format: FORMAT.to_owned() })?;
    match read(&process.ask(hello, bounds.greeting, GREETING)?)? {
        Reply::Cards(greeting) if greeting.format == FORMAT => Ok((process, greeting)),
        Reply::Cards(greeting) => Err(Fault::Said(format!("it speaks {}, and this program speaks {FORMAT}", greeting.format))),
        other => Err(unasked(&other)),
    }
}

fn written(request: &Request) -> Result<Vec<u8>, Fault> {
    serde_json::to_vec(request).map_err(|why| Fault::NotStarted(why.to_string()))
}

/// One document and no second.
fn read(bytes: &[u8]) -> Result<Reply, Fault> {
    let not_of_the_form = |why: serde_json::Error| Fault::NotOfTheForm(why.to_string());
    let mut documents = serde_json::Deserializer::from_slice(bytes).into_iter::<Reply>();
    let reply = documents.next().ok_or_else(|| Fault::NotOfTheForm("it is empty".to_owned()))?.map_err(not_of_the_form)?;
    if documents.next().is_some() { Err(Fault::Twice) } else { Ok(reply) }
}

/// What an answer of another kind than was asked for says.
fn unasked(reply: &Reply) -> Fault {
    match reply {
        Reply::Fault { text } if !text.trim().is_empty() => Fault::Said(text.clone()),
        Reply::Fault { .. } => Fault::Said("it could not answer, and does not say why".to_owned()),
        Reply::Cards(_) | Reply::Ready | Reply::Findings(_) => {
            Fault::NotOfTheForm("it is the answer to another question".to_owned())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_document_and_no_second() {
        assert_eq!(read(br#"{"kind":"ready"}"#), Ok(Reply::Ready));
        assert_eq!(read(br#"{"kind":"ready"}{"kind":"ready"}"#), Err(Fault::Twice));
        assert_eq!(read(b"{\"kind\":\"ready\"}\nand more"), Err(Fault::Twice));
        for other in ["", "no", "{}", r#"{"kind":"reddy"}"#, r#"{"kind":"findings","check":"a/b"}"#] {
            assert!(matches!(read(other.as_bytes()), Err(Fault::NotOfTheForm(_))), "{other}");
        }
    }

    #[test]
    fn a_number_that_is_none_is_no_answer() {
        let with = |value: &str| {
            read(
                format!(
                    r#"{{"kind":"findings","check":"a/b","findings":[{{"about":"x","path":"x","answer":
                    {{"kind":"compare","demand":{{"value":{value}}},"dimension":"mass","against":[]}}}}]}}"#
                )
                .as_bytes(),
            )
        };
        assert!(with("1.5").is_ok());
        for value in ["NaN", "Infinity", "1e999", "null", "\"1.5\""] {
            assert!(matches!(with(value), Err(Fault::NotOfTheForm(_))), "{value}");
        }
    }
}
