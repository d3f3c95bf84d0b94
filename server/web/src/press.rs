//! The printing press: documents are set one at a time, apart from the threads that answer requests.
use crate::error::AppError;
use std::sync::Arc;
use tokio::sync::Semaphore;

/// Sets documents one at a time.
#[derive(Clone)]
pub struct Press(Arc<Semaphore>);

impl Press {
    pub(crate) fn new() -> Self {
        Self(Arc::new(Semaphore::new(1)))
    }

    /// Waits for the press and runs the job on a thread of its own.
    pub async fn print<T, E>(
        &self,
        job: impl FnOnce() -> Result<T, E> + Send + 'static,
    ) -> Result<T, AppError>
    where
        T: Send + 'static,
        E: std::fmt::Display + Send + 'static,
    {
        self.run(job).await?.map_err(AppError::inside)
    }

    /// Waits for the press and runs a long computation on a thread of its own.
    pub async fn run<T: Send + 'static>(
        &self,
        job: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, AppError> {
        let _turn = self.0.acquire().await.map_err(AppError::inside)?;
        tokio::task::spawn_blocking(job).await.map_err(AppError::inside)
    }
}
