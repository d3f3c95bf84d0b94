//! How long a register of a hundred thousand finds takes to go in: the program, the file, every check, one transaction on disk.
use crate::Failure;
use std::fmt::Write;
use std::path::Path;
use std::time::{Duration, Instant};
use tokio::process::Command;

/// Finds of the register.
pub const FINDS: usize = 100_000;

/// Imports them into a project of its own; the time the program runs, start to end.
pub async fn measure(program: &Path, folder: &Path) -> Result<Duration, Failure> {
    let folder = folder.join("import");
    if folder.exists() {
        std::fs::remove_dir_all(&folder)?;
    }
    std::fs::create_dir_all(&folder)?;
    let file = folder.join("register.csv");
    std::fs::write(&file, register())?;
    run(program, &folder, &["generate", "--finds", "1", "--project", "IMPORT"]).await?;
    let begun = Instant::now();
    let file = file.display().to_string();
    run(program, &folder, &["import", "finds", &file, "--project", "IMPORT", "--create-contexts"]).await?;
    let took = begun.elapsed();
    std::fs::remove_dir_all(&folder)?;
    Ok(took)
}

/// Runs a verb of the program on a folder of its own.
pub async fn run(program: &Path, folder: &Path, words: &[&str]) -> Result<(), Failure> {
    let out = Command::new(program).args(words).arg("--data").arg(folder).output().await?;
    if !out.status.success() {
        return Err(format!("{} failed: {}", words[0], String::from_utf8_lossy(&out.stderr)).into());
    }
    Ok(())
}

/// A register as a site hut keeps it: semicolons, decimal commas, days first, a title line above the header.
fn register() -> String {
    let mut text = String::from(
        "Finds register\nFind no;Context;Material;Object;Description;Quantity;Weight g;Date;Found by\n",
    );
    let materials = ["ceramic", "iron", "glass", "animal bone", "leather"];
    let objects = ["rim sherd", "nail", "window pane", "long bone", "offcut"];
    for number in 2..=FINDS + 1 {
        let nth = number % materials.len();
        let (context, colour) = (number / 40 + 1, ["grey", "bent", "green"][number % 3]);
        // Writing to a String cannot fail.
        let _ = writeln!(
            text,
            "{number};{context};{};{};{colour} piece from square {};1;{},{};{:02}.05.2026;R. Ostley",
            materials[nth],
            objects[nth],
            number % 977,
            number % 400,
            number % 10,
            1 + number % 28
        );
    }
    text
}
