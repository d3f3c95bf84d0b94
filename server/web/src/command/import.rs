//! `findway import`: a register from the command line, with the same checks as on the page, and undone.
use super::{Failure, open};
use clap::Args;
use domain::Instant;
use domain::ids::ProjectId;
use register::check::{DryRun, Severity};
use register::field::{ContextField, FindField, Kind};
use std::path::PathBuf;
use store::Tx;
use store::imports::{self, NewRun, Run};
use web::App;
use web::config::Settings;
use web::registers::plan::{self, Choices};
use web::registers::{Counts, Import, Outcome, apply_contexts, apply_finds, done, take_back};

#[derive(Args)]
pub struct ImportArguments {
    /// finds or contexts
    kind: Kind,
    #[arg(required_unless_present = "undo")]
    file: Option<PathBuf>,
    /// Code of the project
    #[arg(long)]
    project: String,
    /// Tell what would happen, change nothing
    #[arg(long)]
    dry_run: bool,
    /// Undo the latest import of this kind instead, as long as nothing of it was worked on
    #[arg(long, conflicts_with_all = ["file", "dry_run"])]
    undo: bool,
    /// Make contexts that do not exist yet
    #[arg(long)]
    create_contexts: bool,
    /// Make places that do not exist yet
    #[arg(long)]
    create_places: bool,
    #[command(flatten)]
    settings: Settings,
}

/// What is imported, and how.
struct Asked {
    kind: Kind,
    file: PathBuf,
    project: ProjectId,
    dry_run: bool,
    choices: Choices,
    now: Instant,
}

/// Reads, checks, tells every problem and every change, and imports when nothing stops it; or undoes.
pub async fn run(arguments: ImportArguments) -> Result<(), Failure> {
    let app = open(arguments.settings.check()?).await?;
    let now = app.clock.now();
    let mut tx = app.db.write().await?;
    let project = store::projects::find_by_code(&mut tx, &arguments.project).await?;
    let project = project.ok_or_else(|| format!("there is no project {}", arguments.project))?.id;
    let Some(file) = arguments.file else {
        undo(&app, tx, arguments.kind, project).await?;
        app.db.close().await;
        return Ok(());
    };
    let choices = Choices {
        create_contexts: arguments.create_contexts,
        create_places: arguments.create_places,
        ..Choices::default()
    };
    let asked = Asked { kind: arguments.kind, file, project, dry_run: arguments.dry_run, choices, now };
    bring(&app, tx, asked).await?;
    app.db.close().await;
    Ok(())
}

async fn bring(app: &App, mut tx: Tx, asked: Asked) -> Result<(), Failure> {
    let Asked { kind, project, dry_run, choices, now, .. } = &asked;
    let named = |cause| format!("{}: {cause}", asked.file.display());
    let bytes = tokio::fs::read(&asked.file).await.map_err(named)?;
    let known = plan::known(&mut tx, *project).await?;
    let limits = plan::limits(&app.config);
    let today = now.date_naive();
    let (outcome, sound) = match kind {
        Kind::Finds => {
            let remembered = plan::remembered::<FindField>(&mut tx, *project).await?;
            let read = plan::finds(&bytes, choices, &limits, (&known, &remembered), today)?;
            tell(&read.dry);
            let sound = read.dry.may_apply();
            let dry = *dry_run || !sound;
            let import = begin(app, &mut tx, &asked, &bytes, dry).await?;
            (apply_finds(&mut tx, &import, &read.dry, dry).await?, sound)
        }
        Kind::Contexts => {
            let remembered = plan::remembered::<ContextField>(&mut tx, *project).await?;
            let read = plan::contexts(&bytes, choices, &limits, (&known, &remembered), today)?;
            tell(&read.dry);
            let sound = read.dry.may_apply();
            let dry = *dry_run || !sound;
            let import = begin(app, &mut tx, &asked, &bytes, dry).await?;
            (apply_contexts(&mut tx, &import, &read.dry, dry).await?, sound)
        }
    };
    tell_changes(&outcome);
    if *dry_run {
        // Closing waits for every connection that is still out.
        drop(tx);
        report("would be", outcome.counts);
        if !sound {
            return Err("nothing can be imported: mend the rows named above".into());
        }
    } else if sound {
        web::review::settlement_mail::tell_reopened(&app.config, &mut tx, *now).await?;
        tx.commit().await?;
        report("were", outcome.counts);
    } else {
        return Err("nothing was imported: mend the rows named above".into());
    }
    Ok(())
}

/// Keeps the register, so that the import stands among those of the project and can be undone; a dry run keeps nothing.
async fn begin(app: &App, tx: &mut Tx, asked: &Asked, bytes: &[u8], dry: bool) -> Result<Import, Failure> {
    let mut import = Import { project: asked.project, run: None, by: None, now: asked.now };
    if !dry {
        let sha256 = plan::keep(&app.config, bytes).await?;
        let settings = serde_json::to_string(&asked.choices)?;
        let file_name = asked.file.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let new = NewRun { project: asked.project, kind: asked.kind.code(), file_name, sha256, settings };
        import.run = Some(imports::insert(tx, &new, None, asked.now).await?);
    }
    Ok(import)
}

async fn undo(app: &App, mut tx: Tx, kind: Kind, project: ProjectId) -> Result<(), Failure> {
    let now = app.clock.now();
    let runs = imports::list(&mut tx, project).await?;
    let standing =
        |run: &&Run| run.kind == kind.code() && run.applied_at.is_some() && run.undone_at.is_none();
    let run = runs.iter().find(standing).ok_or("there is no import of this kind to undo")?;
    take_back(&mut tx, run, None, now).await??;
    web::review::settlement_mail::tell_reopened(&app.config, &mut tx, now).await?;
    tx.commit().await?;
    println!("{}: {}", run.file_name, done(run));
    Ok(())
}

fn report(verb: &str, counts: Counts) {
    println!(
        "{} {verb} added, {} changed, {} left as they are",
        counts.added, counts.changed, counts.unchanged
    );
}

fn tell<F>(dry: &DryRun<F>) {
    for problem in &dry.problems {
        let row = problem.row.map(|row| format!("row {row}")).unwrap_or_default();
        let column = problem.column.clone().unwrap_or_default();
        let weight = if problem.trouble.severity() == Severity::Stops { "stops" } else { "warns" };
        eprintln!("{weight}: {row} {column}: {} {}", problem.trouble, problem.trouble.remedy());
    }
    eprintln!("{} rows read, {} problems stop, {} warn", dry.read, dry.stops, dry.warnings);
}

fn tell_changes(outcome: &Outcome) {
    for doubt in &outcome.doubts {
        println!("look again: {doubt}");
    }
    for record in &outcome.changes {
        for (field, before, after) in &record.fields {
            println!("{}: {field} from “{before}” to “{after}”", record.number);
        }
        if !record.note.is_empty() {
            println!("{}: {}", record.number, record.note);
        }
    }
}
