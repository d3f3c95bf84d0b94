//! The two ways of asking: on a fixed schedule, and as fast as answers come.
use crate::Failure;
use crate::client::Client;
use crate::paths::{Kind, Paths};
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// Requests a second of the open load.
pub const RATE: usize = 40;

/// Where requests go and as whom.
#[derive(Clone)]
pub struct Target {
    pub server: Client,
    pub bare: Client,
}

/// Waiting times of one kind, in ms, ascending.
#[derive(Debug, Clone, Default)]
pub struct Times(Vec<f64>);

impl Times {
    /// Those, in any order.
    pub fn of(ms: Vec<f64>) -> Times {
        let mut times = Times::default();
        times.extend(ms);
        times
    }

    /// The time that `share` of all stayed below; not a number when there is none.
    pub fn share(&self, share: f64) -> f64 {
        let last = self.0.len().saturating_sub(1);
        self.0.get((share * last as f64).ceil() as usize).copied().unwrap_or(f64::NAN)
    }

    fn extend(&mut self, more: Vec<f64>) {
        self.0.extend(more);
        self.0.sort_by(f64::total_cmp);
    }
}

/// Waiting times by kind.
#[derive(Debug, Default)]
pub struct Waits(BTreeMap<Kind, Times>);

impl Waits {
    /// Those of a kind; none at all if it was never asked for.
    pub fn of(&self, kind: Kind) -> Times {
        self.0.get(&kind).cloned().unwrap_or_default()
    }

    /// How many in all.
    pub fn count(&self) -> usize {
        self.0.values().map(|times| times.0.len()).sum()
    }

    /// Adds those of another turn.
    pub fn extend(&mut self, more: Waits) {
        for (kind, times) in more.0 {
            self.0.entry(kind).or_default().extend(times.0);
        }
    }
}

/// Open load: those requests of the mix leave on the schedule whatever the server does, and time counts from the scheduled
/// instant, so a server that falls behind cannot hide it.
pub async fn open_load(target: &Target, paths: &Arc<Paths>, range: Range<usize>) -> Result<Waits, Failure> {
    let (tell, mut told) = tokio::sync::mpsc::unbounded_channel();
    let handle = tokio::runtime::Handle::current();
    let (target, paths) = (target.clone(), paths.clone());
    // A thread of its own: the runtime's timers are too coarse.
    let pacing = std::thread::spawn(move || {
        let start = Instant::now() + Duration::from_millis(100);
        for (nth, request) in range.enumerate() {
            let due = start + Duration::from_secs_f64(nth as f64 / RATE as f64);
            std::thread::sleep(due.saturating_duration_since(Instant::now()));
            let (target, paths, tell) = (target.clone(), paths.clone(), tell.clone());
            handle.spawn(async move {
                let (kind, path) = paths.nth(request);
                let outcome = ask(&target, kind, path).await;
                // Nobody listens any more once the measurement has failed.
                let _ = tell.send(outcome.map(|()| (kind, due.elapsed().as_secs_f64() * 1e3)));
            });
        }
    });
    let mut waits: BTreeMap<Kind, Vec<f64>> = BTreeMap::new();
    while let Some(outcome) = told.recv().await {
        let (kind, ms) = outcome?;
        waits.entry(kind).or_default().push(ms);
    }
    pacing.join().map_err(|_| "the pacing thread broke off")?;
    let mut all = Waits::default();
    for (kind, times) in waits {
        all.0.entry(kind).or_default().extend(times);
    }
    Ok(all)
}

async fn ask(target: &Target, kind: Kind, path: &str) -> Result<(), Failure> {
    let client = if kind.is_bare() { &target.bare } else { &target.server };
    let reply = client.get(path).await?;
    if reply.status != 200 {
        return Err(format!("{path} answers {}", reply.status).into());
    }
    Ok(())
}

/// Closed loop: so many connections, each asking again as soon as it has its answer. Answers a second.
pub async fn saturate(
    target: &Target,
    paths: &Arc<Paths>,
    connections: usize,
    seconds: u64,
) -> Result<f64, Failure> {
    let count = Arc::new(AtomicUsize::new(0));
    let begun = Instant::now();
    let end = begun + Duration::from_secs(seconds);
    let mut tasks = Vec::new();
    for _ in 0..connections {
        let (target, paths, count) = (target.clone(), paths.clone(), count.clone());
        tasks.push(tokio::spawn(async move {
            let mut answered = 0;
            while Instant::now() < end {
                let (kind, path) = paths.nth(count.fetch_add(1, Ordering::Relaxed));
                if !kind.is_bare() {
                    target.server.get(path).await?;
                    answered += 1;
                }
            }
            Ok::<usize, Failure>(answered)
        }));
    }
    let mut answered = 0;
    for task in tasks {
        answered += task.await??;
    }
    Ok(answered as f64 / begun.elapsed().as_secs_f64())
}
