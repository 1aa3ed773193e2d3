//! One script file as a check.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use check::view;
use check::{Card, Check, Context, Finding, Scope};
use rhai::{AST, CallFnOptions, Dynamic, EvalAltResult, Map, Scope as Variables};
use rig_facts::StateFacts;

use crate::answer::{self, Said, What};
use crate::card::{self, Told};
use crate::values::{json, of_view};
use crate::words::of_held;
use crate::{bounds, faults, sandbox, watch};

/// Why a file is no check: sentences with their places.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScriptFault(pub Vec<String>);

impl std::fmt::Display for ScriptFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0.join("\n"))
    }
}

impl std::error::Error for ScriptFault {}

/// A script, compiled, with its card.
#[derive(Debug)]
pub struct Script {
    file: String,
    tree: AST,
    told: Told,
    /// Whether its text has these words at all: what it never names need not be made.
    names_all_states: bool,
    names_things: bool,
    /// Nanoseconds spent so far in this run.
    spent: AtomicU64,
}

impl Script {
    /// Compiles a script and asks it for its card. `file` is its name in messages; `taken_trades` are the words that ids of
    /// the program's own checks begin with.
    ///
    /// # Errors
    /// Everything that is the matter with it, with `file:line:column`.
    pub fn read(file: &str, text: &str, taken_trades: &[&str]) -> Result<Self, ScriptFault> {
        let fault = |text: String| ScriptFault(vec![text]);
        if text.len() > bounds::FILE {
            return Err(fault(format!("{file}:1:1: a script of more than {} KB is not read", bounds::FILE >> 10)));
        }
        let mut tree =
            guarded(file, || sandbox::engine().compile(text).map_err(|error| faults::of_parsing(file, &error))).map_err(fault)?;
        tree.set_source(file);
        let mut wanted = Vec::new();
        for (name, parameters, written) in [("card", 0, "fn card() { .. }"), ("answer", 2, "fn answer(cx, state) { .. }")] {
            if !tree.iter_functions().any(|function| function.name == name && function.params.len() == parameters) {
                wanted.push(format!("{file}:1:1: there is no `{written}`"));
            }
        }
        if !wanted.is_empty() {
            return Err(ScriptFault(wanted));
        }
        let (given, _) = watch::watched(bounds::DEADLINE, || call(file, &tree, "card", ()));
        let given = given.map_err(|broke| fault(broke.in_words(file)))?;
        let place = |text: String| format!("{}: {text}", faults::address(file, place_of(&tree, "card")));
        let value = json(&given, "", &mut Vec::new()).map_err(|error| fault(faults::of_running(file, &error)))?;
        let told = card::read(&value, taken_trades).map_err(|all| ScriptFault(all.into_iter().map(place).collect()))?;
        let [names_all_states, names_things] = [".facts", "thing"].map(|word| text.contains(word));
        Ok(Self { file: file.to_owned(), tree, told, names_all_states, names_things, spent: AtomicU64::new(0) })
    }

    /// The file's name in messages.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// Time spent in its calls so far.
    #[must_use]
    pub fn spent(&self) -> Duration {
        Duration::from_nanos(self.spent.load(Ordering::Relaxed))
    }

    /// Its answers for one state, or for the rig as a whole.
    fn ask(&self, cx: &Context, state: Option<&StateFacts>) -> Result<Vec<Finding>, String> {
        let left = bounds::ALL_CALLS.saturating_sub(self.spent());
        if left.is_zero() {
            return Err(format!("{}: all its calls together took longer than {} s", self.file, bounds::ALL_CALLS.as_secs()));
        }
        let seen = self.view(cx);
        let at_hand = state.map_or(Dynamic::UNIT, |state| self.state(cx, state));
        let (given, took) = watch::watched(left, || call(&self.file, &self.tree, "answer", (seen, at_hand)));
        self.spent.fetch_add(u64::try_from(took.as_nanos()).unwrap_or(u64::MAX), Ordering::Relaxed);
        let given = match given {
            Ok(given) => given,
            // `need` ends an answer: the input is absent.
            Err(Broke::Answered(said)) => Dynamic::from(*said),
            Err(broke) => return Err(broke.in_words(&self.file)),
        };
        let place = || faults::address(&self.file, place_of(&self.tree, "answer"));
        answer::findings(given, &self.told, cx, state).map_err(|text| format!("{}: {text}", place()))
    }

    /// What `cx` holds: made once for all scripts that see the same, copied for each call.
    fn view(&self, cx: &Context) -> Dynamic {
        let told = &self.told;
        let all_states = told.sees_facts && self.names_all_states;
        let key = format!("script {all_states} {} {}", self.names_things, told.tables.join(" "));
        let common = cx.shared(&key, || {
            let rig = view::rig(cx, &told.tables);
            let facts = if all_states {
                let states = cx.facts().states().iter();
                Dynamic::from_map(states.map(|state| (state.name.as_str().into(), self.state(cx, state))).collect())
            } else {
                Dynamic::from_map(Map::new())
            };
            [("rig", of_view(&rig)), ("facts", facts), ("today", Dynamic::from(cx.today().to_string()))]
                .map(|(key, value)| (key.into(), value))
                .into_iter()
                .collect::<Map>()
        });
        let mut seen = Map::clone(&common);
        let name = told.card.name();
        let own =
            match seen.get("rig").and_then(|rig| rig.read_lock::<Map>()?.get("custom")?.read_lock::<Map>()?.get(name).cloned()) {
                Some(own) => own,
                None => Dynamic::from_map(Map::new()),
            };
        seen.insert("custom".into(), own);
        let limits = told.card.limits.iter().map(|id| (id.into(), of_held(cx.limits(id)))).collect();
        seen.insert("limits".into(), Dynamic::from_map(limits));
        Dynamic::from_map(seen)
    }

    fn state(&self, cx: &Context, state: &StateFacts) -> Dynamic {
        let facts = self.told.sees_facts;
        let things = self.names_things;
        let seen = cx.shared(&format!("script state {facts} {things} {}", state.name), || {
            of_view(&if facts { view::state_with(cx, state, things) } else { view::state_alone(state) })
        });
        Dynamic::clone(&seen)
    }
}

impl Check for Script {
    fn card(&self) -> &Card {
        &self.told.card
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        self.try_run(cx).unwrap_or_default()
    }

    fn try_run(&self, cx: &Context) -> Result<Vec<Finding>, String> {
        let scope = self.told.card.scope;
        let mut findings = match scope {
            Scope::Once => self.ask(cx, None)?,
            _ => {
                let states = cx.states(scope).map(|state| self.ask(cx, Some(state)));
                states.collect::<Result<Vec<_>, _>>()?.concat()
            }
        };
        findings.sort_by(|a, b| a.key().cmp(&b.key()));
        for pair in findings.windows(2) {
            if let [a, b] = pair
                && a.key() == b.key()
            {
                return Err(format!(
                    "{}: two answers are about the same thing, {}; .at(path) or .case_of(word) tells them apart",
                    faults::address(&self.file, place_of(&self.tree, "answer")),
                    a.about
                ));
            }
        }
        Ok(findings)
    }
}

/// How a call broke off.
enum Broke {
    /// With an answer: `need` found nothing.
    Answered(Box<Said>),
    /// By a mistake of the script, or by a bound.
    Script(Box<EvalAltResult>),
    /// The engine itself stumbled.
    Engine(String),
}

impl Broke {
    fn in_words(&self, file: &str) -> String {
        match self {
            Self::Answered(said) => match &said.what {
                What::Missing(gap) => format!("{file}:1:1: {} is needed outside of answer(..)", gap.path),
                _ => format!("{file}:1:1: an answer is given outside of answer(..)"),
            },
            Self::Script(error) => faults::of_running(file, error),
            Self::Engine(text) => text.clone(),
        }
    }
}

fn call(file: &str, tree: &AST, name: &str, arguments: impl rhai::FuncArgs) -> Result<Dynamic, Broke> {
    let options = CallFnOptions::new().eval_ast(false).rewind_scope(true);
    let job = || {
        let mut variables = Variables::new();
        Ok(sandbox::engine().call_fn_with_options::<Dynamic>(options, &mut variables, tree, name, arguments))
    };
    match guarded(file, job).map_err(Broke::Engine)? {
        Ok(given) => Ok(given),
        Err(error) => {
            if let EvalAltResult::ErrorRuntime(value, _) = error.unwrap_inner()
                && let Some(said) = value.clone().try_cast::<Said>()
            {
                return Err(Broke::Answered(Box::new(said)));
            }
            Err(Broke::Script(error))
        }
    }
}

/// A panic of the engine becomes a sentence; the engine keeps no state that it could have spoilt.
fn guarded<T>(file: &str, job: impl FnOnce() -> Result<T, String>) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(job))
        .unwrap_or_else(|_| Err(format!("{file}:1:1: the script engine itself stumbled over this script")))
}

/// Where a function of the script begins.
fn place_of(tree: &AST, name: &str) -> rhai::Position {
    let functions = tree.shared_lib();
    functions
        .iter_script_fn_info()
        .find(|(_, _, found, _, _)| *found == name)
        .map_or(rhai::Position::NONE, |(_, _, _, _, function)| function.body.start_position())
}
