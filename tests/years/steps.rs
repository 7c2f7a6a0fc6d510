//! Counting what SQLite does: the steps of its virtual machine, exact and the same on every computer.
#![allow(unsafe_code, reason = "SQLite counts for those who ask in C")]

use std::cell::Cell;
use std::ffi::{c_char, c_int, c_uint, c_void};
use std::sync::Once;

use rusqlite::ffi;

thread_local! {
    static STEPS: Cell<u64> = const { Cell::new(0) };
}

/// The steps that SQLite takes for something done on this thread, on connections opened after the first call.
pub(crate) fn steps_of<T>(what: impl FnOnce() -> T) -> (u64, T) {
    watch();
    STEPS.set(0);
    let done = what();
    (STEPS.get(), done)
}

/// Watches every connection opened from now on.
pub(crate) fn watch() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        // SAFETY: the function has the signature that SQLite calls.
        let code = unsafe { ffi::sqlite3_auto_extension(Some(opened)) };
        assert_eq!(code, ffi::SQLITE_OK);
    });
}

unsafe extern "C" fn opened(
    connection: *mut ffi::sqlite3,
    _: *mut *mut c_char,
    _: *const ffi::sqlite3_api_routines,
) -> c_int {
    let finished = ffi::SQLITE_TRACE_PROFILE as c_uint;
    // SAFETY: SQLite hands a connection that is open.
    unsafe { ffi::sqlite3_trace_v2(connection, finished, Some(count), std::ptr::null_mut()) }
}

unsafe extern "C" fn count(_: c_uint, _: *mut c_void, statement: *mut c_void, _: *mut c_void) -> c_int {
    // SAFETY: with this kind of event SQLite hands the statement that finished.
    let steps = unsafe { ffi::sqlite3_stmt_status(statement.cast(), ffi::SQLITE_STMTSTATUS_VM_STEP, 1) };
    STEPS.set(STEPS.get() + u64::try_from(steps).unwrap_or(0));
    0
}
