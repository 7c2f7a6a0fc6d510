//! What was left half-entered: one small file for each open screen, beside the journal, until it is logged or dropped.
//!
//! A screen holds the lock of its slot while it lives, and the system gives the lock back however it ends: a draft in a
//! slot that nobody holds was left behind. Nothing here may keep the grower from working, so a disk that fails only
//! means that no draft is kept.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};

use super::copies::beside;
use super::error::DeskError;

/// Screens of one journal that keep a draft at the same time; any more keep none.
const SLOTS: u8 = 8;
/// A draft is some hundred bytes; what is longer is none.
const LARGEST: u64 = 32_000;

/// Where the draft of one screen is kept.
#[derive(Debug)]
pub struct Drafts {
    folder: PathBuf,
    slot: Option<Slot>,
}

/// A slot of ours: its number, and the lock that says so.
#[derive(Debug)]
struct Slot {
    number: u8,
    _lock: File,
}

impl Drafts {
    /// The drafts of a journal.
    #[must_use]
    pub fn of(journal: &Path) -> Self {
        Self { folder: beside(journal, "drafts"), slot: None }
    }

    /// The one that was left behind, if there is one; it is this screen's from now on.
    ///
    /// # Errors
    /// What is no draft. It is dropped.
    pub fn left(&mut self) -> Result<Option<String>, DeskError> {
        let there = (1..=SLOTS).filter(|number| fs::symlink_metadata(self.draft(*number)).is_ok());
        let Some(slot) = there.filter_map(|number| self.claim(number).ok()).next() else { return Ok(None) };
        let path = self.draft(slot.number);
        self.slot = Some(slot);
        let left = read(&path).map_err(|error| DeskError::file(&path, &error));
        if left.is_err() {
            self.drop_it();
        }
        left.map(Some)
    }

    /// Keeps a draft in the place of the one before, synced; says whether that was done. There is nothing to be done
    /// about a full disk here: the next pause tries again.
    pub fn keep(&mut self, text: &str) -> bool {
        self.write(text).is_ok()
    }

    /// Drops the draft: it was logged, or is not wanted.
    pub fn drop_it(&mut self) {
        if let Some(slot) = &self.slot {
            let _ = fs::remove_file(self.draft(slot.number));
        }
    }

    fn write(&mut self, text: &str) -> io::Result<()> {
        if self.slot.is_none() {
            self.make_folder()?;
            // A slot with a draft in it waits to be offered.
            let free = (1..=SLOTS).filter(|number| fs::symlink_metadata(self.draft(*number)).is_err());
            self.slot = free.filter_map(|number| self.claim(number).ok()).next();
        }
        let Some(slot) = &self.slot else { return Ok(()) };
        let aside = self.folder.join(format!("{}.new", slot.number));
        let _ = fs::remove_file(&aside);
        let mut file = for_me_alone(OpenOptions::new().write(true).create_new(true)).open(&aside)?;
        file.write_all(text.as_bytes())?;
        // It is to be there after the battery ran flat, too.
        file.sync_all()?;
        fs::rename(&aside, self.draft(slot.number))?;
        File::open(&self.folder)?.sync_all()
    }

    fn make_folder(&self) -> io::Result<()> {
        let mut builder = fs::DirBuilder::new();
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
        builder.recursive(true).create(&self.folder)
    }

    fn claim(&self, number: u8) -> io::Result<Slot> {
        let path = self.folder.join(format!("{number}.lock"));
        let lock = for_me_alone(OpenOptions::new().write(true).create(true).truncate(false)).open(path)?;
        lock.try_lock().map_err(io::Error::from)?;
        Ok(Slot { number, _lock: lock })
    }

    fn draft(&self, number: u8) -> PathBuf {
        self.folder.join(format!("{number}.draft"))
    }
}

fn for_me_alone(options: &mut OpenOptions) -> &mut OpenOptions {
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(options, 0o600);
    options
}

/// Reads a draft, and nothing that only has its name: no pipe that never ends, no file of another size or kind.
fn read(path: &Path) -> io::Result<String> {
    let none = || io::Error::other("it is no draft, so it was dropped");
    let about = fs::symlink_metadata(path)?;
    if !about.is_file() || about.len() > LARGEST {
        return Err(none());
    }
    let mut text = String::new();
    File::open(path)?.take(LARGEST).read_to_string(&mut text).map_err(|_| none())?;
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn left(journal: &Path) -> (Drafts, Option<Result<String, String>>) {
        let mut drafts = Drafts::of(journal);
        let left = drafts.left().map_err(|error| error.to_string()).transpose();
        (drafts, left)
    }

    #[test]
    fn a_draft_outlives_its_screen_and_is_handed_to_one_other() {
        let folder = tempfile::tempdir().unwrap();
        let journal = folder.path().join("season.db");
        let (mut first, none) = left(&journal);
        assert!(none.is_none() && !folder.path().join("season-drafts").exists(), "nothing is made before it is wanted");
        first.keep("sow leek");
        first.keep("sow leek 'Long Furrow'");
        assert!(left(&journal).1.is_none(), "what another screen is at is its own");
        // A second screen at the same time has its own.
        let (mut second, _) = left(&journal);
        second.keep("count 14");
        drop(first);
        let (third, offered) = left(&journal);
        assert_eq!(offered, Some(Ok("sow leek 'Long Furrow'".to_owned())));
        assert!(left(&journal).1.is_none(), "it is offered once at a time");
        drop((second, third));
        // Kept on offering until it is dropped.
        let (mut fourth, offered) = left(&journal);
        assert_eq!(offered, Some(Ok("sow leek 'Long Furrow'".to_owned())));
        fourth.drop_it();
        drop(fourth);
        assert_eq!(left(&journal).1, Some(Ok("count 14".to_owned())));
        assert!(left(&folder.path().join("other.db")).1.is_none(), "another journal has its own drafts");
    }

    #[test]
    fn what_is_no_draft_is_refused_in_one_line_and_dropped() {
        let folder = tempfile::tempdir().unwrap();
        let journal = folder.path().join("season.db");
        let (mut drafts, _) = left(&journal);
        drafts.keep("x");
        let path = drafts.draft(1);
        drop(drafts);
        let huge = || File::create(&path).unwrap().set_len(100_000_000).unwrap();
        let binary = || fs::write(&path, [0xff, 0xfe, 0, 1]).unwrap();
        let link = || std::os::unix::fs::symlink("/dev/zero", &path).unwrap();
        for put in [&huge as &dyn Fn(), &binary, &link] {
            let _ = fs::remove_file(&path);
            put();
            let (_, refused) = left(&journal);
            let line = refused.unwrap().unwrap_err();
            assert!(line.contains("it is no draft") && !line.contains('\n'), "{line}");
            assert!(fs::symlink_metadata(&path).is_err(), "it is not told of twice");
        }
    }

    #[test]
    fn a_disk_that_cannot_be_written_stops_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let journal = folder.path().join("season.db");
        fs::write(folder.path().join("season-drafts"), "a file where the folder should be").unwrap();
        let (mut drafts, none) = left(&journal);
        assert!(none.is_none());
        assert!(!drafts.keep("count 14"));
        drafts.drop_it();
        // It is kept as soon as it can be.
        fs::remove_file(folder.path().join("season-drafts")).unwrap();
        assert!(drafts.keep("count 14"));
    }

    #[test]
    fn nobody_else_may_read_it() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let (mut drafts, _) = left(&folder.path().join("season.db"));
        drafts.keep("count 14");
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(&drafts.folder), mode(&drafts.draft(1))), (0o700, 0o600));
    }
}
