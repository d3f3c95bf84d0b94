//! Finds on their way: records, marks, holds, people at the bench.
use super::{Placed, Site, looking};
use crate::vessenholt::cast::{BEA, ODILE, TOMAS};
use crate::vessenholt::stories::{PANEL, SHOE};
use crate::vessenholt::work::{HOLDS, MIXTURES, first_aid, first_package, levels_of, of, packing};
use chrono::Duration;
use domain::Instant;
use domain::clocks::ClockKind;
use domain::ids::PersonId;
use domain::stages::{Stage, StageMark, StageState};
use domain::work::{Detail, EffectOnOriginal, TestDecision};
use store::finds::progress;
use store::journal::{self, Entry};
use store::work::records::{self, NewRecord};
use store::work::standing::{self, NewStanding};
use store::work::{holds, levels};
use store::{Result, Tx};

pub(super) async fn load(tx: &mut Tx, site: &mut Site) -> Result<()> {
    give_standing(tx, site).await?;
    for at in 0..site.finds.len() {
        let find = site.finds[at].clone();
        if find.told {
            continue;
        }
        let share = site.chance.below(100);
        walk(tx, site, &find, share).await?;
        // Most wet packs are looked at in time; one in five is forgotten for a while.
        if find.state == "wet" {
            let hours = match site.chance.below(5) {
                0 => 190 + (at as i64 * 17) % 160,
                _ => site.chance.below(110) as i64,
            };
            store::clocks::begin_treatment(tx, find.id).await?;
            let looked = (site.at_work(site.now - Duration::hours(hours)), "");
            super::clocks::look(tx, site, &find, ClockKind::Wet, looked).await?;
        }
        if site.chance.below(30) == 0 {
            let reason = HOLDS[site.chance.below(HOLDS.len())];
            let held = site.at_work(site.now - Duration::days(9));
            holds::insert(tx, find.id, reason, site.person(TOMAS), held).await?;
            journal::append(tx, &entry(site, &find, TOMAS, format!("put on hold: {reason}")), held).await?;
        }
        if site.chance.below(9) == 0 {
            let person = if find.bulk { BEA } else { ODILE };
            store::finds::update_assignee(tx, find.id, Some(site.person(person))).await?;
        }
    }
    panel(tx, site).await?;
    super::steps::told(tx, site).await?;
    for number in [SHOE, "61", "3"] {
        store::finds::update_assignee(tx, site.find(number).id, Some(site.person(ODILE))).await?;
    }
    Ok(())
}

async fn give_standing(tx: &mut Tx, site: &Site) -> Result<()> {
    let new = NewStanding {
        project: site.project,
        material: "ceramic".into(),
        words: "sound unpainted ceramic".into(),
        mixture: "water".into(),
        stop_point: "the slip".into(),
    };
    standing::insert(tx, &new, site.person(TOMAS), site.at_work(site.now - Duration::days(100))).await?;
    Ok(())
}

/// Walks a find along its route; `share` of a hundred says how far it comes.
async fn walk(tx: &mut Tx, site: &mut Site, find: &Placed, share: usize) -> Result<()> {
    let route = progress::find_progress(tx, find.id).await?.route;
    let stages: Vec<Stage> = route.0.iter().map(|s| s.stage).filter(|s| *s != Stage::Registration).collect();
    let far = match share {
        0..=9 => 0,
        _ => stages.len() * share / 99,
    };
    let mut at = find.registered_at;
    for stage in stages.into_iter().take(far) {
        at += Duration::hours(40 + site.chance.below(150) as i64);
        if at > site.now - Duration::hours(2) || stage == Stage::Deposit {
            break;
        }
        step(tx, site, find, stage, at).await?;
        // A level that waits for the lead stops what comes after it.
        if stage == Stage::CleaningLevel && waits(tx, find, stage).await? {
            break;
        }
    }
    Ok(())
}

async fn waits(tx: &mut Tx, find: &Placed, stage: Stage) -> Result<bool> {
    let progress = progress::find_progress(tx, find.id).await?;
    Ok(progress.marks.iter().any(|mark| mark.stage == stage && mark.state == StageState::InHand))
}

async fn step(tx: &mut Tx, site: &mut Site, find: &Placed, stage: Stage, at: Instant) -> Result<()> {
    if matches!(stage, Stage::Review | Stage::Settlement) {
        return super::review::answer(tx, site, find, stage, at).await;
    }
    if stage.takes_record() {
        return record(tx, site, find, stage, at).await;
    }
    let at = site.at_work(at);
    mark(tx, site, find, stage, at).await?;
    let words = format!("marked {} as done", stage.label());
    journal::append(tx, &entry(site, find, ODILE, words), at).await
}

async fn record(tx: &mut Tx, site: &mut Site, find: &Placed, stage: Stage, at: Instant) -> Result<()> {
    let who = if find.bulk { BEA } else { ODILE };
    let (at, answered) = (site.at_work(at), site.at_work(at + Duration::hours(5)));
    let said = match stage {
        Stage::FirstAid => first_aid(find.state),
        Stage::Packing => packing(super::clocks::is_sealed(find)),
        stage => of(stage),
    };
    let words = said[site.chance.below(said.len())];
    let detail = match stage {
        Stage::Condition => Detail::Condition(Box::new(looking::assessment(find, at.date_naive()))),
        Stage::Xray => Detail::Examination(Box::new(looking::plate(find))),
        stage => detail(site, find, stage),
    };
    let outcome = match &detail {
        Detail::Condition(seen) => seen.summary(),
        Detail::Examination(seen) => seen.seen.clone(),
        _ => words.outcome.into(),
    };
    let new = NewRecord {
        project: site.project,
        stage,
        done_by: if find.bulk { "Bea Lisle-Okoro".into() } else { "Odile Marchbank".into() },
        done_on: at.date_naive(),
        method: words.method.into(),
        materials: words.materials.into(),
        outcome: outcome.clone(),
        note: String::new(),
        finished: true,
        standing: None,
        supersedes: None,
        detail,
        finds: vec![(find.id, find.bulk.then_some(find.pieces))],
    };
    let id = records::insert(tx, &new, site.person(who), at).await?;
    super::steps::of_stage(tx, id, stage, at).await?;
    if stage == Stage::Condition {
        store::clocks::review::update(tx, find.id, at).await?;
    }
    let told = if outcome.is_empty() { String::new() } else { format!(": {outcome}") };
    journal::append(tx, &entry(site, find, who, format!("recorded {}{told}", stage.label())), at).await?;
    if stage == Stage::CleaningLevel {
        // One in six still waits for the lead.
        if site.chance.below(6) == 0 {
            return in_hand(tx, find, stage, at).await;
        }
        levels::update_answer(tx, id, "authorised", site.person(TOMAS), answered).await?;
        journal::append(tx, &entry(site, find, TOMAS, "authorised the cleaning level".into()), answered)
            .await?;
    }
    mark(tx, site, find, stage, at).await?;
    match stage {
        Stage::Drying => store::clocks::stop(tx, find.id, ClockKind::Wet, at).await,
        Stage::Packing => super::clocks::seal(tx, find, at).await,
        Stage::SpotTest | Stage::WetClean => store::clocks::begin_treatment(tx, find.id).await,
        _ if find.state == "wet" => super::clocks::look(tx, site, find, ClockKind::Wet, (at, "")).await,
        _ => Ok(()),
    }
}

fn detail(site: &mut Site, find: &Placed, stage: Stage) -> Detail {
    let chance = &mut site.chance;
    match stage {
        Stage::SpotTest => Detail::SpotTest {
            site: ["underside, left edge, 5 mm", "back, lower corner", "broken edge, inside"]
                [chance.below(3)]
            .into(),
            mixture: MIXTURES[0].into(),
            dwell_s: Some(30),
            effect_on_soiling: "softens, comes off on the swab".into(),
            effect_on_original: EffectOnOriginal::None,
            decision: TestDecision::Accepted,
        },
        Stage::CleaningLevel => {
            let levels = levels_of(&find.material);
            let (level, keep, stop) = levels[chance.below(levels.len())];
            // The lead, who answers, is not consulted.
            let decided_by = if find.bulk {
                "Bea Lisle-Okoro, Odile Marchbank consulted"
            } else {
                "Odile Marchbank, Petra Dunmoor consulted"
            };
            Detail::Level {
                level: level.into(),
                layers_to_keep: keep.into(),
                stop_point: stop.into(),
                decided_by: decided_by.into(),
            }
        }
        Stage::WetClean => Detail::WetClean { mixture: MIXTURES[0].into() },
        Stage::Drying => Detail::Drying {
            start_mass_g: (!find.bulk).then_some((find.mass_g * 1.06 * 100.0).round() / 100.0),
            end_mass_g: (!find.bulk).then_some((find.mass_g * 100.0).round() / 100.0),
            end_rule: if find.bulk {
                "air-dried, dry to the touch".into()
            } else {
                "constant mass, three weighings".into()
            },
            checked_by: "Odile Marchbank".into(),
        },
        Stage::FirstAid => {
            let (container, microclimate) = first_package(find.state, find.bulk, find.mass_g);
            Detail::Package {
                container: container.into(),
                microclimate: microclimate.into(),
                sealed_on: None,
                next_check_on: None,
            }
        }
        Stage::Packing => Detail::Package {
            container: if find.bulk && !super::clocks::is_sealed(find) {
                "resealable bag in a box by context".into()
            } else {
                "clip-lid box, foam cut-out".into()
            },
            microclimate: String::new(),
            sealed_on: None,
            next_check_on: None,
        },
        _ => Detail::Plain,
    }
}

pub(super) async fn mark(tx: &mut Tx, _site: &Site, find: &Placed, stage: Stage, at: Instant) -> Result<()> {
    let mark =
        StageMark { stage, state: StageState::Done, quantity_done: find.pieces, reason: String::new() };
    progress::mark(tx, find.id, &mark, at).await
}

pub(super) async fn in_hand(tx: &mut Tx, find: &Placed, stage: Stage, at: Instant) -> Result<()> {
    let mark = StageMark { stage, state: StageState::InHand, quantity_done: 0, reason: String::new() };
    progress::mark(tx, find.id, &mark, at).await
}

pub(super) fn entry(site: &Site, find: &Placed, who: &str, words: String) -> Entry {
    Entry {
        project: Some(site.project),
        find: Some(find.id),
        context: None,
        verb: "recorded",
        words,
        by: Some(site.person(who)),
    }
}

/// The carved panel: water takes its red, two others do nothing, the dry swab takes loose soil.
async fn panel(tx: &mut Tx, site: &mut Site) -> Result<()> {
    let find = site.find(PANEL).clone();
    let mut at = find.registered_at + Duration::days(2);
    for stage in [Stage::FirstAid, Stage::Condition, Stage::DryClean] {
        step(tx, site, &find, stage, at).await?;
        at += Duration::days(3);
    }
    let tests = [
        (
            "lower edge, left, 5 mm",
            "water",
            "softens, comes off",
            EffectOnOriginal::ColourTaken,
            TestDecision::Refused,
        ),
        (
            "lower edge, middle, 5 mm",
            "ethanol 50 % in water",
            "none",
            EffectOnOriginal::None,
            TestDecision::Accepted,
        ),
        ("lower edge, right, 5 mm", "white spirit", "none", EffectOnOriginal::None, TestDecision::Accepted),
        (
            "back, upper corner",
            "dry swab",
            "loose soil comes off",
            EffectOnOriginal::None,
            TestDecision::Accepted,
        ),
    ];
    let odile: PersonId = site.person(ODILE);
    let mut raw = at;
    for (spot, mixture, soiling, original, decision) in tests {
        let detail = Detail::SpotTest {
            site: spot.into(),
            mixture: mixture.into(),
            dwell_s: Some(20),
            effect_on_soiling: soiling.into(),
            effect_on_original: original,
            decision,
        };
        let at = site.at_work(raw);
        let new = NewRecord {
            project: site.project,
            stage: Stage::SpotTest,
            done_by: "Odile Marchbank".into(),
            done_on: at.date_naive(),
            method: "one swab, rolled once".into(),
            materials: "cotton swab on a stick".into(),
            outcome: if decision == TestDecision::Refused {
                "red on the swab, surface dulled".into()
            } else {
                soiling.into()
            },
            note: "Paint is present: nothing wider before the level is decided.".into(),
            finished: true,
            standing: None,
            supersedes: None,
            detail,
            finds: vec![(find.id, None)],
        };
        let id = records::insert(tx, &new, odile, at).await?;
        journal::append(tx, &entry(site, &find, ODILE, format!("tested {mixture}: {}", decision.code())), at)
            .await?;
        super::trials::of_panel(tx, site, (id, &new.detail), at).await?;
        raw += Duration::minutes(25);
    }
    super::trials::yesterday(tx, site, &find).await?;
    mark(tx, site, &find, Stage::SpotTest, site.at_work(raw)).await
}
