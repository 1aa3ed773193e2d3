//! A check that panics becomes a fault, and the rest goes on.

use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Once;

thread_local! {
    /// What the panic hook saw last on this thread: text and place in the source.
    static LAST: RefCell<Option<String>> = const { RefCell::new(None) };
}

static HOOK: Once = Once::new();

/// Makes panics on this process's threads silent and remembered, so that a fault can say where it happened. The binary
/// calls it once; a library user who does not gets the panic's text alone.
pub fn keep_panics_quiet() {
    HOOK.call_once(|| {
        std::panic::set_hook(Box::new(|info| {
            let place = info.location().map(|at| format!(" at {}:{}", at.file(), at.line())).unwrap_or_default();
            let text = format!("{}{place}", payload_text(info.payload()));
            LAST.with(|last| *last.borrow_mut() = Some(text));
        }));
    });
}

/// Runs `job`; a panic becomes its text.
pub(crate) fn guarded<T>(job: impl FnOnce() -> T) -> Result<T, String> {
    LAST.with(|last| last.borrow_mut().take());
    catch_unwind(AssertUnwindSafe(job)).map_err(|payload| {
        let text = LAST.with(|last| last.borrow_mut().take()).unwrap_or_else(|| payload_text(&*payload));
        // The payload's own drop may panic in its turn.
        let _ = catch_unwind(AssertUnwindSafe(move || drop(payload)));
        text
    })
}

fn payload_text(payload: &(dyn std::any::Any + Send)) -> String {
    payload
        .downcast_ref::<&str>()
        .map(|text| (*text).to_owned())
        .or_else(|| payload.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "it stopped without saying why".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_becomes_its_text_and_the_next_job_runs() {
        let fault = guarded(|| -> u8 { panic!("the ledger fell over") });
        assert!(fault.is_err_and(|text| text.contains("the ledger fell over")));
        assert_eq!(guarded(|| 7), Ok(7));
    }
}
