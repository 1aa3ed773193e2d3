//! From the text of a rig file to its audit. Opens no file and knows no terminal.

use std::sync::{Arc, LazyLock};

use check::audit::{self, Audit, InputError, SourceFile, Summary, Units};
use check::{Context, Day, Detail, LimitBook, Registry};
use rig_facts::Beside;
use rig_facts::beside::{WeatherFile, YEARS_DRAWN};
use rig_facts::parts::PartsBook;
use rig_model::model::Rig;
use rig_model::path;
use rig_model::{Document, Edit, Problem, Syntax, read_rig_bytes};
use runner::{Orders, Stamp};
use sha2::{Digest, Sha256};

use crate::change;
use crate::gather::{Gathered, ScriptText, gather};

/// What to audit, and how.
#[derive(Clone, Debug)]
pub struct Options {
    /// The rig file as reports name it.
    pub file: String,
    /// Whether the text is JSON rather than TOML.
    pub json: bool,
    /// The day the audit is made for: the one input that is not in the file.
    pub today: Day,
    /// Ids of checks or names of trades to run; all where empty.
    pub only: Vec<String>,
    /// The one state to look at; all where none.
    pub state: Option<String>,
    /// Whether to look for ways out.
    pub remedies: bool,
    /// How much of the findings is wanted. A text report wants less than everything, and is there sooner.
    pub detail: Detail,
    /// Changes to try on a copy of the file before anything is asked, each `PATH = VALUE`.
    pub tries: Vec<String>,
    /// The same as edits, such as those of a remedy.
    pub edits: Vec<Edit>,
    /// Text of the owner's own parts file, where the rig names one.
    pub parts: Option<String>,
    /// Bytes of the weather file that the rig's site names, where it names one.
    pub weather: Option<Vec<u8>>,
    /// That file as reports name it.
    pub weather_file: String,
    /// How many years are drawn from a climate, up to 50.
    pub years: u32,
    /// The owner's own checks.
    pub scripts: Vec<ScriptText>,
    /// Number of threads; the machine's where none.
    pub threads: Option<usize>,
}

/// The day that [`Options::new`] takes where nobody says another: a fixed one, so that the same text gives the same audit.
const A_DAY: Day = Day { year: 2026, month: 11, day: 25 };

impl Options {
    /// Everything on, all states, all checks, TOML, a fixed day.
    #[must_use]
    pub fn new(file: &str) -> Self {
        Self {
            file: file.to_owned(),
            json: false,
            today: A_DAY,
            only: Vec::new(),
            state: None,
            remedies: true,
            detail: Detail::Everything,
            tries: Vec::new(),
            edits: Vec::new(),
            parts: None,
            weather: None,
            weather_file: String::new(),
            years: YEARS_DRAWN,
            scripts: Vec::new(),
            threads: None,
        }
    }
}

impl Default for Options {
    fn default() -> Self {
        Self::new("rig.toml")
    }
}

static REGISTRY: LazyLock<Result<Registry, String>> = LazyLock::new(|| {
    let checks = check_weight::checks().into_iter().chain(check_mount::checks()).chain(check_power::checks()).collect();
    let limits = check_weight::limits().into_iter().chain(check_mount::limits()).chain(check_power::limits());
    Registry::new(checks, limits).map_err(|fault| fault.to_string())
});

/// All checks of all trades. Empty if they do not fit together, which a test rules out.
#[must_use]
pub fn registry() -> &'static Registry {
    static NONE: LazyLock<Registry> = LazyLock::new(Registry::empty);
    REGISTRY.as_ref().unwrap_or(&NONE)
}

/// Audits the text of a rig file. A file that cannot be understood gives an audit with `errors` and no findings.
#[must_use]
pub fn audit(text: &str, options: &Options) -> Audit {
    audit_bytes(text.as_bytes(), options)
}

/// The same for bytes that may not even be text.
#[must_use]
pub fn audit_bytes(bytes: &[u8], options: &Options) -> Audit {
    audit_gathered(&gather(&options.scripts), bytes, options)
}

/// The same with checks that were gathered before.
#[must_use]
pub fn audit_gathered(gathered: &Gathered, bytes: &[u8], options: &Options) -> Audit {
    let mut audit = audit_with(&gathered.registry, bytes, options);
    if audit.errors.is_empty() {
        audit.faults.extend(gathered.faults.iter().cloned());
    }
    audit
}

/// The same with another registry.
#[must_use]
pub fn audit_with(registry: &Registry, bytes: &[u8], options: &Options) -> Audit {
    let stamp =
        Stamp { file: options.file.clone(), sources: sources(bytes, options), version: env!("CARGO_PKG_VERSION").to_owned() };
    let context = match context(registry, bytes, options) {
        Ok(context) => context,
        Err(errors) => return unread(errors, options, stamp),
    };
    let orders = Orders {
        only: options.only.clone(),
        state: options.state.clone(),
        remedies: options.remedies,
        detail: options.detail,
        threads: options.threads,
    };
    runner::run(registry, context, &orders, stamp)
}

/// The rig file, the weather file that it names, and the scripts beside it.
fn sources(bytes: &[u8], options: &Options) -> Vec<SourceFile> {
    let weather = options.weather.iter().map(|bytes| source(&options.weather_file, bytes));
    let scripts = options.scripts.iter().map(|script| source(&script.file, script.text.as_bytes()));
    std::iter::once(source(&options.file, bytes)).chain(weather).chain(scripts).collect()
}

/// One file that the answer rests on.
pub(crate) fn source(path: &str, bytes: &[u8]) -> SourceFile {
    SourceFile { path: path.to_owned(), sha256: hexadecimal(&Sha256::digest(bytes)) }
}

/// What checks and searches look at: the rig, its facts, its limits; with the changes to try made on a copy. Tickets were
/// read before such a change: what they taught stays.
///
/// # Errors
/// Every problem of the file or of a change.
pub fn context(registry: &Registry, bytes: &[u8], options: &Options) -> Result<Context, Vec<InputError>> {
    let syntax = if options.json { Syntax::Json } else { Syntax::Toml };
    let all = |problems: Vec<Problem>| problems.into_iter().map(input_error).collect::<Vec<_>>();
    let (document, rig) = read_rig_bytes(bytes, syntax).map_err(all)?;
    let parts = own_parts(&document, &rig, options)?;
    let weather = own_weather(&document, &rig, options)?;
    let errors = wrong_choices(registry.book(), &parts, &document, &rig);
    if !errors.is_empty() {
        return Err(errors);
    }
    let mut edits = tries(&document, &options.tries)?;
    edits.extend(options.edits.iter().cloned());
    let parts = Arc::new(parts);
    let beside = Beside { parts: Arc::clone(&parts), weather, years: options.years.clamp(1, rig_facts::beside::YEARS_MOST) };
    let context = Context::with_beside(Arc::new(document), Arc::new(rig), Arc::clone(registry.book()), options.today, beside);
    if edits.is_empty() {
        return Ok(context);
    }
    let about = || edits.iter().map(|edit| edit.path.as_str()).collect::<Vec<_>>().join(", ");
    let changed = context.with(&edits).map_err(|why| vec![of_a_change(why.to_string(), &about())])?;
    let errors = wrong_choices(registry.book(), &parts, changed.document(), changed.rig());
    if errors.is_empty() { Ok(changed) } else { Err(errors) }
}

/// An audit that holds the errors of a file and nothing else.
#[must_use]
pub fn errors(errors: Vec<InputError>, options: &Options) -> Audit {
    let stamp = Stamp { file: options.file.clone(), sources: Vec::new(), version: env!("CARGO_PKG_VERSION").to_owned() };
    unread(errors, options, stamp)
}

/// The edits that changes written as text ask for.
fn tries(document: &Document, tries: &[String]) -> Result<Vec<Edit>, Vec<InputError>> {
    let (mut edits, mut errors) = (Vec::new(), Vec::new());
    for text in tries {
        match change::read(text, document) {
            Ok(edit) => edits.push(edit),
            Err(why) => errors.push(of_a_change(why, text)),
        }
    }
    if errors.is_empty() { Ok(edits) } else { Err(errors) }
}

/// A change that cannot be made stands nowhere in the file: it is told at its first line.
fn of_a_change(text: String, about: &str) -> InputError {
    InputError { line: 1, column: 1, subject: format!("the change {about}"), text, found: None, expected: None, write: None }
}

/// The parts that `like` may name: the shipped ones, and the owner's where the rig names a file of them.
fn own_parts(document: &Document, rig: &Rig, options: &Options) -> Result<PartsBook, Vec<InputError>> {
    let wrong = |text: String| vec![at_path(document, "parts", text)];
    match (&rig.parts, &options.parts) {
        (Some(name), Some(text)) => PartsBook::with_own(text).map_err(|why| wrong(format!("{name}: {why}"))),
        (Some(name), None) => Err(wrong(format!("the parts file \"{name}\" was not handed in"))),
        (None, _) => Ok(PartsBook::shipped()),
    }
}

/// The year of the weather file that the rig's site names. Its errors are told at the key that names it, each with its line
/// in that file; of a file that is none of the formats, a cell is quoted and never a line.
fn own_weather(document: &Document, rig: &Rig, options: &Options) -> Result<Option<Arc<WeatherFile>>, Vec<InputError>> {
    const PATH: &str = "site.weather";
    let Some(name) = rig.site.as_ref().and_then(|site| site.weather.as_ref()) else { return Ok(None) };
    let wrong = |text: String| at_path(document, PATH, text);
    let Some(bytes) = &options.weather else {
        return Err(vec![wrong(format!("the weather file \"{name}\" was not handed in"))]);
    };
    let all = |problems: Vec<weather::Problem>| {
        problems.into_iter().map(|problem| wrong(format!("{name}, {problem}"))).collect::<Vec<_>>()
    };
    Ok(Some(Arc::new(WeatherFile::read(bytes).map_err(all)?)))
}

fn at_path(document: &Document, path: &str, text: String) -> InputError {
    let (place, _) = document.nearest_place(path);
    InputError {
        line: place.line,
        column: place.column,
        subject: document.subject(path),
        text,
        found: None,
        expected: None,
        write: None,
    }
}

/// Sets of limits, limits to replace, and kinds of parts that there are not.
fn wrong_choices(book: &LimitBook, parts: &PartsBook, document: &Document, rig: &Rig) -> Vec<InputError> {
    let mut errors: Vec<InputError> = book.faults(rig).into_iter().map(|(path, text)| at_path(document, &path, text)).collect();
    let named = rig.mass.iter().enumerate().filter_map(|(index, mass)| {
        let path = format!("{}.like", path::of("mass", &mass.name, index));
        Some((path, mass.like.as_ref()?))
    });
    let body = rig.body.iter().filter_map(|body| Some(("body.like".to_owned(), body.like.as_ref()?)));
    for (path, name) in named.chain(body).filter(|(_, name)| parts.find(name).is_none()) {
        let near = parts.parts().nearest(name);
        errors.push(InputError {
            found: Some(format!("\"{name}\"")),
            expected: (!near.is_empty())
                .then(|| format!("perhaps {}", near.iter().map(|n| format!("\"{n}\"")).collect::<Vec<_>>().join(", "))),
            ..at_path(document, &path, "there is no part called that; `rigproof parts WORDS` searches them".to_owned())
        });
    }
    errors.sort_by_key(|error| (error.line, error.column));
    errors
}

fn input_error(problem: Problem) -> InputError {
    InputError {
        line: problem.place.line,
        column: problem.place.column,
        subject: problem.subject,
        text: problem.sentence,
        found: problem.found,
        expected: problem.expected,
        write: problem.write,
    }
}

/// The audit of a file that could not be understood: its errors, and nothing else.
fn unread(errors: Vec<InputError>, options: &Options, stamp: Stamp) -> Audit {
    Audit {
        format: audit::FORMAT.to_owned(),
        rig: String::new(),
        file: stamp.file,
        sources: stamp.sources,
        version: stamp.version,
        date: options.today.to_string(),
        codes: Vec::new(),
        units: Units::Metric,
        states: Vec::new(),
        summary: Summary::default(),
        findings: Vec::new(),
        faults: Vec::new(),
        notes: Vec::new(),
        measure_next: Vec::new(),
        inputs: Vec::new(),
        exhibits: Vec::new(),
        baseline: None,
        errors,
    }
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use report::terminal::{Look, render};

    use super::*;

    #[test]
    fn the_checks_fit_together_and_every_limit_file_loads() {
        assert_eq!(REGISTRY.as_ref().err(), None);
        assert!(!registry().checks().is_empty());
        assert_eq!(registry().book().all().err(), None);
    }

    #[test]
    fn an_empty_text_is_an_error_with_a_place() {
        let audit = audit("", &Options::default());
        assert!(audit.findings.is_empty());
        assert!(audit.errors.iter().all(|error| error.line >= 1 && error.column >= 1));
        assert!(!audit.errors.is_empty());
    }

    /// SHA-256 of nothing, as every table of test vectors has it (from memory).
    #[test]
    fn the_digest_is_the_usual_one() {
        let digest = hexadecimal(&Sha256::digest(b""));
        assert_eq!(digest, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    }

    /// A report for people is the same to the byte whether everything was worked out or only what it tells.
    #[test]
    fn a_report_wants_less_than_everything() {
        for text in [
            include_str!("../../../examples/herbarium-truck/rig.toml"),
            include_str!("../../../examples/flatbed-cabin/rig.toml"),
            crate::start::STARTER,
        ] {
            let in_detail = |detail| audit(text, &Options { detail, ..Options::default() });
            let (less, all) = (in_detail(Detail::Report), in_detail(Detail::Everything));
            assert!(less.exhibits.is_empty() && less.findings.iter().all(|finding| finding.working.is_empty()));
            // Plain lines are made of everything: each has the way out of its own state.
            for whole in [false, true] {
                let look = Look { all: whole, ladder: true, ..Look::default() };
                assert_eq!(render(&less, &look), render(&all, &look));
            }
        }
    }
}
