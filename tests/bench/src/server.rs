//! The measured process: filled, started, watched, stopped.
use crate::Failure;
use crate::client::Client;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::{Duration, Instant};
use tokio::process::{Child, Command};

/// A running `findway serve`.
pub struct Server {
    child: Child,
    /// From the start of the process to the first yes of `/readyz`.
    pub ready_after: Duration,
}

/// How somebody signs in.
#[derive(Clone)]
pub struct Account {
    pub email: String,
    pub password: String,
}

/// Makes the database of that many finds in a folder, if it is not there yet; how to sign in as its manager.
pub async fn generate(program: &Path, folder: &Path, finds: usize) -> Result<Account, Failure> {
    let accounts = generate_with(program, folder, finds, 0).await?;
    accounts.into_iter().next().ok_or_else(|| "no account was printed".into())
}

/// The same with so many more conservators: the manager first, they last.
pub async fn generate_with(
    program: &Path,
    folder: &Path,
    finds: usize,
    people: usize,
) -> Result<Vec<Account>, Failure> {
    let told = folder.join("generated.txt");
    if !told.exists() {
        std::fs::create_dir_all(folder)?;
        let out = Command::new(program)
            .args(["generate", "--finds", &finds.to_string(), "--people", &people.to_string(), "--data"])
            .arg(folder)
            .stderr(Stdio::inherit())
            .output()
            .await?;
        if !out.status.success() {
            return Err(format!("generating {finds} finds failed").into());
        }
        std::fs::write(&told, out.stdout)?;
    }
    let lines = std::fs::read_to_string(&told)?;
    println!("{}", lines.lines().next().unwrap_or_default());
    let account = |line: &str| {
        let mut words = line.split_whitespace().rev();
        let (password, email) = (words.next()?, words.next()?);
        Some(Account { email: email.into(), password: password.into() })
    };
    Ok(lines.lines().filter(|line| line.contains("conservator")).filter_map(account).collect())
}

impl Server {
    /// Starts it and waits until it is ready.
    pub async fn start(program: &Path, folder: &Path, address: SocketAddr) -> Result<Server, Failure> {
        let client = Client::new(address)?;
        let begun = Instant::now();
        let child = Command::new(program)
            .args(["serve", "--listen", &address.to_string(), "--data"])
            .arg(folder)
            .env("RUST_LOG", "warn")
            .kill_on_drop(true)
            .spawn()?;
        while begun.elapsed() < Duration::from_secs(30) {
            if client.get("/readyz").await.is_ok_and(|reply| reply.status == 200) {
                return Ok(Server { child, ready_after: begun.elapsed() });
            }
            tokio::time::sleep(Duration::from_millis(2)).await;
        }
        Err("the server was not ready within 30 s".into())
    }

    /// Megabytes in memory: at most so far. Linux only.
    pub fn most_memory_mb(&self) -> Result<f64, Failure> {
        let status = PathBuf::from(format!("/proc/{}/status", self.child.id().unwrap_or_default()));
        let text = std::fs::read_to_string(status)?;
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:")).ok_or("no VmHWM")?;
        let kilobytes: f64 = line.trim().trim_end_matches(" kB").parse()?;
        Ok(kilobytes / 1024.0)
    }

    /// Ends the process.
    pub async fn stop(mut self) -> Result<(), Failure> {
        self.child.kill().await?;
        Ok(())
    }
}
