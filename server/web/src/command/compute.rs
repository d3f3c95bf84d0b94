//! `findway compute`: the computations, one JSON object a line.
use super::Failure;
use clap::Args;

#[derive(Args)]
pub struct ComputeArguments {
    /// The computation; see --list
    name: Option<String>,
    /// Name every computation
    #[arg(long)]
    list: bool,
}

/// Lists the computations, or reads inputs line by line and writes answers line by line.
pub fn run(arguments: &ComputeArguments) -> Result<(), Failure> {
    if arguments.list {
        for verb in calc::compute::verbs() {
            println!("{}", verb.name);
        }
        return Ok(());
    }
    let name = arguments.name.as_deref().ok_or("name a computation, or ask for --list")?;
    let sound = calc::compute::run_lines(name, std::io::stdin().lock(), std::io::stdout().lock())?;
    if sound { Ok(()) } else { Err("some lines could not be answered; each says why".into()) }
}
