//! The program's allocator: a quick one, and it counts what each thread holds, so that a script's memory can be bounded.
#![allow(unsafe_code, reason = "an allocator cannot be written without")]

use std::alloc::{GlobalAlloc, Layout};
use std::cell::Cell;

use mimalloc::MiMalloc;

thread_local! {
    /// Bytes taken less bytes given back by this thread; below zero where it gives back what another one took.
    static HELD: Cell<isize> = const { Cell::new(0) };
}

/// Bytes that the calling thread holds.
pub(crate) fn held() -> usize {
    HELD.with(|held| usize::try_from(held.get()).unwrap_or_default())
}

/// The allocator's option that says when memory is given back to the system: `mi_option_purge_delay` of its header. Its
/// crate has no name for it.
const PURGE_DELAY: libmimalloc_sys::mi_option_t = 15;

/// Keeps memory until the process ends. The program runs for milliseconds; handing its memory back piece by piece at the
/// end took longer than many an audit.
pub(crate) fn keep_until_the_end() {
    // SAFETY: sets a number in the allocator's table of options; called once, before other threads are there.
    unsafe { libmimalloc_sys::mi_option_set(PURGE_DELAY, -1) }
}

fn count(bytes: usize, sign: isize) {
    // At the very end of a thread its counter is gone; what it does then is of no interest.
    let _ = HELD.try_with(|held| held.set(held.get().wrapping_add(sign.wrapping_mul(bytes.cast_signed()))));
}

struct Counting;

#[global_allocator]
static ALLOCATOR: Counting = Counting;

// SAFETY: every call is handed on as it is to an allocator that keeps the contract; counting touches nothing but a number.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        count(layout.size(), 1);
        // SAFETY: the caller keeps the contract of `alloc`.
        unsafe { MiMalloc.alloc(layout) }
    }

    unsafe fn alloc_zeroed(&self, layout: Layout) -> *mut u8 {
        count(layout.size(), 1);
        // SAFETY: the caller keeps the contract of `alloc_zeroed`.
        unsafe { MiMalloc.alloc_zeroed(layout) }
    }

    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        count(layout.size(), -1);
        // SAFETY: the caller keeps the contract of `dealloc`; the pointer came from the same allocator.
        unsafe { MiMalloc.dealloc(pointer, layout) }
    }

    unsafe fn realloc(&self, pointer: *mut u8, layout: Layout, new_size: usize) -> *mut u8 {
        count(layout.size(), -1);
        count(new_size, 1);
        // SAFETY: the caller keeps the contract of `realloc`; the pointer came from the same allocator.
        unsafe { MiMalloc.realloc(pointer, layout, new_size) }
    }
}

#[cfg(test)]
mod tests {
    use super::held;

    #[test]
    fn what_is_taken_is_counted_and_given_back() {
        let before = held();
        let large = vec![1_u8; 3 << 20];
        assert!(held() >= before + large.len());
        drop(large);
        assert!(held() < before + (1 << 20));
    }
}
