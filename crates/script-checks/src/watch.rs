//! Clock and memory of one call, looked at with every step of the engine: a single step may fill a whole text.

use std::cell::Cell;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use crate::bounds;

/// How much this thread holds, in bytes, as the program counts it.
static HELD: OnceLock<fn() -> usize> = OnceLock::new();

/// Says how to ask how many bytes the calling thread holds. Without it only the other bounds keep a script's memory small.
pub fn measure_memory_with(held: fn() -> usize) {
    // Whoever comes first is the program itself; a second word changes nothing.
    let _ = HELD.set(held);
}

#[derive(Clone, Copy)]
struct Bounds {
    until: Instant,
    most_held: usize,
}

thread_local! {
    static NOW: Cell<Option<Bounds>> = const { Cell::new(None) };
}

/// Which bound a call broke.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Broken {
    Time,
    Memory,
}

/// Runs a call under the clock; it may take `most`, and gives back how long it took.
pub(crate) fn watched<T>(most: Duration, call: impl FnOnce() -> T) -> (T, Duration) {
    let began = Instant::now();
    let most_held = HELD.get().map_or(usize::MAX, |held| held().saturating_add(bounds::MEMORY));
    let before = NOW.replace(Some(Bounds { until: began + most.min(bounds::DEADLINE), most_held }));
    let result = call();
    NOW.set(before);
    (result, began.elapsed())
}

/// Which bound is broken now, if any.
pub(crate) fn broken() -> Option<Broken> {
    let bounds = NOW.get()?;
    if HELD.get().is_some_and(|held| held() > bounds.most_held) {
        return Some(Broken::Memory);
    }
    (Instant::now() >= bounds.until).then_some(Broken::Time)
}
