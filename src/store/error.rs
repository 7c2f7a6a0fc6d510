//! What can go wrong with a journal file, in words that say what to do.

use std::path::PathBuf;

use thiserror::Error;

/// A failure of the journal file or of the disk under it.
#[derive(Debug, Error)]
pub enum StoreError {
    /// The path is a folder.
    #[error("{} is a folder, not a journal", .0.display())]
    Folder(PathBuf),
    /// The file is something else.
    #[error("{} is not a thumbpot journal", .0.display())]
    NotAJournal(PathBuf),
    /// The journal was written by a newer program.
    #[error("{} was written by a newer thumbpot (schema {found}; this one knows {known}); it was not touched", path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its schema.
        found: i64,
        /// The newest schema this program knows.
        known: i64,
    },
    /// The file or its folder cannot be written.
    #[error("{} cannot be written", .0.display())]
    ReadOnly(PathBuf),
    /// The open journal is closed to writing.
    #[error("the journal cannot be written, only looked at; nothing was written")]
    OnlyToRead,
    /// The file cannot be opened at all.
    #[error("{} cannot be opened: {reason}", path.display())]
    CannotOpen {
        /// The file.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// Another program holds the journal.
    #[error("the journal is in use by another program and did not come free in time")]
    Busy,
    /// The disk is full.
    #[error("the disk is full: nothing was written")]
    Full,
    /// Reading or writing failed.
    #[error("the disk failed: {0}; nothing was written")]
    Disk(String),
    /// Syncing failed, and what was written could not be taken back.
    #[error("the disk failed: {0}; look in `history` whether the last act was written")]
    Uncertain(String),
    /// The file is damaged.
    #[error("the journal is damaged: {0}")]
    Damaged(String),
    /// The digest of an act does not match its content.
    #[error("act {act} was altered after it was written")]
    Altered {
        /// The act.
        act: String,
    },
    /// Anything else SQLite says.
    #[error("the journal could not be used: {0}")]
    Sqlite(String),
    /// A copy holds what its acts were not written with.
    #[error("{} is not sound: {about}: {what}", path.display())]
    Unsound {
        /// The copy.
        path: PathBuf,
        /// What was checked.
        about: &'static str,
        /// What was found.
        what: String,
    },
    /// A file beside the journal could not be read or written.
    #[error("{}: {source}", path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// Another file stands where the journal was opened.
    #[error("{} was replaced by another file while it was open, and nothing was written to that; {before}", path.display())]
    Replaced {
        /// Where it was opened.
        path: PathBuf,
        /// What became of what the file before held.
        before: Before,
    },
    /// No file stands where the journal was opened.
    #[error("{} was moved, renamed or removed while it was open, and nothing was written; {before}", path.display())]
    Gone {
        /// Where it was opened.
        path: PathBuf,
        /// What became of what it held.
        before: Before,
    },
    /// Another program still holds the file that stood here before.
    #[error("another program still holds the file that stood at {} before", .0.display())]
    Held(PathBuf),
    /// Another journal has nothing in common with this one.
    #[error("that journal has nothing in common with this one: {acts} acts and {batches} batches of it would come in")]
    Unrelated {
        /// Acts that would come in.
        acts: u64,
        /// Batches that would come in.
        batches: u64,
    },
    /// The schema could not be brought up to date.
    #[error("the journal could not be brought up to date, and was left as it was: {0}")]
    Migration(String),
}

/// What became of what a file held that is not in its place any more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Before {
    /// It is in a file of its own.
    Kept(PathBuf),
    /// The file that stands there now has all of it.
    Contained,
    /// It could not be read to the end.
    Unreadable,
    /// Another file was copied over it.
    WrittenOver,
    /// It was put aside already, or will be at the next act.
    Elsewhere,
}

impl std::fmt::Display for Before {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Kept(file) => write!(f, "what the file before held is kept in {}", file.display()),
            Self::Contained => f.write_str("it has all that the file before held"),
            Self::Unreadable => {
                f.write_str("what the file before held could not be put aside: look for it in the copies")
            }
            Self::WrittenOver => f.write_str("what the file before held was written over: look for it in the copies"),
            Self::Elsewhere => f.write_str("what the file before held is put aside"),
        }
    }
}

impl StoreError {
    /// What the grower can do.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Folder(_) => "name another file with --journal FILE",
            Self::NotAJournal(_) => {
                "name another file with --journal FILE; if this was your journal, `check --salvage NEWFILE` brings out \
                 what can still be read, `restore FILE` brings back a backup"
            }
            Self::Newer { .. } => "install the newer thumbpot, or name another file with --journal FILE",
            Self::ReadOnly(_) => "check who may write the file and its folder",
            Self::OnlyToRead => "check who may write the file and its folder",
            Self::File { source, .. } if matches!(source.kind(), std::io::ErrorKind::AlreadyExists) => {
                "name a file that is not there yet"
            }
            Self::File { source, .. } if matches!(source.kind(), std::io::ErrorKind::StorageFull) => {
                "free some space, then do it again"
            }
            Self::CannotOpen { .. } | Self::File { .. } => "check the path and who may use it",
            Self::Replaced { .. } => {
                "look, then do it again; a file that was kept is brought in by `merge`, and a folder that is synchronised \
                 is best left alone while the journal is open"
            }
            Self::Gone { .. } => "put it back, or leave and name the file with --journal FILE",
            Self::Held(_) => "close that program, then try again",
            Self::Unrelated { .. } => "`merge FILE --yes` brings them in all the same",
            Self::Busy => "close the other program, or try again",
            Self::Full => "free some space, then do it again",
            Self::Disk(_) | Self::Uncertain(_) => "check the disk; `backup` makes a copy while it can still be read",
            Self::Damaged(_) | Self::Altered { .. } => {
                "`check --salvage NEWFILE` brings out what can be read, `restore FILE` brings back a backup"
            }
            Self::Unsound { .. } => "`--journal FILE check --salvage NEWFILE` brings out what can be read of it",
            Self::Sqlite(_) | Self::Migration(_) => "`check` says more",
        }
    }
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        // No room for the index of the log is how a full disk shows first.
        if error.sqlite_error().is_some_and(|error| error.extended_code == rusqlite::ffi::SQLITE_IOERR_SHMSIZE) {
            return Self::Full;
        }
        // SQLite quotes what stands in the file, which may be anything.
        let message = crate::quantity::message_shown(&error.to_string());
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::SystemIoFailure | ErrorCode::CannotOpen) => Self::Disk(message),
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::Damaged(message),
            Some(ErrorCode::ReadOnly) => Self::OnlyToRead,
            _ => Self::Sqlite(message),
        }
    }
}
