//! A disk that can be watched, broken and cut off: a SQLite VFS over the system's own. Journals in folders that were
//! given a [`Disk`] go through it; all others pass untouched.
#![allow(unsafe_code, reason = "a VFS is a table of C functions")]

use std::collections::BTreeMap;
use std::ffi::{CStr, c_char, c_int, c_void};
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock, Mutex, Once, OnceLock};

use rusqlite::ffi;

use super::season::Random;

/// What the journal did to the disk.
#[derive(Clone, Debug)]
pub(crate) enum Op {
    Create { file: String },
    Write { file: String, at: usize, bytes: Vec<u8> },
    Truncate { file: String, length: usize },
    Sync { file: String },
    Delete { file: String },
}

/// What can be made to fail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Call {
    Open,
    Write,
    Truncate,
    Sync,
    Delete,
    /// Making room for the index of the log, which all programs share.
    Index,
    Read,
    /// Taking a lock, on the file or on the index of the log.
    Lock,
}

/// How it fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Failing {
    Error,
    Full,
    /// Half of the bytes are written, then an error.
    Short,
    ReadOnly,
}

/// Which call fails: the one after so many like it, and perhaps all later ones.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fault {
    pub(crate) call: Call,
    pub(crate) after: u64,
    pub(crate) failing: Failing,
    pub(crate) for_ever: bool,
}

#[derive(Debug, Default)]
struct Inner {
    ops: Vec<Op>,
    fault: Option<Fault>,
    calls: u64,
    fired: bool,
}

/// The disk under one folder.
#[derive(Debug, Default)]
pub(crate) struct Disk(Mutex<Inner>);

static DISKS: LazyLock<Mutex<BTreeMap<PathBuf, Arc<Disk>>>> = LazyLock::new(Mutex::default);

impl Disk {
    /// Puts a disk under a folder.
    pub(crate) fn under(folder: &Path, fault: Option<Fault>) -> Arc<Self> {
        install();
        let disk = Arc::new(Self(Mutex::new(Inner { fault, ..Inner::default() })));
        DISKS.lock().unwrap().insert(folder.canonicalize().unwrap(), Arc::clone(&disk));
        disk
    }

    /// Puts another folder on the same disk.
    pub(crate) fn share(folder: &Path, disk: &Arc<Self>) {
        DISKS.lock().unwrap().insert(folder.canonicalize().unwrap(), Arc::clone(disk));
    }

    pub(crate) fn ops_since(&self, done: usize) -> Vec<Op> {
        self.0.lock().unwrap().ops[done..].to_vec()
    }

    pub(crate) fn done(&self) -> usize {
        self.0.lock().unwrap().ops.len()
    }

    /// Makes it whole again; tells whether it ever failed.
    pub(crate) fn mend(&self) -> bool {
        let mut inner = self.0.lock().unwrap();
        inner.fault = None;
        inner.fired
    }

    fn fails(&self, call: Call) -> Option<Failing> {
        let mut inner = self.0.lock().unwrap();
        let fault = inner.fault.filter(|fault| fault.call == call)?;
        inner.calls += 1;
        let now = inner.calls == fault.after + 1 || fault.for_ever && inner.calls > fault.after;
        inner.fired |= now;
        now.then_some(fault.failing)
    }

    fn note(&self, op: Op) {
        self.0.lock().unwrap().ops.push(op);
    }
}

/// What a power cut leaves: all that was synced, and of the rest each sector of 512 bytes or not, as it falls. A
/// deletion counts as synced after any later sync.
pub(crate) fn cut(ops: &[Op], random: &mut Random) -> BTreeMap<String, Vec<u8>> {
    const SECTOR: usize = 512;
    let mut synced: Vec<&str> = Vec::new();
    let mut is_durable = vec![true; ops.len()];
    for (index, op) in ops.iter().enumerate().rev() {
        match op {
            Op::Sync { file } => synced.push(file),
            Op::Write { file, .. } | Op::Truncate { file, .. } => is_durable[index] = synced.contains(&file.as_str()),
            Op::Delete { .. } => is_durable[index] = !synced.is_empty(),
            Op::Create { .. } => {}
        }
    }
    let mut files: BTreeMap<String, Vec<u8>> = BTreeMap::new();
    for (op, durable) in ops.iter().zip(is_durable) {
        match op {
            Op::Create { file } => _ = files.entry(file.clone()).or_default(),
            Op::Write { file, at, bytes } => {
                let content = files.entry(file.clone()).or_default();
                for (index, sector) in bytes.chunks(SECTOR).enumerate() {
                    if durable || random.once_in(2) {
                        let at = at + index * SECTOR;
                        content.resize(content.len().max(at + sector.len()), 0);
                        content[at..at + sector.len()].copy_from_slice(sector);
                    }
                }
            }
            Op::Truncate { file, length } if durable || random.once_in(2) => {
                files.entry(file.clone()).or_default().resize(*length, 0);
            }
            Op::Delete { file } if durable || random.once_in(2) => _ = files.remove(file),
            Op::Truncate { .. } | Op::Delete { .. } | Op::Sync { .. } => {}
        }
    }
    files
}

#[repr(C)]
struct File {
    base: ffi::sqlite3_file,
    disk: Option<(Arc<Disk>, String)>,
}

struct Real(*mut ffi::sqlite3_vfs);
// SAFETY: SQLite's own VFS object lives as long as the process and is used from any thread.
unsafe impl Send for Real {}
// SAFETY: as above.
unsafe impl Sync for Real {}
static REAL: OnceLock<Real> = OnceLock::new();

/// Puts the shim before the system's VFS, once.
fn install() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        // SAFETY: the copy of the VFS object is leaked, so it outlives every connection, as does its name.
        unsafe {
            let real = ffi::sqlite3_vfs_find(std::ptr::null());
            REAL.set(Real(real)).ok().unwrap();
            let mut shim = *real;
            shim.pNext = std::ptr::null_mut();
            shim.zName = c"torture".as_ptr();
            shim.szOsFile += c_int::try_from(size_of::<File>()).unwrap();
            shim.xOpen = Some(open);
            shim.xDelete = Some(delete);
            assert_eq!(ffi::sqlite3_vfs_register(Box::leak(Box::new(shim)), 1), ffi::SQLITE_OK);
        }
    });
}

fn disk_of(name: *const c_char) -> Option<(Arc<Disk>, String)> {
    if name.is_null() {
        return None;
    }
    // SAFETY: SQLite hands a terminated name.
    let path = PathBuf::from(unsafe { CStr::from_ptr(name) }.to_str().ok()?);
    let disk = Arc::clone(DISKS.lock().unwrap().get(path.parent()?)?);
    Some((disk, path.file_name()?.to_str()?.to_owned()))
}

unsafe extern "C" fn open(
    _: *mut ffi::sqlite3_vfs,
    name: *const c_char,
    file: *mut ffi::sqlite3_file,
    flags: c_int,
    out: *mut c_int,
) -> c_int {
    let disk = disk_of(name);
    // SAFETY: SQLite gives `szOsFile` bytes at `file`: room for a `File` and the system's own after it.
    unsafe {
        (*file).pMethods = std::ptr::null();
        if let Some((disk, _)) = &disk
            && let Some(failing) = disk.fails(Call::Open)
        {
            return if failing == Failing::Full { ffi::SQLITE_FULL } else { ffi::SQLITE_CANTOPEN };
        }
        let is_new = disk.is_some() && !Path::new(CStr::from_ptr(name).to_str().unwrap_or("")).exists();
        let vfs = REAL.get().map_or(std::ptr::null_mut(), |real| real.0);
        let code = ((*vfs).xOpen.unwrap())(vfs, name, file.byte_add(size_of::<File>()), flags, out);
        if code != ffi::SQLITE_OK {
            return code;
        }
        if let Some((disk, file)) = disk.as_ref().filter(|_| is_new) {
            disk.note(Op::Create { file: file.clone() });
        }
        file.cast::<File>().write(File { base: ffi::sqlite3_file { pMethods: &raw const METHODS }, disk });
        code
    }
}

unsafe extern "C" fn delete(_: *mut ffi::sqlite3_vfs, name: *const c_char, sync_folder: c_int) -> c_int {
    let disk = disk_of(name);
    if let Some((disk, _)) = &disk
        && disk.fails(Call::Delete).is_some()
    {
        return ffi::SQLITE_IOERR_DELETE;
    }
    // SAFETY: forwarded as it came.
    let code = unsafe {
        let vfs = REAL.get().map_or(std::ptr::null_mut(), |real| real.0);
        ((*vfs).xDelete.unwrap())(vfs, name, sync_folder)
    };
    if let Some((disk, file)) = disk.filter(|_| code == ffi::SQLITE_OK) {
        disk.note(Op::Delete { file });
    }
    code
}

/// Calls the same method of the system's own file.
macro_rules! forward {
    ($file:ident, $method:ident $(, $argument:expr)*) => {{
        // SAFETY: `open` put the system's file just behind ours.
        unsafe {
            let real = $file.byte_add(size_of::<File>());
            ((*(*real).pMethods).$method.unwrap())(real $(, $argument)*)
        }
    }};
}

macro_rules! forwarding {
    ($($name:ident, $method:ident ($($argument:ident: $kind:ty),*);)*) => {
        $(unsafe extern "C" fn $name(file: *mut ffi::sqlite3_file $(, $argument: $kind)*) -> c_int {
            forward!(file, $method $(, $argument)*)
        })*
    };
}

forwarding! {
    size, xFileSize(out: *mut i64);
    unlock, xUnlock(level: c_int);
    reserved, xCheckReservedLock(out: *mut c_int);
    control, xFileControl(what: c_int, argument: *mut c_void);
    sector, xSectorSize();
    traits, xDeviceCharacteristics();
    shm_unmap, xShmUnmap(delete: c_int);
}

unsafe extern "C" fn shm_barrier(file: *mut ffi::sqlite3_file) {
    forward!(file, xShmBarrier);
}

fn disk<'a>(file: *mut ffi::sqlite3_file) -> Option<&'a (Arc<Disk>, String)> {
    // SAFETY: every file with these methods was made by `open`.
    unsafe { (*file.cast::<File>()).disk.as_ref() }
}

unsafe extern "C" fn close(file: *mut ffi::sqlite3_file) -> c_int {
    let code = forward!(file, xClose);
    // SAFETY: SQLite calls this once, last.
    unsafe { std::ptr::drop_in_place(&raw mut (*file.cast::<File>()).disk) };
    code
}

unsafe extern "C" fn write(file: *mut ffi::sqlite3_file, from: *const c_void, amount: c_int, at: i64) -> c_int {
    let Some((disk, name)) = disk(file) else { return forward!(file, xWrite, from, amount, at) };
    let failing = disk.fails(Call::Write);
    let kept = match failing {
        None => amount,
        Some(Failing::Short) => amount / 2,
        Some(_) => 0,
    };
    if kept > 0 {
        let code = forward!(file, xWrite, from, kept, at);
        if code != ffi::SQLITE_OK {
            return code;
        }
        // SAFETY: SQLite hands `amount` bytes, and `kept` is no more.
        let bytes = unsafe { std::slice::from_raw_parts(from.cast::<u8>(), usize::try_from(kept).unwrap()) };
        disk.note(Op::Write { file: name.clone(), at: usize::try_from(at).unwrap(), bytes: bytes.to_vec() });
    }
    match failing {
        None => ffi::SQLITE_OK,
        Some(Failing::Full) => ffi::SQLITE_FULL,
        Some(Failing::ReadOnly) => ffi::SQLITE_READONLY,
        Some(Failing::Error | Failing::Short) => ffi::SQLITE_IOERR_WRITE,
    }
}

unsafe extern "C" fn read(file: *mut ffi::sqlite3_file, into: *mut c_void, amount: c_int, at: i64) -> c_int {
    if disk(file).is_some_and(|(disk, _)| disk.fails(Call::Read).is_some()) {
        return ffi::SQLITE_IOERR_READ;
    }
    forward!(file, xRead, into, amount, at)
}

unsafe extern "C" fn lock(file: *mut ffi::sqlite3_file, level: c_int) -> c_int {
    if disk(file).is_some_and(|(disk, _)| disk.fails(Call::Lock).is_some()) {
        return ffi::SQLITE_IOERR_LOCK;
    }
    forward!(file, xLock, level)
}

unsafe extern "C" fn shm_lock(file: *mut ffi::sqlite3_file, offset: c_int, number: c_int, flags: c_int) -> c_int {
    let takes = flags & ffi::SQLITE_SHM_LOCK != 0;
    if takes && disk(file).is_some_and(|(disk, _)| disk.fails(Call::Lock).is_some()) {
        return ffi::SQLITE_IOERR_SHMLOCK;
    }
    forward!(file, xShmLock, offset, number, flags)
}

unsafe extern "C" fn truncate(file: *mut ffi::sqlite3_file, length: i64) -> c_int {
    let Some((disk, name)) = disk(file) else { return forward!(file, xTruncate, length) };
    if disk.fails(Call::Truncate).is_some() {
        return ffi::SQLITE_IOERR_TRUNCATE;
    }
    disk.note(Op::Truncate { file: name.clone(), length: usize::try_from(length).unwrap() });
    forward!(file, xTruncate, length)
}

unsafe extern "C" fn sync(file: *mut ffi::sqlite3_file, flags: c_int) -> c_int {
    let Some((disk, name)) = disk(file) else { return forward!(file, xSync, flags) };
    if disk.fails(Call::Sync).is_some() {
        return ffi::SQLITE_IOERR_FSYNC;
    }
    disk.note(Op::Sync { file: name.clone() });
    // The real disk need not keep up: what is lost is decided from the list of what was done.
    ffi::SQLITE_OK
}

unsafe extern "C" fn shm_map(
    file: *mut ffi::sqlite3_file,
    page: c_int,
    size: c_int,
    extend: c_int,
    out: *mut *mut c_void,
) -> c_int {
    match disk(file).filter(|_| extend != 0).and_then(|(disk, _)| disk.fails(Call::Index)) {
        None => forward!(file, xShmMap, page, size, extend, out),
        Some(Failing::Full) => ffi::SQLITE_IOERR_SHMSIZE,
        Some(Failing::ReadOnly) => ffi::SQLITE_READONLY_CANTINIT,
        Some(Failing::Error | Failing::Short) => ffi::SQLITE_IOERR_SHMMAP,
    }
}

static METHODS: ffi::sqlite3_io_methods = ffi::sqlite3_io_methods {
    iVersion: 2,
    xClose: Some(close),
    xRead: Some(read),
    xWrite: Some(write),
    xTruncate: Some(truncate),
    xSync: Some(sync),
    xFileSize: Some(size),
    xLock: Some(lock),
    xUnlock: Some(unlock),
    xCheckReservedLock: Some(reserved),
    xFileControl: Some(control),
    xSectorSize: Some(sector),
    xDeviceCharacteristics: Some(traits),
    xShmMap: Some(shm_map),
    xShmLock: Some(shm_lock),
    xShmBarrier: Some(shm_barrier),
    xShmUnmap: Some(shm_unmap),
    xFetch: None,
    xUnfetch: None,
};
