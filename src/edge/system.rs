//! What differs between systems: rights, special files, syncing a folder, processes. The only file that asks which.
//!
//! Elsewhere than on Unix a file has no mode and a folder can't be synced; there these do what that system makes of
//! it by itself, and a process is taken as alive for as long as its mark is fresh.

use std::fs::{File, Metadata};
use std::io;
use std::path::Path;

/// What stands at a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(windows, allow(dead_code))] // Windows tells but files and folders
pub enum Sort {
    Regular,
    Folder,
    Pipe,
    /// Takes and gives letters, such as a terminal.
    Letters,
    /// A disk.
    Blocks,
    Socket,
    Other,
}

impl Sort {
    /// With its article.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Regular => "a file",
            Self::Folder => "a folder",
            Self::Pipe => "a pipe",
            Self::Letters => "a device",
            Self::Blocks => "a disk",
            Self::Socket => "a socket",
            Self::Other => "no file",
        }
    }
}

pub use here::{host, is_alive, make_private_folder, open_in_place, sort_of, sync_folder};

#[cfg(unix)]
mod here {
    use std::fs::{DirBuilder, OpenOptions};
    use std::io::IsTerminal;
    use std::os::unix::fs::{DirBuilderExt, FileTypeExt, OpenOptionsExt};

    use rustix::fs::{OFlags, fcntl_getfl, fcntl_setfl};

    use super::{File, Metadata, Path, Sort, io};

    #[must_use]
    pub fn sort_of(about: &Metadata) -> Sort {
        let kind = about.file_type();
        let all = [
            (kind.is_file(), Sort::Regular),
            (kind.is_dir(), Sort::Folder),
            (kind.is_fifo(), Sort::Pipe),
            (kind.is_char_device(), Sort::Letters),
            (kind.is_block_device(), Sort::Blocks),
            (kind.is_socket(), Sort::Socket),
        ];
        all.into_iter().find(|(is, _)| *is).map_or(Sort::Other, |(_, sort)| sort)
    }

    /// Makes a folder and those above it that are missing, for their owner alone.
    pub fn make_private_folder(path: &Path) -> io::Result<()> {
        DirBuilder::new().recursive(true).mode(0o700).create(path)
    }

    pub fn sync_folder(path: &Path) -> io::Result<()> {
        File::open(path)?.sync_all()
    }

    /// Opens a pipe or device to write into it where that is safe: a pipe that somebody reads, a terminal, the
    /// device that swallows everything and the one that is always full.
    ///
    /// Opened without waiting and without becoming the terminal of the process; writing waits again.
    pub fn open_in_place(path: &Path, sort: Sort) -> io::Result<File> {
        let flags = OFlags::NONBLOCK | OFlags::NOCTTY;
        let file = OpenOptions::new().write(true).custom_flags(flags.bits().cast_signed()).open(path);
        let file = file.map_err(|error| match rustix::io::Errno::from_io_error(&error) {
            Some(rustix::io::Errno::NXIO) => io::Error::other("nobody reads from it"),
            _ => error,
        })?;
        let known = [Path::new("/dev/null"), Path::new("/dev/full")];
        let harmless = || std::fs::canonicalize(path).is_ok_and(|full| known.contains(&full.as_path()));
        if !(sort == Sort::Pipe || file.is_terminal() || harmless()) {
            return Err(io::Error::other("it is a device I don't know; name a file"));
        }
        fcntl_setfl(&file, fcntl_getfl(&file)? - OFlags::NONBLOCK)?;
        Ok(file)
    }

    /// Whether a process of this machine runs.
    #[must_use]
    pub fn is_alive(process: u32) -> bool {
        let process = i32::try_from(process).ok().and_then(rustix::process::Pid::from_raw);
        let asked = process.map(rustix::process::test_kill_process);
        // Not allowed to signal it: it is there, and another person's.
        matches!(asked, Some(Ok(()) | Err(rustix::io::Errno::PERM)))
    }

    /// The machine's name, to tell whose process a number is.
    #[must_use]
    pub fn host() -> String {
        rustix::system::uname().nodename().to_string_lossy().into_owned()
    }
}

#[cfg(not(unix))]
mod here {
    use super::{File, Metadata, Path, Sort, io};

    #[must_use]
    pub fn sort_of(about: &Metadata) -> Sort {
        if about.is_file() {
            Sort::Regular
        } else if about.is_dir() {
            Sort::Folder
        } else {
            Sort::Other
        }
    }

    pub fn make_private_folder(path: &Path) -> io::Result<()> {
        std::fs::create_dir_all(path)
    }

    /// A folder can't be opened as a file; the rename itself is as durable as that system makes it.
    pub fn sync_folder(_path: &Path) -> io::Result<()> {
        Ok(())
    }

    pub fn open_in_place(_path: &Path, _sort: Sort) -> io::Result<File> {
        Err(io::Error::other("it is no ordinary file; name a file"))
    }

    #[must_use]
    pub fn is_alive(_process: u32) -> bool {
        true
    }

    #[must_use]
    pub fn host() -> String {
        std::env::var("COMPUTERNAME").unwrap_or_default()
    }
}
