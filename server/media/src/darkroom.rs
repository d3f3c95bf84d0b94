//! One picture at a time: opening pictures takes memory and processor, so it waits its turn and runs off the threads
//! that answer requests. Always on the same thread: the system's allocator keeps what a thread once used for that
//! thread, so memory stays at what one picture needs.

use std::{
    fs, io,
    panic::{AssertUnwindSafe, catch_unwind},
    path::PathBuf,
    sync::mpsc,
    thread,
};

use tokio::sync::oneshot;

use crate::{Arrived, Checksum, FileStore, Inspection, MediaError, Print, Stripped, files::absent_or};

type Work = Box<dyn FnOnce() + Send>;

/// Where pictures are opened. Cheap to clone; all clones share the one thread, which ends with the last of them.
#[derive(Clone, Debug)]
pub struct Darkroom {
    waiting: mpsc::Sender<Work>,
}

/// A photograph that was opened, developed and stored, original and prints.
#[derive(Clone, Debug)]
pub struct Photograph {
    pub checksum: Checksum,
    pub size_bytes: u64,
    pub inspection: Inspection,
}

impl Darkroom {
    /// A darkroom with its thread. One picture may take over 1 GB.
    ///
    /// # Panics
    /// When the system gives no thread.
    pub fn open() -> Self {
        let (waiting, turns) = mpsc::channel::<Work>();
        thread::spawn(move || turns.into_iter().for_each(|work| work()));
        Self { waiting }
    }

    /// Inspects and develops an arrived file, then stores it and its prints. A file that cannot be opened leaves
    /// nothing behind. When this returns, all is durable and the caller may commit its row.
    ///
    /// # Errors
    /// Every [`MediaError`] that refuses a picture, and those of the store.
    pub async fn admit(&self, store: &FileStore, arrived: Arrived) -> Result<Photograph, MediaError> {
        let path = arrived.path().to_owned();
        let (arrived, inspection, prints) = self
            .turn(move || {
                let file = fs::read(path)?;
                let inspection = crate::inspect(&file)?;
                let prints = crate::develop(&file, &inspection)?;
                // moved along so that the file outlives this work even if the request is abandoned
                Ok((arrived, inspection, prints))
            })
            .await?;
        let stored = arrived.keep().await?;
        put_prints(store, stored.checksum, prints).await?;
        Ok(Photograph { checksum: stored.checksum, size_bytes: stored.size_bytes, inspection })
    }

    /// Makes the prints of a stored original anew.
    ///
    /// # Errors
    /// [`MediaError::Missing`], and what refuses a picture.
    pub async fn develop(&self, store: &FileStore, checksum: Checksum) -> Result<(), MediaError> {
        let path = store.original_path(checksum);
        let prints = self
            .turn(move || {
                let file = read_original(path, checksum)?;
                crate::develop(&file, &crate::inspect(&file)?)
            })
            .await?;
        put_prints(store, checksum, prints).await
    }

    /// A copy of a stored original without metadata but colour profile and credit; see [`crate::strip`].
    ///
    /// # Errors
    /// [`MediaError::Missing`], and what refuses a picture.
    pub async fn strip(
        &self,
        store: &FileStore,
        checksum: Checksum,
        credit: &str,
    ) -> Result<Stripped, MediaError> {
        let (path, credit) = (store.original_path(checksum), credit.to_owned());
        self.turn(move || crate::strip(&read_original(path, checksum)?, &credit)).await
    }

    /// Waits for a turn and works off the request threads. The turn lasts as long as the work, even when the request
    /// that asked for it is gone.
    async fn turn<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> Result<T, MediaError> + Send + 'static,
    ) -> Result<T, MediaError> {
        let (tell, told) = oneshot::channel();
        let job = Box::new(move || {
            // a decoder that gives up on a malformed file by panicking must not take the darkroom along
            let result = catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
                tracing::error!("a picture could not be worked on");
                Err(MediaError::Damaged)
            });
            // nobody waits any more when the request is gone
            let _ = tell.send(result);
        });
        self.waiting.send(job).map_err(|_| io::Error::other("the darkroom is closed"))?;
        told.await.map_err(io::Error::other)?
    }
}

async fn put_prints(store: &FileStore, checksum: Checksum, prints: Vec<Print>) -> Result<(), MediaError> {
    for print in prints {
        store.put_derived(checksum, print.variant, print.jpeg).await?;
    }
    Ok(())
}

fn read_original(path: PathBuf, checksum: Checksum) -> Result<Vec<u8>, MediaError> {
    fs::read(path).map_err(|cause| absent_or(cause, checksum))
}
