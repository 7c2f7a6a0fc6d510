//! Which branches were ever taken, when the compiler was told to count them (LLVM's SanitizerCoverage with inline 8-bit
//! counters); without, there are none and every input is as good as another.
#![allow(unsafe_code, reason = "the compiler hands its counters over in C")]

use std::sync::Mutex;
use std::sync::atomic::{AtomicU8, Ordering};

/// The counters of each part of the program, and of each whether it ever counted so far.
static COUNTERS: Mutex<Vec<(&'static [AtomicU8], Vec<u8>)>> = Mutex::new(Vec::new());

/// Called by what the compiler adds, before `main`, once for each part.
///
/// # Safety
/// `start` and `stop` bound an array of counters that lives as long as the program.
#[unsafe(no_mangle)]
unsafe extern "C" fn __sanitizer_cov_8bit_counters_init(start: *const AtomicU8, stop: *const AtomicU8) {
    // SAFETY: as the compiler promises; a counter is a byte, and bytes may be read as atomics.
    let counters = unsafe { std::slice::from_raw_parts(start, stop.offset_from_unsigned(start)) };
    if let Ok(mut all) = COUNTERS.lock()
        && all.iter().all(|(known, _)| known.as_ptr() != start)
    {
        all.push((counters, vec![0; counters.len()]));
    }
}

/// True when a branch was taken that never was, or oftener by a power of two; counting begins again.
pub(crate) fn new_ones() -> bool {
    let mut found = false;
    for (counters, seen) in COUNTERS.lock().unwrap().iter_mut() {
        for (counter, seen) in counters.iter().zip(seen) {
            let count = counter.load(Ordering::Relaxed);
            if count == 0 {
                continue;
            }
            counter.store(0, Ordering::Relaxed);
            let bucket = 1_u8 << count.ilog2();
            found |= *seen & bucket == 0;
            *seen |= bucket;
        }
    }
    found
}

/// How many branches were ever taken.
pub(crate) fn seen() -> usize {
    COUNTERS.lock().unwrap().iter().map(|(_, seen)| seen.iter().filter(|seen| **seen != 0).count()).sum()
}
