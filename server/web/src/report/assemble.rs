//! Puts the records of a project together for its report. Restricted finds stay out.
use super::{care, rings, rows, said};
use crate::contexts::termini::{self, Termini};
use crate::dispatches::view;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use domain::dispatch::Way;
use domain::ids::{FindId, ProjectId};
use domain::stages::{Stage, StageState};
use report::interim::{
    Author, ContextLine, Dimension, FindLine, Hold, Interim, JudgementLine, OutstandingWork, Photograph,
    WorkMark,
};
use std::collections::{HashMap, HashSet};
use store::Tx;
use store::dating::judgements::Judged;
use store::reporting::{self, Extent, OpenHold, ReportFind, ReportMark};
use store::review::opinions::Opinion;
use store::review::settlements::Settlement;

/// Everything a report is drawn from, as the records stand now.
pub(crate) async fn interim(tx: &mut Tx, project: ProjectId, now: domain::Instant) -> Answer<Interim> {
    let about = store::projects::find(tx, project).await?.ok_or(AppError::NotFound)?;
    let finds = reporting::list_finds(tx, project).await?;
    let numbers: HashMap<FindId, String> = finds.iter().map(|f| (f.id, f.number.clone())).collect();
    let opinions = store::review::opinions::list_of_project(tx, project).await?;
    let settlements = store::review::settlements::list_of_project(tx, project).await?;
    let reopened = store::review::reopenings::list_of_project(tx, project).await?;
    let extents = reporting::list_extents(tx, project).await?;
    let recorded = extents.iter().map(|e| e.done_on).min().zip(extents.iter().map(|e| e.done_on).max());
    let restricted = reporting::count_restricted(tx, project).await?;
    let termini = termini::all(tx, project).await?;
    let mut completeness = out_of_the_house(tx, project, now).await?;
    completeness.extend(circles(termini.left_out));
    Ok(Interim {
        code: about.code,
        title: format!("{}: interim report on the finds", about.name),
        site: about.site,
        client: Some(about.client).filter(|c| !c.is_empty()),
        repository: None,
        circumstances: about.summary,
        recorded,
        reported_on: now.date_naive(),
        prepared_by: authors(tx, project).await?,
        groups: store::projects::list_materials(tx, project).await?.into_iter().map(|m| m.name).collect(),
        contexts: contexts(tx, project, termini).await?,
        judgements: judgements(tx, project).await?,
        rows: rows::lines(tx, project, &numbers).await?,
        rings: rings::lines(tx, project).await?,
        opinions: opinions.iter().filter_map(|o| said::opinion_line(o, &numbers)).collect(),
        settlements: said::settlement_lines(tx, &settlements, &reopened, &numbers).await?,
        outstanding: outstanding(tx, project).await?,
        finds: find_lines(tx, project, finds, &extents, &opinions, &settlements).await?,
        photographs: photographs(tx, project).await?,
        bibliography: Vec::new(),
        completeness,
        restricted_left_out: usize::try_from(restricted).unwrap_or(0),
    })
}

/// Photographs printed at most.
const PLATES: i64 = 60;

/// The photographs, each once with every find it shows; their pictures are added where they are printed.
async fn photographs(tx: &mut Tx, project: ProjectId) -> Answer<Vec<Photograph>> {
    let mut plates: Vec<Photograph> = Vec::new();
    for image in reporting::list_photographs(tx, project, PLATES).await? {
        let name = image.id.to_string();
        if let Some(plate) = plates.iter_mut().find(|plate| plate.name == name) {
            plate.finds.push(image.find_number);
            continue;
        }
        let what = if image.object_type.is_empty() { "find".to_owned() } else { image.object_type };
        plates.push(Photograph {
            name,
            jpeg: Vec::new(),
            alt: format!("Photograph of {what}, find {}", image.find_number),
            caption: if image.caption.is_empty() { what } else { image.caption },
            credit: image.credit,
            finds: vec![image.find_number],
        });
    }
    Ok(plates)
}

async fn authors(tx: &mut Tx, project: ProjectId) -> Answer<Vec<Author>> {
    let credited = reporting::list_credited(tx, project).await?;
    let mut seen = HashSet::new();
    let once = credited.into_iter().filter(|person| seen.insert(person.name.clone()));
    Ok(once.map(|person| Author { name: person.name, qualification: person.qualification }).collect())
}

async fn contexts(tx: &mut Tx, project: ProjectId, mut termini: Termini) -> Answer<Vec<ContextLine>> {
    let all = store::contexts::list(tx, project, "", i64::MAX).await?;
    let line = |c: store::contexts::Context| ContextLine {
        dated: termini.of.remove(&c.id),
        number: c.number,
        phase: Some(c.phase).filter(|p| !p.is_empty()),
        interpretation: c.interpretation,
    };
    Ok(all.into_iter().map(line).collect())
}

async fn judgements(tx: &mut Tx, project: ProjectId) -> Answer<Vec<JudgementLine>> {
    let line = |one: Judged| JudgementLine {
        find: one.number,
        context: one.context_number,
        origin: one.origin.to_string(),
        reason: one.reason,
        by: one.judged_by,
        on: one.judged_at.date_naive(),
    };
    Ok(store::dating::judgements::list_of_project(tx, project).await?.into_iter().map(line).collect())
}

/// Relations by which no date could be passed.
fn circles(left_out: usize) -> Option<String> {
    let leads = if left_out == 1 { "relation of contexts leads" } else { "relations of contexts lead" };
    (left_out > 0).then(|| format!("{left_out} {leads} in a circle; no date is passed by them"))
}

async fn find_lines(
    tx: &mut Tx,
    project: ProjectId,
    finds: Vec<ReportFind>,
    extents: &[Extent],
    opinions: &[Opinion],
    settlements: &[Settlement],
) -> Answer<Vec<FindLine>> {
    let routes = store::projects::list_routes(tx, project).await?;
    let mut marks: HashMap<FindId, Vec<ReportMark>> = HashMap::new();
    for mark in reporting::list_marks(tx, project).await? {
        marks.entry(mark.find_id).or_default().push(mark);
    }
    let holds: HashMap<FindId, OpenHold> =
        reporting::list_holds(tx, project).await?.into_iter().map(|h| (h.find_id, h)).collect();
    let words: HashMap<(FindId, Stage), &str> =
        extents.iter().map(|e| ((e.find_id, e.stage), e.words.as_str())).collect();
    let mut care = care::of_finds(tx, project).await?;
    let line = |find: ReportFind| {
        let care = care.remove(&find.id).unwrap_or_default();
        let own =
            find.own_route.as_ref().map(|r| r.split_whitespace().filter_map(|s| s.parse().ok()).collect());
        let route: Vec<Stage> = own.unwrap_or_else(|| {
            routes.get(&find.material).map(|r| r.0.iter().map(|s| s.stage).collect()).unwrap_or_default()
        });
        let work = work(&route, marks.get(&find.id).map_or(&[][..], Vec::as_slice), |stage| {
            words.get(&(find.id, stage)).copied()
        });
        let (date, parallel) = said::dated(&find, opinions, settlements);
        FindLine {
            dimensions: dimensions(&find),
            hold: holds
                .get(&find.id)
                .map(|h| Hold { reason: h.reason.clone(), since: h.placed_at.date_naive() }),
            context: find.context_number,
            group: find.material_name,
            material: find.material_words,
            identification: find.object_type,
            description: find.description,
            catalogued: !find.bulk,
            bulk: find.bulk,
            pieces: u32::try_from(find.quantity).ok().filter(|n| *n > 0 || find.counted_to_none),
            weight_g: find.weight_g,
            condition: Some(find.condition_note).filter(|c| !c.is_empty()),
            assessed: care.assessed,
            examined: care.examined,
            treated: care.treated,
            date,
            parallel,
            stage: find.stage,
            state: find.stage_state,
            work,
            number: find.number,
        }
    };
    Ok(finds.into_iter().map(line).collect())
}

/// The stages of work on a route, each with its mark and how far it went.
fn work<'a>(
    route: &[Stage],
    marks: &[ReportMark],
    extent: impl Fn(Stage) -> Option<&'a str>,
) -> Vec<WorkMark> {
    let of_work = |stage: &&Stage| **stage == Stage::Xray || stage.takes_record();
    let mark = |stage: &Stage| WorkMark {
        stage: *stage,
        state: marks.iter().find(|m| m.stage == *stage).map_or(StageState::Waiting, |m| m.state),
        // A cleaning level says how far wet cleaning was to go.
        extent: extent(if *stage == Stage::WetClean { Stage::CleaningLevel } else { *stage })
            .or_else(|| extent(*stage))
            .filter(|words| !words.is_empty())
            .map(str::to_owned),
    };
    route.iter().filter(of_work).map(mark).collect()
}

fn dimensions(find: &ReportFind) -> Vec<Dimension> {
    let all =
        [("L", find.length_mm), ("W", find.width_mm), ("Th", find.thickness_mm), ("Diam", find.diameter_mm)];
    all.into_iter().filter_map(|(of, mm)| mm.map(|mm| Dimension { of: of.into(), mm })).collect()
}

/// What is with somebody, late or other than it went; restricted finds stay out of it.
async fn out_of_the_house(tx: &mut Tx, project: ProjectId, now: domain::Instant) -> Answer<Vec<String>> {
    let mut sentences = Vec::new();
    for dispatch in store::dispatches::list_open(tx, project).await? {
        let complete = dispatch.complete_at.is_some();
        let items = store::dispatches::items::list(tx, dispatch.id).await?;
        let shown: Vec<_> = items.iter().filter(|item| !item.restricted).collect();
        if !complete && dispatch.due_on < now.date_naive() && !shown.is_empty() {
            let numbers: Vec<&str> = shown.iter().map(|item| item.number.as_str()).collect();
            sentences.push(format!(
                "{} with {} should have been back by {}",
                numbers.join(", "),
                dispatch.recipient,
                show_day(dispatch.due_on)
            ));
        }
        sentences.extend(shown.iter().filter_map(|item| {
            let account = item.account(complete);
            let (gap, way) = match (account.gap_there(), account.gap()) {
                (Some(gap), _) => (gap, Way::There),
                (None, gap) => (gap?, Way::Back),
            };
            Some(format!(
                "Find {}: {} (dispatch D{}), not explained",
                item.number,
                view::gap(gap, way),
                dispatch.serial
            ))
        }));
    }
    Ok(sentences)
}
async fn outstanding(tx: &mut Tx, project: ProjectId) -> Answer<Vec<OutstandingWork>> {
    let owed = reporting::list_owed_opinions(tx, project).await?;
    let line = |o: reporting::OwedOpinion| OutstandingWork {
        find: Some(o.find_number),
        what: "opinion".into(),
        who: Some(o.specialist_name),
        due_on: Some(o.due_on),
    };
    Ok(owed.into_iter().map(line).collect())
}
