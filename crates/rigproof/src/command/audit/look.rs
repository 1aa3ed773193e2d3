//! How the report for people looks: what was asked for, and what the terminal can show.

use report::terminal::Look;

use super::{AuditArguments, Colour};
use crate::output;

pub(super) fn look(arguments: &AuditArguments) -> Look {
    let terminal = output::on_terminal() && arguments.output.is_none();
    let told = |name: &str| std::env::var(name).unwrap_or_default();
    // NO_COLOR takes the hue and leaves the weights.
    let (styled, hue) = match arguments.colour {
        Colour::Always => (true, true),
        Colour::Never => (false, false),
        Colour::Auto => (terminal && told("TERM") != "dumb", told("NO_COLOR").is_empty()),
    };
    let own_width = terminal.then(terminal_size::terminal_size).flatten().map(|(width, _)| width.0);
    let locale = [told("LC_ALL"), told("LC_CTYPE"), told("LANG")].into_iter().find(|word| !word.is_empty()).unwrap_or_default();
    Look {
        width: usize::from(arguments.width.or(own_width).unwrap_or(100).clamp(60, 100)),
        styled: styled && !arguments.plain,
        hue,
        utf8: terminal && locale.to_ascii_lowercase().replace('-', "").contains("utf8"),
        ladder: terminal || arguments.colour == Colour::Always,
        plain: arguments.plain,
        all: arguments.all,
    }
}
