//! The program's allocator. It counts what each thread holds, so that a script's memory can be bounded; and it packs
//! blocks densely, because a program that runs for milliseconds pays most for memory it touches for the first time.
//!
//! Each thread cuts blocks of some seventy sizes from chunks of its own, and keeps those given back, whoever took them,
//! for the next of that size. A chunk is a huge page where the system has them: one fault in place of five hundred. Chunks
//! are not given back; the process ends first. What is larger goes to the system. A general allocator,
//! tried in its place, spread the same blocks over three times as many pages, and an audit took a fifth longer.
#![allow(unsafe_code, reason = "an allocator cannot be written without")]

use std::alloc::{GlobalAlloc, Layout, System};
use std::cell::{Cell, UnsafeCell};
use std::ptr;

/// Blocks are a multiple of this, and lie on one: what the widest common type wants.
const GRAIN: usize = 16;
/// Up to here every multiple of the grain is a size of its own.
const FINE: usize = 512;
/// Above, each doubling has so many sizes: a fifth of a block is wasted at most.
const STEPS: usize = 4;
/// What is larger goes to the system.
const LARGEST: usize = 1 << 18;
/// Size of a chunk, and what it lies on: a huge page of the usual processors.
const CHUNK: usize = 1 << 21;

const FINE_SIZES: usize = FINE / GRAIN;
const SIZES: usize = FINE_SIZES + STEPS * (LARGEST / FINE).ilog2() as usize;

/// What a thread has to give out.
struct Stock {
    /// First free block of each size; each holds the address of the next.
    free: [*mut u8; SIZES],
    /// Where the rest of the chunk at hand begins, and how long it is.
    next: *mut u8,
    left: usize,
}

thread_local! {
    // Neither has anything to drop: they can be used until the thread is gone, and cost no look whether they are there.
    static STOCK: UnsafeCell<Stock> =
        const { UnsafeCell::new(Stock { free: [ptr::null_mut(); SIZES], next: ptr::null_mut(), left: 0 }) };
    /// Bytes taken less bytes given back by this thread; below zero where it gives back what another one took.
    static HELD: Cell<isize> = const { Cell::new(0) };
}

/// Bytes that the calling thread holds.
pub(crate) fn held() -> usize {
    HELD.with(|held| usize::try_from(held.get()).unwrap_or_default())
}

fn count(bytes: usize, sign: isize) {
    HELD.with(|held| held.set(held.get().wrapping_add(sign.wrapping_mul(bytes.cast_signed()))));
}

/// Number of the size that holds so many bytes, at most [`LARGEST`], and that size.
fn size_for(bytes: usize) -> (usize, usize) {
    if bytes <= FINE {
        let grains = bytes.max(1).div_ceil(GRAIN);
        return (grains - 1, grains * GRAIN);
    }
    let doubling = (bytes - 1).ilog2();
    let (below, step) = (1 << doubling, (1 << doubling) / STEPS);
    let steps = (bytes - below).div_ceil(step);
    let before = FINE_SIZES + STEPS * (doubling - FINE.ilog2()) as usize;
    (before + steps - 1, below + steps * step)
}

/// Number and size of the block for a layout; none where it goes to the system.
fn block_for(layout: Layout) -> Option<(usize, usize)> {
    (layout.size() <= LARGEST && layout.align() <= GRAIN).then(|| size_for(layout.size()))
}

/// A block of that number and size; null where there is no memory.
fn take(number: usize, size: usize) -> *mut u8 {
    STOCK.with(|stock| {
        // SAFETY: the stock is this thread's own, and nothing in here allocates through it: no second reference is made.
        let stock = unsafe { &mut *stock.get() };
        let Some(free) = stock.free.get_mut(number) else { return ptr::null_mut() };
        let block = *free;
        if !block.is_null() {
            // SAFETY: `give` wrote the address of the next free block there, or null, and nobody has used it since.
            *free = unsafe { block.cast::<*mut u8>().read() };
            return block;
        }
        if stock.left < size {
            let chunk = chunk();
            if chunk.is_null() {
                return chunk;
            }
            // What was left of the last one is lost.
            (stock.next, stock.left) = (chunk, CHUNK);
        }
        let block = stock.next;
        // SAFETY: the chunk has at least so many bytes left.
        stock.next = unsafe { block.add(size) };
        stock.left -= size;
        block
    })
}

/// Keeps a block that nobody uses any more.
///
/// # Safety
/// It came from [`take`] with that number, in any thread, and is given back once.
unsafe fn give(block: *mut u8, number: usize) {
    STOCK.with(|stock| {
        // SAFETY: as in `take`.
        let stock = unsafe { &mut *stock.get() };
        if let Some(free) = stock.free.get_mut(number) {
            // SAFETY: the smallest block holds an address and lies on a multiple of the grain.
            unsafe { block.cast::<*mut u8>().write(*free) };
            *free = block;
        }
    });
}

#[cold]
fn chunk() -> *mut u8 {
    #[cfg(target_os = "linux")]
    if let Some(chunk) = stretch::chunk() {
        return chunk;
    }
    let Ok(layout) = Layout::from_size_align(CHUNK, CHUNK) else { return ptr::null_mut() };
    // SAFETY: the layout is not empty.
    unsafe { System.alloc(layout) }
}

/// Chunks cut from a stretch of address space that the system is asked for once. A thread that starts then asks for nothing,
/// and the system's own allocator lays out none of its arenas for it.
#[cfg(target_os = "linux")]
mod stretch {
    use std::ptr;
    use std::sync::atomic::{AtomicUsize, Ordering};

    use rustix::mm::{Advice, MapFlags, ProtFlags, madvise, mmap_anonymous};

    use super::CHUNK;

    /// Chunks of a stretch. What nobody touches costs nothing.
    const CHUNKS: usize = 32;

    /// Address of the next chunk, which is a multiple of its size, plus how many are left there.
    static NEXT: AtomicUsize = AtomicUsize::new(0);

    /// A chunk; none where the system has no room.
    pub(super) fn chunk() -> Option<*mut u8> {
        let mut next = NEXT.load(Ordering::Relaxed);
        loop {
            let (at, left) = (next & !(CHUNK - 1), next & (CHUNK - 1));
            if left == 0 {
                let fresh = new()?;
                // Of two threads that come here at once the second uses one chunk of its own stretch.
                let _ = NEXT.compare_exchange(next, fresh + CHUNK + (CHUNKS - 1), Ordering::Relaxed, Ordering::Relaxed);
                return Some(ptr::with_exposed_provenance_mut(fresh));
            }
            match NEXT.compare_exchange_weak(next, at + CHUNK + (left - 1), Ordering::Relaxed, Ordering::Relaxed) {
                Ok(_) => return Some(ptr::with_exposed_provenance_mut(at)),
                Err(now) => next = now,
            }
        }
    }

    /// The address of a new stretch, a multiple of a chunk.
    fn new() -> Option<usize> {
        let (access, kind) = (ProtFlags::READ | ProtFlags::WRITE, MapFlags::PRIVATE | MapFlags::NORESERVE);
        // SAFETY: it takes the place of nothing, since no address is asked for.
        let mapped = unsafe { mmap_anonymous(ptr::null_mut(), (CHUNKS + 1) * CHUNK, access, kind) }.ok()?;
        let first = mapped.wrapping_byte_add(mapped.align_offset(CHUNK));
        // SAFETY: the stretch is ours and nothing is in it yet. Where the system has no huge pages it says so, and that is fine.
        let _ = unsafe { madvise(first, CHUNKS * CHUNK, Advice::LinuxHugepage) };
        Some(first.expose_provenance())
    }
}

struct Dense;

#[global_allocator]
static ALLOCATOR: Dense = Dense;

// SAFETY: a block is at least as large as its layout asks and lies on a multiple of the grain, which its alignment divides; it
// is handed out once until it is given back, since the free lists are the thread's own and a chunk is cut once. Size and
// alignment of the layout tell at both ends whether a block is ours or the system's.
unsafe impl GlobalAlloc for Dense {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        count(layout.size(), 1);
        match block_for(layout) {
            Some((number, size)) => take(number, size),
            // SAFETY: the caller keeps the contract of `alloc`.
            None => unsafe { System.alloc(layout) },
        }
    }

    unsafe fn alloc_zeroed(&self, layout: Layout) -> *mut u8 {
        count(layout.size(), 1);
        let Some((number, size)) = block_for(layout) else {
            // SAFETY: the caller keeps the contract of `alloc_zeroed`.
            return unsafe { System.alloc_zeroed(layout) };
        };
        let block = take(number, size);
        if !block.is_null() {
            // SAFETY: the block is at least that large. It may have been used before.
            unsafe { block.write_bytes(0, layout.size()) };
        }
        block
    }

    unsafe fn dealloc(&self, block: *mut u8, layout: Layout) {
        count(layout.size(), -1);
        match block_for(layout) {
            // SAFETY: the same layout led to the same number when it was taken.
            Some((number, _)) => unsafe { give(block, number) },
            // SAFETY: it came from the system with the same layout.
            None => unsafe { System.dealloc(block, layout) },
        }
    }

    unsafe fn realloc(&self, block: *mut u8, layout: Layout, new_size: usize) -> *mut u8 {
        // SAFETY: the caller keeps the contract of `realloc`: with the old alignment the new size is a layout.
        let new_layout = unsafe { Layout::from_size_align_unchecked(new_size, layout.align()) };
        let (old, new) = (block_for(layout), block_for(new_layout));
        if old == new {
            count(layout.size(), -1);
            count(new_size, 1);
            return match old {
                // It has the room.
                Some(_) => block,
                // SAFETY: it came from the system with the same layout.
                None => unsafe { System.realloc(block, layout, new_size) },
            };
        }
        // SAFETY: the contract of `realloc` holds that of both; both blocks are at least as long as what is copied.
        unsafe {
            let moved = self.alloc(new_layout);
            if !moved.is_null() {
                ptr::copy_nonoverlapping(block, moved, layout.size().min(new_size));
                self.dealloc(block, layout);
            }
            moved
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc;

    use super::*;

    #[test]
    fn what_is_taken_is_counted_and_given_back() {
        let before = held();
        let large = vec![1_u8; 3 << 20];
        assert!(held() >= before + large.len());
        drop(large);
        assert!(held() < before + (1 << 20));
    }

    /// More chunks than a stretch has, by two threads at once.
    #[cfg(target_os = "linux")]
    #[test]
    fn no_chunk_is_handed_out_twice() {
        let some = || (0..40).map(|_| stretch::chunk().expect("there is room").addr()).collect::<Vec<_>>();
        let other = std::thread::spawn(some);
        let mut all = some();
        all.extend(other.join().expect("it ends"));
        assert!(all.iter().all(|at| at.is_multiple_of(CHUNK)));
        all.sort_unstable();
        assert!(all.windows(2).all(|pair| pair[1] - pair[0] >= CHUNK));
        // Both ends of one can be written.
        let chunk = stretch::chunk().expect("there is room");
        // SAFETY: the chunk is this test's own.
        unsafe { chunk.write_bytes(7, CHUNK) };
        // SAFETY: it was written just now.
        assert_eq!(unsafe { chunk.add(CHUNK - 1).read() }, 7);
    }

    #[test]
    fn a_block_is_large_enough_and_little_larger() {
        let mut last = (0, 0);
        for bytes in 0..=LARGEST {
            let (number, size) = size_for(bytes);
            assert!(number < SIZES && size >= bytes && size.is_multiple_of(GRAIN), "{bytes}");
            assert!(size <= bytes.max(1) + GRAIN.max(bytes / STEPS), "{bytes} takes {size}");
            // Each number has one size, and no number is left out.
            assert!((number, size) == last || number == last.0 + usize::from(last.1 > 0) && size > last.1, "{bytes}");
            last = (number, size);
        }
        assert_eq!(last, (SIZES - 1, LARGEST));
    }

    /// What is written stays, through growing, shrinking and changing hands between threads.
    #[test]
    fn nobody_writes_into_anothers_block() {
        let pattern = |seed: usize, length: usize| (0..length).map(move |at| (at.wrapping_mul(31) ^ seed) as u8);
        let (to_other, from_one) = mpsc::channel::<(usize, Vec<u8>)>();
        let (to_one, from_other) = mpsc::channel::<(usize, Vec<u8>)>();
        let other = std::thread::spawn(move || {
            for (seed, mut block) in from_one {
                assert!(block.iter().copied().eq(pattern(seed, block.len())), "{seed}");
                block.truncate(block.len() / 2);
                block.shrink_to_fit();
                if to_one.send((seed, block)).is_err() {
                    return;
                }
            }
        });
        let mut kept: Vec<(usize, Vec<u8>)> = Vec::new();
        for seed in 1..4000_usize {
            let length = seed.wrapping_mul(2_654_435_761) % (if seed.is_multiple_of(50) { 2 * LARGEST } else { 3000 });
            let zeroes = vec![0_u8; length];
            assert!(zeroes.iter().all(|byte| *byte == 0));
            let mut block = zeroes;
            block.clear();
            block.extend(pattern(seed, length));
            to_other.send((seed, block)).expect("the other thread listens");
            kept.extend(from_other.try_iter());
            if kept.len() > 64 {
                for (seed, block) in kept.drain(..32) {
                    assert!(block.iter().copied().eq(pattern(seed, block.len())), "{seed}");
                }
            }
        }
        drop(to_other);
        for (seed, block) in kept.into_iter().chain(from_other) {
            assert!(block.iter().copied().eq(pattern(seed, block.len())), "{seed}");
        }
        other.join().expect("the other thread found nothing wrong");
    }
}
