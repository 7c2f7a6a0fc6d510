//! A file that is there whole or not at all, and never in place of another.

use std::fs::{self, File, OpenOptions};
use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::{Path, PathBuf};

use uuid::Uuid;

/// A file being written. It takes its name only in [`NewFile::finish`]; dropped before, it leaves nothing behind.
#[derive(Debug)]
pub struct NewFile {
    to: PathBuf,
    aside: PathBuf,
    out: BufWriter<File>,
}

impl NewFile {
    /// Begins a file beside the place where it is to be, for its owner alone.
    ///
    /// # Errors
    /// When the name is taken or the folder cannot be written.
    pub fn begin(to: &Path) -> io::Result<Self> {
        if to.symlink_metadata().is_ok() {
            return Err(taken());
        }
        let aside = to.with_extension(format!("{}.part", Uuid::new_v4().simple()));
        let mut options = OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let file = options.open(&aside)?;
        Ok(Self { to: to.to_owned(), aside, out: BufWriter::new(file) })
    }

    /// Brings the content to the disk and gives the file its name.
    ///
    /// # Errors
    /// When the disk fails or is full, or the name was taken meanwhile; the file is not there then.
    pub fn finish(mut self) -> io::Result<()> {
        self.out.flush()?;
        self.out.get_ref().sync_all()?;
        match fs::hard_link(&self.aside, &self.to) {
            Ok(()) => {}
            Err(error) if error.kind() == ErrorKind::AlreadyExists => return Err(taken()),
            // A file system without links: the look and the renaming are two steps here.
            Err(_) if self.to.symlink_metadata().is_err() => fs::rename(&self.aside, &self.to)?,
            Err(_) => return Err(taken()),
        }
        let folder = self.to.parent().filter(|folder| !folder.as_os_str().is_empty());
        // Syncing a folder is not possible everywhere; the content itself is on the disk.
        let _ = File::open(folder.unwrap_or(Path::new("."))).and_then(|folder| folder.sync_all());
        Ok(())
    }
}

fn taken() -> io::Error {
    io::Error::new(ErrorKind::AlreadyExists, "the file is there already")
}

impl Write for NewFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.out.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

impl Drop for NewFile {
    fn drop(&mut self) {
        // After renaming there is nothing to remove.
        let _ = fs::remove_file(&self.aside);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> =
            fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_file_is_there_whole_or_not_at_all() {
        let folder = tempfile::tempdir().unwrap();
        let to = folder.path().join("log.csv");
        let mut file = NewFile::begin(&to).unwrap();
        file.write_all(b"half").unwrap();
        assert!(!to.exists());
        drop(file);
        assert_eq!(names(folder.path()), [""; 0]);
        let mut file = NewFile::begin(&to).unwrap();
        file.write_all(b"whole").unwrap();
        file.finish().unwrap();
        assert_eq!(names(folder.path()), ["log.csv"]);
        assert_eq!(fs::read(&to).unwrap(), b"whole");
    }

    #[test]
    fn another_file_is_never_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let to = folder.path().join("log.csv");
        let mut late = NewFile::begin(&to).unwrap();
        late.write_all(b"late").unwrap();
        fs::write(&to, b"first").unwrap();
        assert_eq!(NewFile::begin(&to).unwrap_err().kind(), ErrorKind::AlreadyExists);
        assert_eq!(late.finish().unwrap_err().kind(), ErrorKind::AlreadyExists);
        assert_eq!(fs::read(&to).unwrap(), b"first");
        assert_eq!(names(folder.path()), ["log.csv"]);
    }
}
