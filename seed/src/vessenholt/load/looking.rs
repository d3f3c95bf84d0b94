//! What was seen: assessments and examinations, of the walked finds and of those the stories tell of.
use super::progress::entry;
use super::{Placed, Site};
use crate::vessenholt::cast::ODILE;
use crate::vessenholt::stories::PANEL;
use chrono::{Duration, NaiveDate};
use domain::Instant;
use domain::condition::{Alteration, Assessment, Scale, Term, default_terms};
use domain::examination::{Examination, Method, Region, Verdict};
use domain::ids::{ImageId, RecordId};
use domain::stages::{Stage, StageMark, StageState};
use domain::work::Detail;
use pictures::chance::Chance;
use store::finds::progress;
use store::journal;
use store::work::records::{self, NewRecord};
use store::{Result, Tx};

/// Alterations that a material shows: word, where, presumed cause.
fn usual(material: &str) -> &'static [(&'static str, &'static str, &'static str)] {
    match material {
        "iron" | "composite" => &[
            ("corrosion", "all over, orange and grey, gravel held in it", "burial in wet gravel"),
            ("weeping", "one edge", "chlorides"),
            ("crack", "along the crust", "drying of the crust"),
        ],
        "copper_alloy" | "coin" | "silver_gold" => &[
            ("corrosion", "green, smooth, surface kept below", "burial"),
            ("pitting", "a few pits, pale green", "chlorides"),
            ("deposit", "soil in the hollows", ""),
        ],
        "lead" => {
            &[("corrosion", "white, thin", "vapours of wood"), ("distortion", "bent at one end", "old")]
        }
        "glass" => &[
            ("iridescence", "both sides", "leaching in the ground"),
            ("flaking", "at the edge", "drying"),
            ("loss", "old breaks all round", "use"),
        ],
        "stone" => &[
            ("deposit", "clay in the carving", ""),
            ("powdering", "lower edge", "salts"),
            ("loss", "upper half, old break", "broken up on purpose"),
        ],
        "wood_leather" | "textile" => &[
            ("distortion", "edges curled", "weight of the soil"),
            ("deposit", "dark silt", ""),
            ("mould", "one spot", "lying open"),
        ],
        _ => &[
            ("crack", "fine, along the grain", "drying"),
            ("deposit", "soil", ""),
            ("abrasion", "one side", "use"),
        ],
    }
}

fn term(scale: Scale, at: usize) -> Term {
    default_terms(scale).into_iter().nth(at).unwrap_or_default()
}

/// The assessment of a find on its way.
pub(super) fn assessment(find: &Placed, on: NaiveDate) -> Assessment {
    let mut chance = Chance::named(&find.number, 7);
    let all = usual(&find.material);
    let seen = 1 + chance.below(all.len());
    let alterations = all.iter().take(seen).map(|(word, place, cause)| Alteration {
        word: (*word).into(),
        place: (*place).into(),
        extent_pct: Some([5.0, 10.0, 30.0, 60.0, 90.0][chance.below(5)]),
        cause: (*cause).into(),
    });
    let alterations: Vec<Alteration> = alterations.collect();
    let grade = chance.below(seen + 1);
    Assessment {
        reason: "on arrival, before treatment".into(),
        light: "daylight and raking from the left".into(),
        extent: "all sides".into(),
        alterations,
        unaltered: false,
        condition: term(Scale::Condition, grade.min(2)),
        stability: term(Scale::Stability, grade),
        past_treatment: String::new(),
        risk: if grade > 1 { "loss of surface if it dries or is handled".into() } else { String::new() },
        recommendation: "clean to the agreed level, keep its climate".into(),
        review_on: Some(on + Duration::days(if grade > 1 { 90 } else { 365 })),
    }
}

/// The plate of a find on its way.
pub(super) fn plate(find: &Placed) -> Examination {
    let mut chance = Chance::named(&find.number, 9);
    let found = chance.below(3);
    let said = [
        (Verdict::Positive, "core dense in the middle, thin at the ends"),
        (Verdict::Negative, "no core left; the shape is held by the crust"),
        (Verdict::Inconclusive, "crust as dense as what may be core"),
    ][found];
    Examination {
        question: "Is there a metal core?".into(),
        area: "whole object".into(),
        seen: said.1.into(),
        plate_number: format!("{}", 5 + chance.below(60)),
        tube_kv: Some(100.0),
        tube_ma: Some(3.0),
        exposure_s: Some(120.0),
        distance_mm: Some(900.0),
        view_angle: "from above".into(),
        ..Examination::by(Method::Xray, said.0)
    }
}

/// Assessments and examinations that the stories tell of.
pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    let panel = site.find(PANEL).clone();
    let second = Assessment {
        reason: "before the level is decided".into(),
        light: "daylight, raking from the left, ultraviolet".into(),
        extent: "front; the back lies on foam".into(),
        alterations: vec![
            Alteration {
                word: "deposit".into(),
                place: "hollows of the hem".into(),
                extent_pct: Some(10.0),
                cause: String::new(),
            },
            Alteration {
                word: "powdering".into(),
                place: "lower edge and the red of the lining".into(),
                extent_pct: Some(8.0),
                cause: "salts, since it dried".into(),
            },
            Alteration {
                word: "loss".into(),
                place: "upper half, old break".into(),
                extent_pct: Some(45.0),
                cause: "broken up on purpose".into(),
            },
        ],
        unaltered: false,
        condition: term(Scale::Condition, 2),
        stability: term(Scale::Stability, 2),
        past_treatment: "dry cleaned here".into(),
        risk: "the red comes off with water; powdering goes on".into(),
        recommendation: "no water; settle the powdering before anything wider".into(),
        review_on: Some((site.now + Duration::days(20)).date_naive()),
    };
    let at = site.at_work(site.now - Duration::days(12));
    let new = record(site, &panel, Detail::Condition(Box::new(second)), at);
    insert(tx, site, &panel, &new, at).await?;
    store::clocks::review::update(tx, panel.id, at).await?;
    for (number, seen) in told_examinations() {
        let find = site.find(number).clone();
        let at = site.at_work(site.now - Duration::days(10));
        let new = record(site, &find, Detail::Examination(Box::new(seen)), at);
        insert(tx, site, &find, &new, at).await?;
    }
    Ok(())
}

fn told_examinations() -> Vec<(&'static str, Examination)> {
    let asked =
        |question: &str, area: &str, seen: &str| (question.to_owned(), area.to_owned(), seen.to_owned());
    let (question, area, seen) = asked(
        "Is there paint outside the lining?",
        "ground behind the figure",
        "gold stars stand out dark; nothing between them",
    );
    let uv = Examination {
        question,
        area,
        seen,
        wavelength_nm: Some(365.0),
        filter: "cut at 420 nm before the camera".into(),
        colour: "orange-red in the folds, blue-white on bare stone".into(),
        intensity: "middling".into(),
        ..Examination::by(Method::Uv, Verdict::Positive)
    };
    let (question, area, seen) = asked(
        "Are there setting-out lines?",
        "ground and hem",
        "none seen; tool marks of a toothed chisel at the foot",
    );
    let raking = Examination {
        question,
        area,
        seen,
        azimuth_deg: Some(270.0),
        elevation_deg: Some(12.0),
        ..Examination::by(Method::Raking, Verdict::Negative)
    };
    let (question, area, seen) =
        asked("Is there textile in the corrosion?", "back of the pin", "threads in plain weave, mineralised");
    let microscopy = Examination {
        question,
        area,
        seen,
        magnification: Some(20.0),
        scale_um: Some(500.0),
        ..Examination::by(Method::Microscopy, Verdict::Positive)
    };
    vec![(PANEL, uv), (PANEL, raking), ("2", microscopy)]
}

fn record(site: &Site, find: &Placed, detail: Detail, at: Instant) -> NewRecord {
    let (stage, outcome) = match &detail {
        Detail::Condition(seen) => (Stage::Condition, seen.summary()),
        Detail::Examination(seen) if seen.method == Method::Xray => (Stage::Xray, seen.seen.clone()),
        Detail::Examination(seen) => (Stage::Examination, seen.seen.clone()),
        _ => (Stage::Examination, String::new()),
    };
    NewRecord {
        project: site.project,
        stage,
        done_by: "Odile Marchbank".into(),
        done_on: at.date_naive(),
        method: "stereo microscope, bench lamp".into(),
        materials: String::new(),
        outcome,
        note: String::new(),
        finished: true,
        standing: None,
        supersedes: None,
        detail,
        finds: vec![(find.id, None)],
    }
}

async fn insert(tx: &mut Tx, site: &Site, find: &Placed, new: &NewRecord, at: Instant) -> Result<RecordId> {
    let id = records::insert(tx, new, site.person(ODILE), at).await?;
    let words = format!("recorded {}: {}", new.stage.label(), new.outcome);
    journal::append(tx, &entry(site, find, ODILE, words), at).await?;
    Ok(id)
}

/// The plate that shows six nails of the smithy and a single one, each in its region.
pub async fn shared_plate(tx: &mut Tx, site: &Site, image: ImageId) -> Result<()> {
    let nails = site.find("91").clone();
    let alone = |find: &&Placed| find.object == "nail" && find.material == "iron" && !find.bulk;
    let Some(single) = site.finds.iter().find(alone).cloned() else { return Ok(()) };
    let region = |find: &Placed, [left_pct, top_pct, width_pct, height_pct]: [f64; 4], seen: &str| Region {
        find: find.id,
        left_pct,
        top_pct,
        width_pct,
        height_pct,
        seen: seen.into(),
    };
    let seen = Examination {
        question: "Which have a core that bears cleaning?".into(),
        area: "whole objects".into(),
        seen: "five of the six have a core, and so has the single one".into(),
        plate_number: "4".into(),
        tube_kv: Some(110.0),
        tube_ma: Some(3.0),
        exposure_s: Some(150.0),
        exposure_mas: Some(450.0),
        distance_mm: Some(900.0),
        view_angle: "from above".into(),
        plate_image: Some(image),
        regions: vec![
            region(&nails, [9.0, 12.0, 81.0, 47.0], "six nails, the lowest on the left without a core"),
            region(&single, [31.0, 60.5, 29.0, 12.5], "core whole, point bent"),
        ],
        ..Examination::by(Method::Xray, Verdict::Positive)
    };
    let at = site.at_work(site.now - Duration::days(6));
    let mut new = record(site, &single, Detail::Examination(Box::new(seen)), at);
    new.method = "cabinet unit, digital plate".into();
    new.finds = vec![(single.id, None), (nails.id, Some(6))];
    let id = insert(tx, site, &single, &new, at).await?;
    let words = format!("recorded {}: {}", new.stage.label(), new.outcome);
    journal::append(tx, &entry(site, &nails, ODILE, words), at).await?;
    for (find, state, quantity_done) in [(&single, StageState::Done, 1), (&nails, StageState::InHand, 6)] {
        store::images::insert_find(tx, image, find.id).await?;
        let mark = StageMark { stage: Stage::Xray, state, quantity_done, reason: String::new() };
        progress::mark(tx, find.id, &mark, at).await?;
    }
    store::images::insert_of_record(tx, id, &[image]).await
}
