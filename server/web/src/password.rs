//! Password hashing: argon2id, at most two at a time.
use argon2::password_hash::phc::PasswordHash;
use argon2::{Algorithm, Argon2, Params, PasswordHasher, PasswordVerifier, Version};
use std::sync::{Arc, LazyLock};
use tokio::sync::Semaphore;

/// Hashes at work at the same time.
const AT_ONCE: usize = 2;
/// 19 MiB, two passes, one lane: the smallest OWASP recommends for argon2id (Password Storage Cheat Sheet).
static PARAMS: LazyLock<Params> =
    LazyLock::new(|| Params::new(19 * 1024, 2, 1, None).expect("the parameters are within argon2's limits"));
/// Compared with when nobody has the address, so that the answer takes as long.
static NOBODY: LazyLock<String> = LazyLock::new(|| hash_now("nobody has this password").unwrap_or_default());

/// The hashing bench.
#[derive(Clone)]
pub struct Passwords(Arc<Semaphore>);

/// Hashing failed: no memory, or the bench was closed.
#[derive(Debug, thiserror::Error)]
#[error("the password could not be hashed: {0}")]
pub struct HashError(String);

impl Passwords {
    pub(crate) fn new() -> Self {
        Self(Arc::new(Semaphore::new(AT_ONCE)))
    }

    /// The hash of a new password.
    pub async fn hash(&self, password: String) -> Result<String, HashError> {
        self.work(move || hash_now(&password)).await?
    }

    /// Whether the password fits; without a hash it takes as long and says no.
    pub async fn verify(&self, password: String, hash: Option<String>) -> Result<bool, HashError> {
        self.work(move || {
            let known = hash.is_some();
            let hash = hash.unwrap_or_else(|| NOBODY.clone());
            let fits = PasswordHash::new(&hash)
                .is_ok_and(|h| argon().verify_password(password.as_bytes(), &h).is_ok());
            known && fits
        })
        .await
    }

    async fn work<T: Send + 'static>(
        &self,
        job: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, HashError> {
        let _turn = self.0.acquire().await.map_err(|cause| HashError(cause.to_string()))?;
        tokio::task::spawn_blocking(job).await.map_err(|cause| HashError(cause.to_string()))
    }
}

fn argon() -> Argon2<'static> {
    Argon2::new(Algorithm::Argon2id, Version::V0x13, PARAMS.clone())
}

fn hash_now(password: &str) -> Result<String, HashError> {
    let hash = argon().hash_password(password.as_bytes()).map_err(|cause| HashError(cause.to_string()))?;
    Ok(hash.to_string())
}
