//! Large sites: the diagram of three hundred contexts, and one context dated among ten thousand with thirty thousand relations, each
//! beside a route that only sends the same bytes.
//!
//! The second page reads all relations, looks for circles and passes dates through all of them; that its contexts number ten
//! thousand is what the mark is for.
use crate::client::Client;
use crate::form::Form;
use crate::measure::Times;
use crate::server::{self, Server};
use crate::{Failure, bare_route, import};
use std::fmt::Write;
use std::net::SocketAddr;
use std::path::Path;
use std::time::Instant;

/// Project of the generator.
const PROJECT: &str = "LOAD";
const ROUNDS: usize = 40;

/// Contexts, the page asked for, its mark in ms.
const SITES: [(usize, &str, f64); 2] =
    [(300, "diagram of 300 contexts", 200.0), (10_000, "a context among 10,000", 300.0)];

/// Runs the scenario and prints what it found; whether the marks are met.
pub async fn run(program: &Path, folder: &Path, port: u16) -> Result<bool, Failure> {
    let mut met = true;
    for (count, name, mark) in SITES {
        let folder = folder.join(format!("contexts-{count}"));
        if folder.exists() {
            std::fs::remove_dir_all(&folder)?;
        }
        let account = server::generate(program, &folder, 1).await?;
        let file = folder.join("contexts.csv");
        let (register, relations) = register(count);
        std::fs::write(&file, register)?;
        let file = file.display().to_string();
        import::run(program, &folder, &["import", "contexts", &file, "--project", PROJECT]).await?;
        let address = SocketAddr::from(([127, 0, 0, 1], port));
        let server = Server::start(program, &folder, address).await?;
        let client = Client::new(address)?.sign_in(&account.email, &account.password).await?;
        let contexts = context_ids(&client.read(&format!("/projects/{PROJECT}/contexts")).await?);
        for id in contexts.iter().step_by(10) {
            fix_year(&client, id).await?;
        }
        let id = contexts.get(3).ok_or("no context is listed")?;
        let diagram = format!("/projects/{PROJECT}/diagram");
        let path = if count < 1_000 { diagram } else { format!("/contexts/{id}") };
        let page = client.get(&path).await?;
        let bare = Client::new(bare_route(page, client.get(&path).await?).await?)?;
        let (times, idle) = (ask(&client, &path).await?, ask(&bare, "/find").await?);
        let worst = times.share(0.99);
        println!(
            "{name}, {relations} relations: p50 {:.1} ms, p99 {worst:.1} ms (mark {mark:.0}); the same bytes from a bare route p99 \
             {:.1} ms",
            times.share(0.5),
            idle.share(0.99)
        );
        // written so that a time that is not there misses
        met &= worst <= mark;
        server.stop().await?;
    }
    println!("{}", if met { "PASS" } else { "FAIL" });
    Ok(met)
}

async fn ask(client: &Client, path: &str) -> Result<Times, Failure> {
    let mut ms = Vec::new();
    for _ in 0..ROUNDS {
        let begun = Instant::now();
        let reply = client.get(path).await?;
        ms.push(begun.elapsed().as_secs_f64() * 1e3);
        if reply.status != 200 {
            return Err(format!("{path} answers {}", reply.status).into());
        }
    }
    Ok(Times::of(ms))
}

/// A site hut's table: each context over up to three of the next forty, in nine phases; and how many relations it holds.
fn register(count: usize) -> (String, usize) {
    let mut text = String::from("Context;Lies above;Phase\n");
    let mut relations = 0;
    for n in 0..count {
        let below = [1 + n % 3, 7 + n % 11, 20 + n % 19].map(|step| n + step);
        let below: Vec<String> = below.iter().filter(|at| **at < count).map(|at| format!("C{at}")).collect();
        relations += below.len();
        // Writing to a String cannot fail.
        let _ = writeln!(text, "C{n};{};{}, phase", below.join(" "), 9 - n * 9 / count);
    }
    (text, relations)
}

/// The year by which a context was there, to be passed down from it.
async fn fix_year(client: &Client, id: &str) -> Result<(), Failure> {
    let path = format!("/contexts/{id}/fixed-years/new");
    let mut form = Form::read(&client.read(&path).await?, "main form")?;
    form.set("words", "AD 1430");
    form.set("reason", "harbour accounts");
    let reply = client.post(&form.action, &form.fields).await?;
    if reply.status != 303 {
        return Err(format!("{path} answers {}", reply.status).into());
    }
    Ok(())
}

/// Ids of the contexts a page links to.
fn context_ids(page: &str) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    for part in page.split("href=\"/contexts/").skip(1) {
        let id: String = part.chars().take_while(|c| c.is_ascii_hexdigit() || *c == '-').collect();
        if id.len() == 36 && !ids.contains(&id) {
            ids.push(id);
        }
    }
    ids
}
