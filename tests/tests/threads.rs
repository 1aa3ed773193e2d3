//! The same bytes from 1, 2 and 8 threads, and from one run to the next.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use report::terminal::Look;
use rigproof::Options;
use rigproof_tests::{EXAMPLES, example, options};

fn everything(name: &str, threads: usize) -> String {
    let audit = rigproof::audit(&example(name), &Options { threads: Some(threads), ..options() });
    let look = Look { styled: true, hue: true, utf8: true, ladder: true, all: true, ..Look::default() };
    let drawings: String =
        audit.exhibits.iter().filter_map(|exhibit| report::draw::render(exhibit, audit.units.into())).collect();
    format!("{}{}{drawings}", report::json::render(&audit), report::terminal::render(&audit, &look))
}

#[test]
fn the_number_of_threads_changes_no_byte() {
    for name in EXAMPLES {
        let one = everything(name, 1);
        for threads in [2, 8] {
            assert!(everything(name, threads) == one, "{name}: {threads} threads give other bytes than 1");
        }
        assert!(everything(name, 8) == one, "{name}: a second run gives other bytes");
    }
}
