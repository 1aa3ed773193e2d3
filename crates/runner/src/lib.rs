//! Runs every check over one rig, survives their faults, proves remedies, turns paths into places, and collects the audit.
//!
//! | module        | does                                                                        |
//! |---------------|-----------------------------------------------------------------------------|
//! | [`mod@run`]   | the whole run: which checks, in parallel, in stable order                     |
//! | [`guard`]     | a check that panics becomes a fault, and the rest goes on                     |
//! | [`prove`]     | applies each remedy's edits and asks every check again                       |
//! | [`excuse`]    | acceptances and replaced limits, and those that touch nothing                |
//! | [`next`]      | what to measure next                                                         |
//! | [`views`]     | pictures of the whole rig from facts                                         |
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod excuse;
pub mod guard;
pub mod next;
pub mod prove;
pub mod run;
pub mod views;

pub use guard::keep_panics_quiet;
pub use run::{Orders, Stamp, run};

/// Makes the calling thread one of those that checks are asked on, so that a program has no more threads than processors and
/// does not wait for another to wake. With so many threads, this one included; 0 leaves it to the pool, which asks for the
/// processors there are. To be called before anything is asked; later it does nothing.
pub fn ask_on_this_thread(threads: usize) {
    // Building the global pool waits until every thread has started. One that does not wait was tried, more than once: mostly
    // a quarter of a millisecond quicker, but in one run of four both threads then share a processor for two.
    let _ = rayon::ThreadPoolBuilder::new().num_threads(threads).use_current_thread().build_global();
}
