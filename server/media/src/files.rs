//! Where files rest: originals under their checksum, and the prints made from them.
//!
//! ```text
//! originals/ab/cdef…            the bytes as they came, never changed
//! derived/abcdef…/screen.jpg    prints, which can be made again
//! incoming/1234-0               on their way in; left behind only by a crash
//! ```
//! A file is complete under its final name or not there at all, also after a power cut: written under a passing name,
//! synchronised, renamed, and the folder synchronised, before anyone is told that it is stored.

use std::{
    fs, io,
    path::{Path, PathBuf},
    sync::Arc,
    time::SystemTime,
};

use bytes::Bytes;
use sha2::{Digest, Sha256};
use tokio::{io::AsyncReadExt, task::spawn_blocking};

use crate::{
    Checksum, Incoming, MediaError, Variant,
    incoming::{Passing, create_passing},
};

/// Bytes handed on at a time when a file is read.
const CHUNK_BYTES: usize = 64 * 1024;

/// A folder of originals and prints. Cheap to clone.
#[derive(Clone, Debug)]
pub struct FileStore {
    folder: Arc<Path>,
}

/// An original that is safely stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stored {
    pub checksum: Checksum,
    pub size_bytes: u64,
}

/// A stored original, read piece by piece.
#[derive(Debug)]
pub struct Reading {
    file: tokio::fs::File,
    pub size_bytes: u64,
}

impl FileStore {
    /// Uses this folder without looking at it yet; parts that are missing are made when the first file comes in.
    pub fn at(folder: impl Into<PathBuf>) -> Self {
        Self { folder: folder.into().into() }
    }

    /// Uses this folder, making it and its parts where they are missing.
    ///
    /// # Errors
    /// [`MediaError::Unavailable`] or [`MediaError::DiskFull`] if that fails.
    pub async fn open(folder: impl Into<PathBuf>) -> Result<Self, MediaError> {
        let store = Self::at(folder);
        let parts = ["originals", "derived", "incoming"].map(|part| store.folder.join(part));
        blocking(move || Ok(parts.iter().try_for_each(fs::create_dir_all)?)).await?;
        Ok(store)
    }

    /// Whether a file can be written now: writes one and removes it.
    ///
    /// # Errors
    /// The reason why not.
    pub async fn ready(&self) -> Result<(), MediaError> {
        let incoming = self.incoming();
        blocking(move || {
            let (file, _passing) = create_passing(&incoming)?;
            Ok(io::Write::write_all(&mut &file, b"ready")?)
        })
        .await
    }

    /// Begins to take in a file of at most this many bytes.
    ///
    /// # Errors
    /// [`MediaError::Unavailable`] or [`MediaError::DiskFull`].
    pub async fn receive(&self, limit_bytes: u64) -> Result<Incoming, MediaError> {
        Incoming::begin(self.clone(), limit_bytes).await
    }

    /// Stores these bytes as an original, whatever they are; photographs of visitors go through
    /// [`Darkroom::admit`](crate::Darkroom::admit) instead.
    ///
    /// # Errors
    /// [`MediaError::Empty`], [`MediaError::Unavailable`] or [`MediaError::DiskFull`].
    pub async fn put(&self, bytes: &[u8]) -> Result<Stored, MediaError> {
        let mut incoming = self.receive(u64::MAX).await?;
        incoming.write(bytes).await?;
        incoming.seal().await?.keep().await
    }

    /// Whether there is an original of that checksum.
    ///
    /// # Errors
    /// [`MediaError::Unavailable`] if the folder cannot be asked.
    pub async fn exists(&self, checksum: Checksum) -> Result<bool, MediaError> {
        Ok(tokio::fs::try_exists(self.original_path(checksum)).await?)
    }

    /// Opens an original to be read piece by piece.
    ///
    /// # Errors
    /// [`MediaError::Missing`] or [`MediaError::Unavailable`].
    pub async fn read(&self, checksum: Checksum) -> Result<Reading, MediaError> {
        let found = tokio::fs::File::open(self.original_path(checksum)).await;
        let file = found.map_err(|cause| absent_or(cause, checksum))?;
        let size_bytes = file.metadata().await?.len();
        Ok(Reading { file, size_bytes })
    }

    /// Reads an original again and compares it with its checksum.
    ///
    /// # Errors
    /// [`MediaError::Altered`] if it is not what was stored; [`MediaError::Missing`]; [`MediaError::Unavailable`].
    pub async fn verify(&self, checksum: Checksum) -> Result<(), MediaError> {
        let mut reading = self.read(checksum).await?;
        let mut hash = Sha256::new();
        while let Some(chunk) = reading.next_chunk().await? {
            hash.update(&chunk);
        }
        if Checksum::of_digest(hash.finalize()) == checksum {
            Ok(())
        } else {
            Err(MediaError::Altered(checksum))
        }
    }

    /// Stores a print, replacing one that is there.
    ///
    /// # Errors
    /// [`MediaError::Unavailable`] or [`MediaError::DiskFull`].
    pub async fn put_derived(
        &self,
        checksum: Checksum,
        variant: Variant,
        jpeg: Vec<u8>,
    ) -> Result<(), MediaError> {
        let (incoming, path) = (self.incoming(), self.derived_path(checksum, variant));
        blocking(move || {
            let (mut file, passing) = create_passing(&incoming)?;
            io::Write::write_all(&mut file, &jpeg)?;
            file.sync_all()?;
            Ok(settle(passing, &path)?)
        })
        .await
    }

    /// A print, whole: it has at most a few megabytes.
    ///
    /// # Errors
    /// [`MediaError::Missing`] if it has not been made, or [`MediaError::Unavailable`].
    pub async fn derived(&self, checksum: Checksum, variant: Variant) -> Result<Bytes, MediaError> {
        let found = tokio::fs::read(self.derived_path(checksum, variant)).await;
        found.map(Bytes::from).map_err(|cause| absent_or(cause, checksum))
    }

    /// Removes what a crash left on its way in and was last touched before that time; returns how many files.
    /// Younger ones may belong to a running process.
    ///
    /// # Errors
    /// [`MediaError::Unavailable`].
    pub async fn sweep(&self, before: SystemTime) -> Result<usize, MediaError> {
        let incoming = self.incoming();
        blocking(move || {
            let mut removed = 0;
            for entry in fs::read_dir(incoming)? {
                let entry = entry?;
                // a file that has just gone was not left behind
                let Ok(touched_at) = entry.metadata().and_then(|found| found.modified()) else { continue };
                if touched_at < before {
                    fs::remove_file(entry.path())?;
                    removed += 1;
                }
            }
            Ok(removed)
        })
        .await
    }

    pub(crate) fn incoming(&self) -> PathBuf {
        self.folder.join("incoming")
    }

    pub(crate) fn original_path(&self, checksum: Checksum) -> PathBuf {
        let digits = checksum.to_string();
        let (bucket, rest) = digits.split_at(2);
        self.folder.join("originals").join(bucket).join(rest)
    }

    fn derived_path(&self, checksum: Checksum, variant: Variant) -> PathBuf {
        self.folder.join("derived").join(checksum.to_string()).join(format!("{}.jpg", variant.name()))
    }
}

impl Reading {
    /// The next piece, at most 64 KiB; `None` at the end.
    ///
    /// # Errors
    /// [`MediaError::Unavailable`].
    pub async fn next_chunk(&mut self) -> Result<Option<Bytes>, MediaError> {
        let mut chunk = Vec::with_capacity(CHUNK_BYTES);
        let count = (&mut self.file).take(CHUNK_BYTES as u64).read_to_end(&mut chunk).await?;
        Ok((count > 0).then(|| chunk.into()))
    }
}

/// Gives a synchronised file its final name. An equal one that is already there is kept; one of another size is the
/// remainder of some accident and is replaced.
pub(crate) fn settle_original(passing: Passing, path: &Path, size_bytes: u64) -> io::Result<()> {
    let there = fs::metadata(path).is_ok_and(|found| found.len() == size_bytes);
    // the folders are synchronised even then: whoever put it there may not have come so far
    if there { sync_folders(path) } else { settle(passing, path) }
}

fn settle(passing: Passing, path: &Path) -> io::Result<()> {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)?;
    }
    passing.rename(path)?;
    sync_folders(path)
}

/// Makes the name durable: its folder's entry for it, and the entry of that folder, which may be new.
fn sync_folders(path: &Path) -> io::Result<()> {
    path.ancestors().skip(1).take(2).try_for_each(|folder| fs::File::open(folder)?.sync_all())
}

pub(crate) async fn blocking<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, MediaError> + Send + 'static,
) -> Result<T, MediaError> {
    spawn_blocking(work).await.map_err(|cause| MediaError::Unavailable(io::Error::other(cause)))?
}

pub(crate) fn absent_or(cause: io::Error, checksum: Checksum) -> MediaError {
    match cause.kind() {
        io::ErrorKind::NotFound => MediaError::Missing(checksum),
        _ => cause.into(),
    }
}
