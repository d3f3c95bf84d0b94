//! `findway`: the command line.
use clap::{Parser, Subcommand};
use std::process::ExitCode;
use web::clock::Clock;
use web::config::Settings;
use web::{App, serve};

mod command;

#[derive(Parser)]
#[command(
    name = "findway",
    version,
    about = "From the ground to the archive: one page and one history for every find"
)]
struct Arguments {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand)]
enum Verb {
    /// Serve for real: brings the database up to date, then listens
    Serve(Settings),
    /// Serve an invented site from a throw-away folder
    Demo(command::demo::DemoArguments),
    /// Compute: one JSON object a line on standard input, one answer a line
    Compute(command::compute::ComputeArguments),
    /// Import a register of finds or contexts
    Import(Box<command::import::ImportArguments>),
    /// Fill the database with an invented project of any size, for load tests
    Generate(Box<command::generate::GenerateArguments>),
    /// Keep accounts
    People(command::people::PeopleArguments),
    /// Not there yet
    #[command(hide = true)]
    Backup(command::NotYet),
    /// Not there yet
    #[command(hide = true)]
    Restore(command::NotYet),
    /// Not there yet
    #[command(hide = true)]
    Check(command::NotYet),
    /// Not there yet
    #[command(hide = true)]
    Report(command::NotYet),
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let runtime = match tokio::runtime::Builder::new_multi_thread().enable_all().build() {
        Ok(runtime) => runtime,
        Err(cause) => {
            eprintln!("findway: the machine gives no threads: {cause}");
            return ExitCode::FAILURE;
        }
    };
    let outcome = runtime.block_on(async {
        match arguments.verb {
            Verb::Serve(settings) => command::serve(settings).await,
            Verb::Demo(arguments) => command::demo::run(arguments).await,
            Verb::Compute(arguments) => command::compute::run(&arguments),
            Verb::Import(arguments) => command::import::run(*arguments).await,
            Verb::Generate(arguments) => command::generate::run(*arguments).await,
            Verb::People(arguments) => command::people::run(arguments).await,
            Verb::Backup(_) => command::not_yet("backup"),
            Verb::Restore(_) => command::not_yet("restore"),
            Verb::Check(_) => command::not_yet("check"),
            Verb::Report(_) => command::not_yet("report"),
        }
    });
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(cause) => {
            eprintln!("findway: {cause}");
            ExitCode::FAILURE
        }
    }
}
