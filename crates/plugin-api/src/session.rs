//! Answers the documents that the program sends. A panic becomes a fault and never leaves the plugin.

use std::any::Any;
use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Mutex, Once, PoisonError};

use crate::check::{Check, Seenable};
use crate::wire::{Against, Answer, FORMAT, Finding, Findings, Greeting, Measured, Reply, Request};

/// The checks of a plugin, and the rig that they were sent last.
pub struct Session {
    plugin: &'static str,
    checks: Vec<Box<dyn Check>>,
    rig: Mutex<Option<Seenable>>,
}

impl std::fmt::Debug for Session {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Session").field("plugin", &self.plugin).field("checks", &self.checks.len()).finish_non_exhaustive()
    }
}

impl Session {
    /// A session of these checks; `plugin` is its name and version.
    #[must_use]
    pub fn new(plugin: &'static str, checks: Vec<Box<dyn Check>>) -> Self {
        Self { plugin, checks, rig: Mutex::new(None) }
    }

    /// Answers one document.
    #[must_use]
    pub fn answer(&self, request: &[u8]) -> Vec<u8> {
        let reply = guarded(|| match serde_json::from_slice::<Request>(request) {
            Ok(request) => self.reply(request),
            Err(why) => fault(format!("it does not understand what it is asked: {why}")),
        });
        written(&reply.unwrap_or_else(|why| fault(format!("it panicked: {why}"))))
    }

    fn reply(&self, request: Request) -> Reply {
        match request {
            Request::Hello { format } if format != FORMAT => {
                fault(format!("it speaks {FORMAT}, and the program speaks {format}; build it anew against this program"))
            }
            Request::Hello { .. } => Reply::Cards(Greeting {
                format: FORMAT.to_owned(),
                plugin: self.plugin.to_owned(),
                cards: self.checks.iter().map(|check| check.card()).collect(),
            }),
            Request::Rig(document) => {
                *self.rig.lock().unwrap_or_else(PoisonError::into_inner) = Some(document.into());
                Reply::Ready
            }
            Request::Check { id } => self.findings(id),
        }
    }

    fn findings(&self, id: String) -> Reply {
        let rig = self.rig.lock().unwrap_or_else(PoisonError::into_inner);
        let Some(rig) = rig.as_ref() else { return fault("it was asked before it was sent a rig".to_owned()) };
        let Some((check, card)) = self.checks.iter().map(|check| (check, check.card())).find(|(_, card)| card.id == id) else {
            return fault(format!("it has no check called {id}"));
        };
        let findings = rig.ask(check.as_ref(), card.scope);
        match findings.iter().find(|finding| !is_finite(finding)) {
            Some(odd) => fault(format!("a number of its answer about {} is not finite", odd.about)),
            None => Reply::Findings(Findings { check: id, findings }),
        }
    }
}

fn fault(text: String) -> Reply {
    Reply::Fault { text }
}

/// JSON cannot hold what is not finite: it would arrive as nothing.
fn is_finite(finding: &Finding) -> bool {
    let finite = |number: &Measured| number.value.is_finite() && number.by.iter().all(|gradient| gradient.by.is_finite());
    match &finding.answer {
        Answer::Compare { demand, against, .. } => {
            let bound = |limit: &Against| !matches!(limit, Against::Bound { capacity, .. } if !finite(capacity));
            finite(demand) && against.iter().all(bound)
        }
        Answer::Require { .. } | Answer::Missing { .. } | Answer::NotApplicable { .. } => true,
    }
}

/// A reply as bytes; what cannot be written becomes a fault that can.
pub(crate) fn written(reply: &Reply) -> Vec<u8> {
    let bytes = |reply: &Reply| serde_json::to_vec(reply);
    bytes(reply).or_else(|why| bytes(&fault(format!("its answer cannot be written: {why}")))).unwrap_or_default()
}

thread_local! {
    /// What the panic hook saw last on this thread.
    static LAST: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Runs `job`; a panic becomes its text and its place.
pub(crate) fn guarded<T>(job: impl FnOnce() -> T) -> Result<T, String> {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        std::panic::set_hook(Box::new(|info| {
            let place = info.location().map(|at| format!(" at {}:{}", at.file(), at.line())).unwrap_or_default();
            LAST.with(|last| *last.borrow_mut() = Some(format!("{}{place}", text_of(info.payload()))));
        }));
    });
    LAST.with(|last| last.borrow_mut().take());
    catch_unwind(AssertUnwindSafe(job)).map_err(|payload| {
        let text = LAST.with(|last| last.borrow_mut().take()).unwrap_or_else(|| text_of(&*payload));
        // The payload's own drop may panic in its turn.
        let _ = catch_unwind(AssertUnwindSafe(move || drop(payload)));
        text
    })
}

fn text_of(payload: &(dyn Any + Send)) -> String {
    let text = payload.downcast_ref::<&str>().map(|text| (*text).to_owned());
    text.or_else(|| payload.downcast_ref::<String>().cloned()).unwrap_or_else(|| "it did not say why".to_owned())
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use serde_json::{Map, json};

    use super::*;
    use crate::check::Context;
    use crate::wire::{Card, Consequence, Dimension, RigDocument, Scope};
    use crate::{Limit, Number};

    /// Its subject says how it answers.
    struct Moody;

    impl Check for Moody {
        fn card(&self) -> Card {
            Card::new("moods/mood", "How is it?", Consequence::Comfort, Scope::Travel)
        }

        fn answer(&self, cx: &Context<'_>) -> Vec<Finding> {
            let mood = cx.custom("mood").text().unwrap_or_default();
            assert!(mood != "bad", "it is in a bad mood");
            let demand = Number::exact(if mood == "odd" { f64::INFINITY } else { 1.0 });
            vec![cx.about("mood").at("custom.mood").compare(&demand, Dimension::Ratio, vec![Limit::at_most("usual", 2.0)]).done()]
        }
    }

    fn session() -> Session {
        Session::new("moods 1", vec![Box::new(Moody)])
    }

    fn ask(session: &Session, request: &Request) -> Reply {
        serde_json::from_slice(&session.answer(&serde_json::to_vec(request).unwrap())).unwrap()
    }

    fn check() -> Request {
        Request::Check { id: "moods/mood".to_owned() }
    }

    fn rig(mood: &str) -> Request {
        let state = |name: &str, kind: &str| Map::from_iter([("name".into(), json!(name)), ("kind".into(), json!(kind))]);
        Request::Rig(RigDocument {
            rig: Map::from_iter([("custom".to_owned(), json!({ "mood": mood }))]),
            states: vec![state("full", "travel"), state("camped", "camp"), state("empty", "travel")],
            limits: BTreeMap::new(),
            today: "2026-11-25".to_owned(),
            remedies: false,
        })
    }

    #[test]
    fn it_is_asked_in_the_states_of_its_scope() {
        let session = session();
        assert_eq!(ask(&session, &rig("good")), Reply::Ready);
        let Reply::Findings(answer) = ask(&session, &check()) else { panic!("findings are wanted") };
        let states: Vec<_> = answer.findings.iter().map(|finding| finding.state.as_deref()).collect();
        assert_eq!(states, [Some("full"), Some("empty")]);
    }

    #[test]
    fn a_panic_is_a_fault_and_the_next_question_is_answered() {
        let session = session();
        ask(&session, &rig("bad"));
        let Reply::Fault { text } = ask(&session, &check()) else { panic!("a fault is wanted") };
        assert!(text.starts_with("it panicked: it is in a bad mood at ") && text.contains("session.rs:"), "{text}");
        assert_eq!(ask(&session, &rig("good")), Reply::Ready);
        assert!(matches!(ask(&session, &check()), Reply::Findings(_)));
    }

    #[test]
    fn what_json_cannot_hold_and_what_was_not_agreed_are_faults() {
        let session = session();
        let fault = |request: &Request| match ask(&session, request) {
            Reply::Fault { text } => text,
            other => panic!("{other:?}"),
        };
        assert!(fault(&check()).contains("before it was sent a rig"));
        ask(&session, &rig("odd"));
        assert!(fault(&check()).contains("about mood is not finite"));
        assert!(fault(&Request::Check { id: "moods/weather".to_owned() }).contains("no check called moods/weather"));
        let tomorrow = Request::Hello { format: "rigproof-plugin/2".to_owned() };
        assert!(fault(&tomorrow).contains("it speaks rigproof-plugin/1, and the program speaks rigproof-plugin/2"));
        assert!(session.answer(b"what?").starts_with(br#"{"kind":"fault""#));
    }
}
