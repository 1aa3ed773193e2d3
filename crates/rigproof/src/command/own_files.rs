//! Files beside a rig: the rig itself, the owner's parts, the owner's checks.

use std::path::{Component, Path, PathBuf};

use check::{Context, Registry};
use report::terminal;
use rig_model::{Rig, Syntax, read_rig_bytes};
use rigproof::{Options, ScriptText, door};

use crate::output;

/// The bytes of a rig file, and the options with its syntax settled and the files that it names read; then the scripts
/// that the command line names.
///
/// # Errors
/// A sentence: a file cannot be read.
pub(crate) fn bytes_of(file: &str, options: &Options, scripts: &[PathBuf]) -> Result<(Vec<u8>, Options), String> {
    let bytes = output::read(file)?;
    let mut options = options.clone();
    // Stdin has no ending: a JSON document begins with a brace, a TOML one never does.
    if file == "-" {
        options.json = bytes.iter().find(|byte| !byte.is_ascii_whitespace()) == Some(&b'{');
    }
    if let Some(rig) = rig_with_files(&bytes, options.json) {
        let folder = Path::new(file).parent().unwrap_or(Path::new(""));
        if let Some(name) = &rig.parts {
            options.parts = Some(text_of(&inside(file, "parts", folder, name)?)?);
        }
        if let Some(name) = rig.site.as_ref().and_then(|site| site.weather.as_ref()) {
            let path = inside(file, "site.weather", folder, name)?;
            options.weather_file = path.to_string_lossy().into_owned();
            options.weather = Some(output::read(&options.weather_file)?);
        }
        if let Some(name) = &rig.scripts {
            options.scripts = scripts_in(&inside(file, "scripts", folder, name)?)?;
        }
    }
    for script in all_scripts_in(scripts)? {
        if options.scripts.iter().all(|known| known.file != script.file) {
            options.scripts.push(script);
        }
    }
    Ok((bytes, options))
}

/// The scripts of several folders and files.
///
/// # Errors
/// As for [`scripts_in`].
pub(crate) fn all_scripts_in(paths: &[PathBuf]) -> Result<Vec<ScriptText>, String> {
    Ok(paths.iter().map(|path| scripts_in(path)).collect::<Result<Vec<_>, _>>()?.concat())
}

/// What checks and searches look at.
///
/// # Errors
/// Every problem of the file, as people read them.
pub(crate) fn context_of(registry: &Registry, bytes: &[u8], options: &Options) -> Result<Context, String> {
    let told = |errors| terminal::errors(&door::errors(errors, options)).trim_end().to_owned();
    door::context(registry, bytes, options).map_err(told)
}

/// The rig, where it may name files beside it. A cheap look first: nearly no rig names one.
fn rig_with_files(bytes: &[u8], json: bool) -> Option<Rig> {
    // What is no text is no rig.
    let text = std::str::from_utf8(bytes).ok()?;
    if !["parts", "scripts", "weather"].iter().any(|key| text.contains(key)) {
        return None;
    }
    let syntax = if json { Syntax::Json } else { Syntax::Toml };
    read_rig_bytes(bytes, syntax).ok().map(|(_, rig)| rig)
}

/// A path that a rig names: inside the rig's own folder and nowhere else.
fn inside(file: &str, key: &str, folder: &Path, name: &str) -> Result<PathBuf, String> {
    if Path::new(name).components().all(|part| matches!(part, Component::Normal(_))) {
        return Ok(folder.join(name));
    }
    Err(format!("{file}: {key} = \"{name}\": a place inside the rig's own folder is wanted"))
}

/// Every `.rhai` file of a folder, in the order of their names; or the one file.
///
/// # Errors
/// A sentence: there is no such folder or file, or one is not text.
pub(crate) fn scripts_in(path: &Path) -> Result<Vec<ScriptText>, String> {
    let files = files_in(path, "rhai")?;
    if files.is_empty() {
        return Err(format!("{}: there is no file in it that ends in .rhai", path.display()));
    }
    files.into_iter().map(|file| Ok(ScriptText { text: text_of(&file)?, file: file.to_string_lossy().into_owned() })).collect()
}

/// Every file of a folder with that ending, in the order of their names; or the one file.
///
/// # Errors
/// A sentence: there is no such folder or file.
pub(crate) fn files_in(path: &Path, ending: &str) -> Result<Vec<PathBuf>, String> {
    if !path.is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let cannot = |why: std::io::Error| format!("{}: the folder cannot be read: {why}", path.display());
    let mut files = Vec::new();
    for entry in std::fs::read_dir(path).map_err(cannot)? {
        let file = entry.map_err(cannot)?.path();
        if file.extension().is_some_and(|is| is == ending) {
            files.push(file);
        }
    }
    files.sort();
    Ok(files)
}

/// Text of a file.
///
/// # Errors
/// A sentence: it cannot be read, or is not text.
pub(crate) fn text_of(path: &Path) -> Result<String, String> {
    let bytes = output::read(&path.to_string_lossy())?;
    String::from_utf8(bytes).map_err(|_| format!("{}: this is not text in UTF-8", path.display()))
}
