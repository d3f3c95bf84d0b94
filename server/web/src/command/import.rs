//! `findway import`: a register from the command line, with the same checks as on the page.
use super::{Failure, open};
use clap::Args;
use register::check::{DryRun, Severity};
use register::field::{ContextField, FindField, Kind};
use std::path::PathBuf;
use web::config::Settings;
use web::registers::plan::{self, Choices};
use web::registers::{Counts, Import, apply_contexts, apply_finds};

#[derive(Args)]
pub struct ImportArguments {
    /// finds or contexts
    kind: Kind,
    file: PathBuf,
    /// Code of the project
    #[arg(long)]
    project: String,
    /// Tell what would happen, change nothing
    #[arg(long)]
    dry_run: bool,
    /// Make contexts that do not exist yet
    #[arg(long)]
    create_contexts: bool,
    /// Make places that do not exist yet
    #[arg(long)]
    create_places: bool,
    #[command(flatten)]
    settings: Settings,
}

/// Reads, checks, tells every problem, and imports when nothing stops it.
pub async fn run(arguments: ImportArguments) -> Result<(), Failure> {
    let app = open(arguments.settings.check()?).await?;
    let bytes = tokio::fs::read(&arguments.file).await?;
    let now = app.clock.now();
    let mut tx = app.db.write().await?;
    let project = store::projects::find_by_code(&mut tx, &arguments.project).await?;
    let project = project.ok_or_else(|| format!("there is no project {}", arguments.project))?.id;
    let known = plan::known(&mut tx, project).await?;
    let choices = Choices {
        create_contexts: arguments.create_contexts,
        create_places: arguments.create_places,
        ..Choices::default()
    };
    let limits = plan::limits(&app.config);
    let import = Import { project, run: None, by: None, now };
    let (counts, sound) = match arguments.kind {
        Kind::Finds => {
            let remembered = plan::remembered::<FindField>(&mut tx, project).await?;
            let read = plan::finds(&bytes, &choices, &limits, (&known, &remembered), now.date_naive())?;
            tell(&read.dry);
            let dry = arguments.dry_run || !read.dry.may_apply();
            (apply_finds(&mut tx, &import, &read.dry, dry).await?, read.dry.may_apply())
        }
        Kind::Contexts => {
            let remembered = plan::remembered::<ContextField>(&mut tx, project).await?;
            let read = plan::contexts(&bytes, &choices, &limits, (&known, &remembered), now.date_naive())?;
            tell(&read.dry);
            let dry = arguments.dry_run || !read.dry.may_apply();
            (apply_contexts(&mut tx, &import, &read.dry, dry).await?, read.dry.may_apply())
        }
    };
    if arguments.dry_run {
        // Closing waits for every connection that is still out.
        drop(tx);
        report("would be", counts);
    } else if sound {
        web::review::settlement_mail::tell_reopened(&app.config, &mut tx, now).await?;
        tx.commit().await?;
        report("were", counts);
    } else {
        return Err("nothing was imported: mend the rows named above".into());
    }
    app.db.close().await;
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
