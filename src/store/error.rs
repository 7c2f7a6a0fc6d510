//! What can go wrong with a journal file, in words that say what to do.

use std::path::PathBuf;

use thiserror::Error;

use super::merge::Kinship;

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
    /// A journal that has nothing in common with this one.
    #[error("this journal has no act, machine or place in common with it: {0}")]
    Stranger(Box<Kinship>),
    /// Anything else SQLite says.
    #[error("the journal could not be used: {0}")]
    Sqlite(String),
    /// A file beside the journal could not be read or written.
    #[error("{}: {source}", path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// The schema could not be brought up to date.
    #[error("the journal could not be brought up to date, and was left as it was: {0}")]
    Migration(String),
}

impl StoreError {
    /// What the grower can do.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Folder(_) => "name another file with --journal FILE",
            Self::NotAJournal(_) => {
                "name another file with --journal FILE; if this was your journal, `check --salvage NEWFILE` brings out \
                 what can still be read"
            }
            Self::Newer { .. } => "install the newer thumbpot, or name another file with --journal FILE",
            Self::ReadOnly(_) => "check who may write the file and its folder",
            Self::CannotOpen { .. } | Self::File { .. } => "check the path and who may use it",
            Self::Busy => "close the other program, or try again",
            Self::Full => "free some space, then do it again",
            Self::Disk(_) | Self::Uncertain(_) => "check the disk; `backup` makes a copy while it can still be read",
            Self::Damaged(_) | Self::Altered { .. } => {
                "`check --salvage NEWFILE` brings out what can be read, `restore FILE` brings back a backup"
            }
            Self::Stranger(_) => "if both are yours, `merge FILE --unrelated` brings it in",
            Self::Sqlite(_) | Self::Migration(_) => "`check` says more",
        }
    }
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        // SQLite quotes what stands in the file, which may be anything.
        let message = crate::quantity::message_shown(&error.to_string());
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::SystemIoFailure | ErrorCode::CannotOpen) => Self::Disk(message),
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::Damaged(message),
            Some(ErrorCode::ReadOnly) => Self::Disk("the journal cannot be written".to_owned()),
            _ => Self::Sqlite(message),
        }
    }
}
