//! Open-load measurement of a release `findway serve` on loopback, at two sizes of database, beside a bare route.
//!
//! `load PROGRAM FOLDER [SECONDS [PORT [SCENARIO]]]`, a scenario being `pages`, `steps`, `contexts` or nothing for all; see `tests/bench/run.sh`.
mod client;
mod contexts;
mod form;
mod import;
mod machine;
mod measure;
mod paths;
mod server;
mod steps;
mod upload;
mod verdict;

use axum::Router;
use axum::http::header;
use axum::routing::get;
use client::{Client, Reply};
use measure::{Target, Waits};
use paths::{Kind, Paths};
use server::Server;
use std::net::SocketAddr;
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;
use upload::Uploads;
use verdict::Figures;

/// A failure with the sentence that is printed.
pub type Failure = Box<dyn std::error::Error + Send + Sync>;

/// The two sizes compared, in finds.
const SIZES: [usize; 2] = [20_000, 200_000];
/// How long each size is measured unless told otherwise: a thousand requests of the rarest kind, so that ten of them lie above
/// its 99th percentile.
const SECONDS: usize = 500;
/// Seconds until it is the other size's turn: whatever else the machine does meets both alike.
const TURN: usize = 2;
/// Seconds of arithmetic that nobody disturbs but the machine.
const ALONE: usize = 10;

#[tokio::main]
async fn main() -> ExitCode {
    match run().await {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(cause) => {
            eprintln!("load: {cause}");
            ExitCode::FAILURE
        }
    }
}

async fn run() -> Result<bool, Failure> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [program, folder, rest @ ..] = words.as_slice() else {
        return Err("usage: load PROGRAM FOLDER [SECONDS [PORT [SCENARIO]]]".into());
    };
    let seconds: usize = rest.first().map_or(Ok(SECONDS), |s| s.parse())?;
    let port: u16 = rest.get(1).map_or(Ok(8250), |p| p.parse())?;
    let (program, folder) = (Path::new(program), Path::new(folder));
    match rest.get(2).map_or("", String::as_str) {
        "" => {
            let pages = pages(program, folder, seconds, port).await?;
            let steps = steps::run(program, folder, seconds, port).await?;
            Ok(contexts::run(program, folder, port).await? && steps && pages)
        }
        "pages" => pages(program, folder, seconds, port).await,
        "steps" => steps::run(program, folder, seconds, port).await,
        "contexts" => contexts::run(program, folder, port).await,
        other => Err(format!("there is no scenario {other}: pages, steps, contexts").into()),
    }
}

/// Pages asked for at a fixed rate, on two sizes of database.
async fn pages(program: &Path, folder: &Path, seconds: usize, port: u16) -> Result<bool, Failure> {
    let mut sites = Vec::new();
    for (finds, port) in SIZES.into_iter().zip(port..) {
        sites.push(Site::start(program, &folder.join(finds.to_string()), finds, port).await?);
    }
    println!(
        "open load: {} requests a second for {seconds} s on each, in turns of {TURN} s …",
        measure::RATE
    );
    for turn in 0..seconds.div_ceil(TURN) {
        for site in &mut sites {
            let range = turn * TURN * measure::RATE..(turn + 1) * TURN * measure::RATE;
            site.times.extend(measure::open_load(&site.target, &site.paths, range).await?);
        }
    }
    let alone = tokio::task::spawn_blocking(|| machine::steadiness(ALONE)).await?;
    let mut figures = Vec::new();
    for site in sites {
        figures.push(site.end(seconds).await?);
    }
    let import = import::measure(program, folder).await?;
    Ok(verdict::print(&figures[0], &figures[1], &alone, import))
}

/// One database with its running server and what was measured on it.
struct Site {
    finds: usize,
    server: Server,
    client: Client,
    target: Target,
    paths: Arc<Paths>,
    largest: usize,
    times: Waits,
}

impl Site {
    async fn start(program: &Path, folder: &Path, finds: usize, port: u16) -> Result<Site, Failure> {
        let account = server::generate(program, folder, finds).await?;
        let address = SocketAddr::from(([127, 0, 0, 1], port));
        let server = Server::start(program, folder, address).await?;
        let client = Client::new(address)?.sign_in(&account.email, &account.password).await?;
        let paths = Arc::new(Paths::collect(&client, finds).await?);
        let largest = largest_page(&client, &paths).await?;
        let (find, list) =
            (client.get(&paths.of(Kind::Find)[0]).await?, client.get(&paths.of(Kind::List)[0]).await?);
        let target = Target { server: client.clone(), bare: Client::new(bare_route(find, list).await?)? };
        Ok(Site { finds, server, client, target, paths, largest, times: Waits::default() })
    }

    /// What may disturb the other site comes last: as fast as it goes, and photographs going up.
    async fn end(self, seconds: usize) -> Result<Figures, Failure> {
        let saturation = measure::saturate(&self.target, &self.paths, 8, 10).await?;
        let memory_mb = self.server.most_memory_mb()?;
        let uploads = Uploads::begin(self.client, self.paths.of(Kind::Find)[1].clone());
        let beside =
            measure::open_load(&self.target, &self.paths, 0..seconds.min(20) * measure::RATE).await?;
        let uploaded = uploads.end().await?;
        let figures = Figures {
            finds: self.finds,
            times: self.times,
            beside_uploads: beside,
            uploaded,
            saturation,
            memory_mb: (memory_mb, self.server.most_memory_mb()?),
            ready_ms: self.server.ready_after.as_secs_f64() * 1e3,
            largest_kb: self.largest as f64 / 1e3,
        };
        self.server.stop().await?;
        Ok(figures)
    }
}

/// Bytes of the largest page as it crosses the wire, of the first pages of each kind.
async fn largest_page(client: &Client, paths: &Paths) -> Result<usize, Failure> {
    let mut largest = 0;
    for kind in Kind::all().filter(|kind| !kind.is_bare()) {
        for path in paths.of(kind).iter().take(20) {
            let reply = client.get(path).await?;
            if reply.status != 200 {
                return Err(format!("{path} answers {}", reply.status).into());
            }
            largest = largest.max(reply.body.len());
        }
    }
    Ok(largest)
}

/// A route that only sends bytes it has at hand: the floor under every figure.
async fn bare_route(find: Reply, list: Reply) -> Result<SocketAddr, Failure> {
    let find_bytes = axum::body::Bytes::from(find.body);
    let list_bytes = axum::body::Bytes::from(list.body);
    let app = Router::new().route("/find", serve_bytes(find_bytes)).route("/list", serve_bytes(list_bytes));
    let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await?;
    let address = listener.local_addr()?;
    tokio::spawn(async move { axum::serve(listener, app).await });
    Ok(address)
}

fn serve_bytes(bytes: axum::body::Bytes) -> axum::routing::MethodRouter {
    get(async move || {
        ([(header::CONTENT_TYPE, "text/html; charset=utf-8"), (header::CONTENT_ENCODING, "gzip")], bytes)
    })
}
