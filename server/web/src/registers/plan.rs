//! A register read and checked against the project: what would happen, before anything does.
pub use super::choices::Choices;
use crate::config::Config;
use chrono::NaiveDate;
use domain::ids::ProjectId;
use domain::words::fold;
use register::check::{DryRun, Known, Settings, check_contexts, check_finds};
use register::field::{ContextField, Field, FindField};
use register::header::{Header, guess_header_row, headers};
use register::matching::{Match, propose};
use register::table::{Limits, Table, Unreadable, read};
use store::{Result, Tx, imports};

/// A register read, with what its columns mean and what would happen.
pub struct Plan<F> {
    pub table: Table,
    pub header_row: usize,
    pub headers: Vec<Header>,
    pub matches: Vec<Match<F>>,
    pub dry: DryRun<F>,
}

/// The limits of this installation.
pub fn limits(config: &Config) -> Limits {
    Limits {
        bytes: config.max_upload_bytes,
        unpacked: config.max_unpacked_bytes,
        rows: config.max_rows,
        ..Limits::default()
    }
}

/// What the project holds already, as the dry run asks it.
pub async fn known(tx: &mut Tx, project: ProjectId) -> Result<Known> {
    let mut known = Known::default();
    for material in store::projects::list_materials(tx, project).await? {
        known.materials.insert(fold(&material.code), material.code.clone());
        known.materials.insert(fold(&material.name), material.code.clone());
        for word in material.words.split(',') {
            known.materials.insert(fold(word), material.code.clone());
        }
        if domain::finds::material::is_human_remains(&material.code) {
            known.human_remains.insert(material.code);
        }
    }
    known.contexts =
        store::contexts::list(tx, project, "", i64::MAX).await?.into_iter().map(|c| c.number).collect();
    let places = store::places::list(tx, project).await?;
    for place in &places {
        known.places.insert(fold(&place.path), place.path.clone());
        if places.iter().filter(|other| other.name == place.name).count() == 1 {
            known.places.insert(fold(&place.name), place.path.clone());
        }
    }
    for used in imports::list_numbers(tx, project).await? {
        if used.void_at.is_some() {
            known.void_finds.insert(used.number.clone());
        }
        known.finds.insert(used.number);
    }
    Ok(known)
}

/// What the columns of a register of this kind meant the last time.
pub async fn remembered<F: Field>(tx: &mut Tx, project: ProjectId) -> Result<Vec<(String, F)>> {
    let all = imports::list_matches(tx, project, F::KIND.code()).await?;
    Ok(all.into_iter().filter_map(|(header, field)| Some((header, field.parse().ok()?))).collect())
}

/// Reads a finds register and tries it out.
pub fn finds(
    bytes: &[u8],
    choices: &Choices,
    limits: &Limits,
    (known, remembered): (&Known, &[(String, FindField)]),
    today: NaiveDate,
) -> std::result::Result<Plan<FindField>, Unreadable> {
    plan(bytes, choices, limits, remembered, |table, row, matches| {
        check_finds(table, row, matches, known, &settings(choices, today))
    })
}

/// Reads a context register and tries it out.
pub fn contexts(
    bytes: &[u8],
    choices: &Choices,
    limits: &Limits,
    (known, remembered): (&Known, &[(String, ContextField)]),
    today: NaiveDate,
) -> std::result::Result<Plan<ContextField>, Unreadable> {
    plan(bytes, choices, limits, remembered, |table, row, matches| {
        check_contexts(table, row, matches, known, &settings(choices, today))
    })
}

fn settings(choices: &Choices, today: NaiveDate) -> Settings {
    Settings {
        create_contexts: choices.create_contexts,
        create_places: choices.create_places,
        materials: choices.materials.clone(),
        ..Settings::new(today)
    }
}

fn plan<F: Field>(
    bytes: &[u8],
    choices: &Choices,
    limits: &Limits,
    remembered: &[(String, F)],
    check: impl FnOnce(&Table, usize, &[Match<F>]) -> DryRun<F>,
) -> std::result::Result<Plan<F>, Unreadable> {
    let table = read(bytes, &choices.reading, limits)?;
    let header_row = choices.header_row.unwrap_or_else(|| guess_header_row::<F>(&table));
    let headers = headers(&table, header_row);
    let mut matches = propose(&headers, remembered);
    for matched in &mut matches {
        if let Some(word) = choices.fields.get(&matched.column) {
            matched.field = word.parse().ok();
        }
        matched.decimal = choices.decimals.get(&matched.column).copied();
        matched.dates = choices.dates.get(&matched.column).copied();
    }
    let dry = check(&table, header_row, &matches);
    Ok(Plan { table, header_row, headers, matches, dry })
}

/// Keeps the bytes of a register under their checksum; written whole and made to last before anything refers to them.
pub async fn keep(config: &Config, bytes: &[u8]) -> std::io::Result<String> {
    let sha256: String = {
        use sha2::Digest;
        sha2::Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
    };
    let folder = folder(config);
    let (path, part) = (folder.join(&sha256), folder.join(format!("{sha256}.part")));
    let bytes = bytes.to_vec();
    let kept = tokio::task::spawn_blocking(move || {
        use std::io::Write;
        std::fs::create_dir_all(&folder)?;
        let mut file = std::fs::File::create(&part)?;
        file.write_all(&bytes)?;
        file.sync_all()?;
        std::fs::rename(&part, &path)?;
        std::fs::File::open(&folder)?.sync_all()
    });
    kept.await.map_err(std::io::Error::other)??;
    Ok(sha256)
}

/// The bytes of a kept register.
pub async fn kept(config: &Config, sha256: &str) -> std::io::Result<Vec<u8>> {
    tokio::fs::read(folder(config).join(sha256)).await
}

fn folder(config: &Config) -> std::path::PathBuf {
    config.files.join("registers")
}
