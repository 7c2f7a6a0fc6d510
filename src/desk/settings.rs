//! Where things are kept, and the grower's own figures and settings.

use std::fs;
use std::path::{Path, PathBuf};

use directories::ProjectDirs;
use uuid::Uuid;

use crate::exchange::decoded;
use crate::quantity::DeviceId;
use crate::trade::Trade;

use super::error::DeskError;

/// Name of the file of the grower's own figures in the configuration folder.
const FIGURES: &str = "figures.toml";
/// Name of the file of what the grower says of the site, beside it.
const SETTINGS: &str = "settings.toml";

/// Figures of every crop there is are some 100 kB; this is a guard against the wrong file.
const LONGEST: u64 = 1_000_000;

/// The files and folders that belong to one grower on one machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paths {
    /// The journal, unless another is named.
    pub journal: PathBuf,
    /// The machine's identity, kept outside the journal so that a copied journal does not bring it along.
    pub device: PathBuf,
    /// The grower's own figures.
    pub figures: PathBuf,
    /// What the grower says of the site.
    pub settings: PathBuf,
}

impl Paths {
    /// The usual places, by the system's own conventions.
    ///
    /// # Errors
    /// When the system names no home folder.
    pub fn usual() -> Result<Self, DeskError> {
        let dirs = ProjectDirs::from("", "", "thumbpot").ok_or(DeskError::Nothing(
            "no home folder is set, so there is no usual place: name a file with --journal",
        ))?;
        Ok(Self {
            journal: dirs.data_dir().join("journal.db"),
            device: dirs.data_local_dir().join("device"),
            figures: dirs.config_dir().join(FIGURES),
            settings: dirs.config_dir().join(SETTINGS),
        })
    }

    /// This machine's identity, made and kept the first time.
    ///
    /// # Errors
    /// When the file cannot be read or written.
    pub fn device_id(&self) -> Result<DeviceId, DeskError> {
        match text_of(&self.device)? {
            Some(text) => Uuid::parse_str(text.trim()).map(DeviceId).map_err(|_| DeskError::Content {
                path: self.device.display().to_string(),
                reason: "it does not hold this machine's identity; move it away to get a new one".to_owned(),
            }),
            None => self.new_device_id(),
        }
    }

    fn new_device_id(&self) -> Result<DeviceId, DeskError> {
        let failed = |error: std::io::Error| DeskError::file(&self.device, &error);
        let id = Uuid::new_v4();
        if let Some(folder) = self.device.parent() {
            fs::create_dir_all(folder).map_err(failed)?;
            // Written aside and linked into place: two programs started at once agree on the first one's.
            let aside = folder.join(format!("device-{}", id.simple()));
            fs::write(&aside, format!("{id}\n")).map_err(failed)?;
            let linked = fs::hard_link(&aside, &self.device);
            fs::remove_file(&aside).map_err(failed)?;
            if let Err(error) = linked {
                if error.kind() == std::io::ErrorKind::AlreadyExists {
                    return self.device_id();
                }
                fs::write(&self.device, format!("{id}\n")).map_err(failed)?;
            }
        }
        Ok(DeviceId(id))
    }

    /// The built-in tables with the grower's own figures over them, and what the grower says of the site.
    ///
    /// # Errors
    /// When one of the grower's files cannot be read or one of its settings is wrong.
    pub fn trade(&self) -> Result<Trade, DeskError> {
        let mut trade = Trade::built_in()?;
        if let Some(text) = text_of(&self.figures)? {
            trade = trade.with_overrides(&text, &self.figures.display().to_string())?;
        }
        if let Some(text) = text_of(&self.settings)? {
            trade = trade.with_site(&text, &self.settings.display().to_string())?;
        }
        Ok(trade)
    }

    /// The text of the settings file; empty when there is none.
    ///
    /// # Errors
    /// When it cannot be read.
    pub fn settings_text(&self) -> Result<String, DeskError> {
        Ok(text_of(&self.settings)?.unwrap_or_default())
    }
}

/// What a face wants to know of the environment: variables that are set and not empty.
#[must_use]
pub fn variable(name: &str) -> Option<String> {
    std::env::var_os(name).filter(|value| !value.is_empty()).map(|value| value.to_string_lossy().into_owned())
}

/// The text of a file that need not be there.
fn text_of(path: &Path) -> Result<Option<String>, DeskError> {
    match fs::metadata(path) {
        Ok(_) => read_text(path, LONGEST).map(Some),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(DeskError::file(path, &error)),
    }
}

/// A folder for a journal that is thrown away when it is dropped.
#[derive(Debug)]
pub struct Throwaway(PathBuf);

impl Throwaway {
    /// Makes the folder, for its owner alone.
    ///
    /// # Errors
    /// When it cannot be made.
    pub fn new() -> Result<Self, DeskError> {
        let folder = std::env::temp_dir().join(format!("thumbpot-{}", Uuid::new_v4().simple()));
        let mut builder = fs::DirBuilder::new();
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
        builder.create(&folder).map_err(|error| DeskError::file(&folder, &error))?;
        Ok(Self(folder))
    }

    /// A file in it.
    #[must_use]
    pub fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl Drop for Throwaway {
    fn drop(&mut self) {
        // What cannot be removed now the system removes with its other temporary files.
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn is_pipe(found: &fs::Metadata) -> bool {
    #[cfg(unix)]
    return std::os::unix::fs::FileTypeExt::is_fifo(&found.file_type());
    #[cfg(not(unix))]
    return found.is_dir();
}

/// Reads a text file of at most `most` bytes.
///
/// # Errors
/// When it cannot be read, is longer, or is not text.
pub fn read_text(path: &Path, most: u64) -> Result<String, DeskError> {
    String::from_utf8(read_bytes(path, most)?).map_err(|_| no_text(path, "it is not text in UTF-8"))
}

/// Reads a text file of at most `most` bytes that another program wrote, in whatever encoding.
///
/// # Errors
/// When it cannot be read, is longer, or is not text.
pub(super) fn read_foreign_text(path: &Path, most: u64) -> Result<String, DeskError> {
    decoded(read_bytes(path, most)?).ok_or_else(|| no_text(path, "it is not text"))
}

fn no_text(path: &Path, what: &str) -> DeskError {
    DeskError::Content {
        path: path.display().to_string(),
        reason: format!("{what}: write it anew as a CSV or text file"),
    }
}

fn read_bytes(path: &Path, most: u64) -> Result<Vec<u8>, DeskError> {
    let failed = |error: std::io::Error| DeskError::file(path, &error);
    // A pipe that nobody writes into would be waited for without end; what a shell hands over is written into.
    if is_pipe(&fs::metadata(path).map_err(failed)?) && !path.starts_with("/dev") {
        let reason = "it is a pipe, not a file".to_owned();
        return Err(DeskError::Content { path: path.display().to_string(), reason });
    }
    let file = fs::File::open(path).map_err(failed)?;
    let too_long = || DeskError::Content {
        path: path.display().to_string(),
        reason: format!("it is longer than {} MB", most / 1_000_000),
    };
    if file.metadata().map_err(failed)?.len() > most {
        return Err(too_long());
    }
    let mut bytes = Vec::new();
    let read = std::io::Read::read_to_end(&mut std::io::Read::take(file, most + 1), &mut bytes).map_err(failed)?;
    if read as u64 > most { Err(too_long()) } else { Ok(bytes) }
}
