//! A file on its way in. Bytes go to disk as they arrive; none but the current piece is held in memory.

use std::{
    fs, io,
    path::{Path, PathBuf},
    process,
    sync::atomic::{AtomicU64, Ordering},
};

use sha2::{Digest, Sha256};
use tokio::io::AsyncWriteExt;

use crate::{
    Checksum, FileStore, MediaError, Stored,
    files::{blocking, settle_original},
};

/// A file being received. Dropped before it is sealed and kept, it leaves nothing behind.
pub struct Incoming {
    store: FileStore,
    file: tokio::fs::File,
    passing: Passing,
    hash: Sha256,
    size_bytes: u64,
    limit_bytes: u64,
}

/// A file that has arrived whole and rests on disk under a passing name, to be looked at before it is kept.
pub struct Arrived {
    store: FileStore,
    passing: Passing,
    pub checksum: Checksum,
    pub size_bytes: u64,
}

impl Incoming {
    pub(crate) async fn begin(store: FileStore, limit_bytes: u64) -> Result<Self, MediaError> {
        let folder = store.incoming();
        let (file, passing) = blocking(move || Ok(create_passing(&folder)?)).await?;
        let file = tokio::fs::File::from_std(file);
        Ok(Self { store, file, passing, hash: Sha256::new(), size_bytes: 0, limit_bytes })
    }

    /// Takes the next piece.
    ///
    /// # Errors
    /// [`MediaError::TooLarge`] once the limit is passed; [`MediaError::DiskFull`] or [`MediaError::Unavailable`].
    pub async fn write(&mut self, chunk: &[u8]) -> Result<(), MediaError> {
        self.size_bytes = self.size_bytes.saturating_add(chunk.len() as u64);
        if self.size_bytes > self.limit_bytes {
            return Err(MediaError::TooLarge { limit_bytes: self.limit_bytes });
        }
        self.hash.update(chunk);
        Ok(self.file.write_all(chunk).await?)
    }

    /// Ends the file and makes its bytes durable. It is not yet under its final name.
    ///
    /// # Errors
    /// [`MediaError::Empty`] if nothing arrived; [`MediaError::DiskFull`] or [`MediaError::Unavailable`].
    pub async fn seal(mut self) -> Result<Arrived, MediaError> {
        if self.size_bytes == 0 {
            return Err(MediaError::Empty);
        }
        self.file.flush().await?;
        self.file.sync_all().await?;
        Ok(Arrived {
            store: self.store,
            passing: self.passing,
            checksum: Checksum::of_digest(self.hash.finalize()),
            size_bytes: self.size_bytes,
        })
    }
}

impl Arrived {
    /// Where the bytes are now.
    pub(crate) fn path(&self) -> &Path {
        &self.passing.0
    }

    /// Gives the file its final name, and returns once that is durable. The same bytes twice are one original.
    ///
    /// # Errors
    /// [`MediaError::DiskFull`] or [`MediaError::Unavailable`].
    pub async fn keep(self) -> Result<Stored, MediaError> {
        let Self { store, passing, checksum, size_bytes } = self;
        let path = store.original_path(checksum);
        blocking(move || Ok(settle_original(passing, &path, size_bytes)?)).await?;
        Ok(Stored { checksum, size_bytes })
    }
}

/// A file under a passing name, removed when dropped unless it was renamed.
pub(crate) struct Passing(PathBuf);

impl Passing {
    pub fn rename(self, path: &Path) -> io::Result<()> {
        // dropped afterwards, when the passing name is gone and there is nothing to remove
        fs::rename(&self.0, path)
    }
}

impl Drop for Passing {
    fn drop(&mut self) {
        if let Err(cause) = fs::remove_file(&self.0)
            && cause.kind() != io::ErrorKind::NotFound
        {
            tracing::warn!(%cause, path = %self.0.display(), "a passing file was left behind");
        }
    }
}

/// Opens a new file under a name that no other has. A process number can come again after a crash, together with the
/// files left under it, so a taken name is passed over.
pub(crate) fn create_passing(folder: &Path) -> io::Result<(fs::File, Passing)> {
    static NEXT: AtomicU64 = AtomicU64::new(0);
    loop {
        let path = folder.join(format!("{}-{}", process::id(), NEXT.fetch_add(1, Ordering::Relaxed)));
        match fs::File::create_new(&path) {
            Ok(file) => return Ok((file, Passing(path))),
            Err(cause) if cause.kind() == io::ErrorKind::AlreadyExists => continue,
            Err(cause) if cause.kind() == io::ErrorKind::NotFound && !folder.exists() => create_part(folder)?,
            Err(cause) => return Err(cause),
        }
    }
}

/// Makes a part of the store. The store's own folder must be there: when a disk is not mounted, nothing may be written
/// beneath the place where it belongs.
fn create_part(folder: &Path) -> io::Result<()> {
    match fs::create_dir(folder) {
        Err(cause) if cause.kind() != io::ErrorKind::AlreadyExists => Err(cause),
        _ => Ok(()),
    }
}
