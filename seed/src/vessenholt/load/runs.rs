//! Runs: one ended dry, two that dry, one in its eighth bath.
use super::progress::{entry, in_hand, mark};
use super::{Placed, Site};
use crate::vessenholt::cast::ODILE;
use crate::vessenholt::stories::{COMB, HINGE, POT, TILE};
use chrono::{Duration, DurationRound};
use domain::Instant;
use domain::clocks::ClockKind;
use domain::runs::{BathPlan, DryingPlan, Plan, Schedule};
use domain::stages::{RouteStage, Stage, StageMark, StageState};
use domain::work::Detail;
use store::finds::progress;
use store::journal;
use store::runs::baths::NewBath;
use store::runs::weighings::NewWeighing;
use store::runs::{self, Ending, NewRun, steps};
use store::work::records::{self, NewRecord};
use store::{Result, Tx};

/// Days after the start and masses of the hinge: second story of the trade notes.
const HINGE_G: &[(i64, f64)] = &[(0, 182.40), (1, 175.10), (2, 173.00), (3, 172.90), (4, 172.90)];
const TILE_G: &[(i64, f64)] =
    &[(0, 512.02), (1, 499.88), (2, 492.16), (3, 487.67), (4, 484.69), (5, 482.86), (6, 481.76)];
/// Three set points so far.
const COMB_G: &[(i64, f64)] = &[
    (0, 31.200),
    (2, 30.410),
    (4, 30.120),
    (5, 30.110),
    (7, 29.560),
    (9, 29.310),
    (10, 29.300),
    (12, 28.960),
    (13, 28.850),
];
/// Days and readings of the pot, blank 4 µS/cm: the first five of the fifth story.
const POT_US_CM: &[(i64, f64)] =
    &[(2, 310.0), (5, 140.0), (9, 66.0), (14, 31.0), (20, 15.0), (27, 11.0), (34, 9.0), (41, 8.0)];

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    hinge(tx, site).await?;
    let tile = site.find(TILE).clone();
    arrive(tx, site, &tile, Stage::Drying).await?;
    let started = at(site, 6);
    begin(tx, site, &tile, (started, drying("en_13755", 0.01, None)), TILE_G).await?;
    comb(tx, site).await?;
    pot(tx, site).await
}

/// Half past eight, so many days ago; before that hour a day more.
fn at(site: &Site, days_ago: i64) -> Instant {
    let early = Duration::minutes(8 * 60 + 30);
    let today = site.now - early;
    today.duration_trunc(Duration::days(1)).unwrap_or(today) + early - Duration::days(days_ago)
}

fn drying(standard: &str, balance_g: f64, schedule: Option<Schedule>) -> Plan {
    Plan::Drying(DryingPlan { standard: standard.into(), balance_g, schedule })
}

/// Everything before a stage is behind the find.
async fn arrive(tx: &mut Tx, site: &Site, find: &Placed, stage: Stage) -> Result<()> {
    let route = progress::find_progress(tx, find.id).await?.route;
    for before in route.0.iter().map(|s| s.stage).take_while(|s| *s != stage) {
        if before != Stage::Registration {
            mark(tx, site, find, before, site.at_work(find.registered_at + Duration::days(3))).await?;
        }
    }
    Ok(())
}

fn record(site: &Site, find: &Placed, stage: Stage, detail: Detail) -> NewRecord {
    NewRecord {
        project: site.project,
        stage,
        done_by: "Odile Marchbank".into(),
        done_on: site.now.date_naive(),
        method: "open tray on the dry bench".into(),
        materials: String::new(),
        outcome: String::new(),
        note: String::new(),
        finished: false,
        standing: None,
        supersedes: None,
        detail,
        finds: vec![(find.id, None)],
    }
}

/// A run with its weighings, on.
async fn begin(
    tx: &mut Tx,
    site: &Site,
    find: &Placed,
    (started, plan): (Instant, Plan),
    masses: &[(i64, f64)],
) -> Result<domain::ids::RunId> {
    let odile = site.person(ODILE);
    let stage = plan.kind().stage();
    let detail = match &plan {
        Plan::Drying(_) => Detail::Drying {
            start_mass_g: masses.first().map(|(_, mass)| *mass),
            end_mass_g: None,
            end_rule: String::new(),
            checked_by: String::new(),
        },
        Plan::Desalination(_) => Detail::Plain,
    };
    let how = match &plan {
        Plan::Drying(plan) if plan.schedule.is_some() => "chamber over saturated salts",
        Plan::Drying(_) => "open tray on the dry bench",
        Plan::Desalination(_) => "deionised water, lidded tub, still",
    };
    let open =
        NewRecord { done_on: started.date_naive(), method: how.into(), ..record(site, find, stage, detail) };
    let id = records::insert(tx, &open, odile, started).await?;
    in_hand(tx, find, stage, started).await?;
    store::clocks::begin_treatment(tx, find.id).await?;
    if stage == Stage::Drying {
        let rule = store::clocks::rules::find_of(tx, find.id, ClockKind::Drying).await?;
        store::clocks::start(tx, find.id, ClockKind::Drying, rule, (started, started)).await?;
    }
    let kind = plan.kind();
    let new = NewRun {
        project: site.project,
        started_at: started,
        done_by: "Odile Marchbank".into(),
        method: how.into(),
        plan,
        record: id,
        finds: vec![(find.id, None)],
    };
    let run = runs::insert(tx, &new, odile, started).await?;
    journal::append(tx, &entry(site, find, ODILE, format!("began a {kind}: {how}")), started).await?;
    for (day, mass_g) in masses {
        let weighed_at = started + Duration::days(*day);
        let new = NewWeighing { weighed_at, mass_g: *mass_g, rh_pct: None, t_c: None, seen: String::new() };
        runs::weighings::insert_many(tx, run, &[new], odile, weighed_at).await?;
        super::clocks::look(tx, site, find, ClockKind::Drying, (weighed_at, "")).await?;
    }
    Ok(run)
}

async fn hinge(tx: &mut Tx, site: &Site) -> Result<()> {
    let find = site.find(HINGE).clone();
    arrive(tx, site, &find, Stage::Drying).await?;
    let (started, ended) = (at(site, 20), at(site, 16) + Duration::hours(1));
    let run = begin(tx, site, &find, (started, drying("en_iso_12570", 0.01, None)), HINGE_G).await?;
    let open = runs::find(tx, run).await?.map(|run| run.record_id);
    let outcome = "dry, 9.50 g, 5.2 % lost; no new crack";
    let detail = Detail::Drying {
        start_mass_g: Some(182.4),
        end_mass_g: Some(172.9),
        end_rule: "EN ISO 12570: three weighings, each 24 h or more after the one before, change by less than 0.1 % of the \
                   mass. Dry by EN ISO 12570: the last changes were 0.06 % and 0 %."
            .into(),
        checked_by: "Odile Marchbank".into(),
    };
    let closing = NewRecord {
        done_on: ended.date_naive(),
        method: "drying run by EN ISO 12570, balance to 0.01 g".into(),
        outcome: outcome.into(),
        finished: true,
        supersedes: open,
        ..record(site, &find, Stage::Drying, detail)
    };
    let record = records::insert(tx, &closing, site.person(ODILE), ended).await?;
    let ending = Ending { record, well: true, words: outcome.into() };
    runs::update_end(tx, run, &ending, ended).await?;
    store::clocks::stop(tx, find.id, ClockKind::Drying, ended).await?;
    mark(tx, site, &find, Stage::Drying, ended).await?;
    journal::append(tx, &entry(site, &find, ODILE, format!("recorded drying: {outcome}")), ended).await?;
    let no_chlorides = StageMark {
        stage: Stage::Desalination,
        state: StageState::NotNeeded,
        quantity_done: 0,
        reason: "no chloride found; wood kept in the crust".into(),
    };
    progress::mark(tx, find.id, &no_chlorides, ended).await
}

async fn comb(tx: &mut Tx, site: &Site) -> Result<()> {
    let find = site.find(COMB).clone();
    arrive(tx, site, &find, Stage::Drying).await?;
    let started = at(site, 13);
    let schedule =
        Schedule { start_pct: 90.0, end_pct: 50.0, step_pct: 10.0, hold_days: 4.0, chamber_c: 20.0 };
    let plan = drying("en_iso_12570", 0.001, Some(schedule));
    let run = begin(tx, site, &find, (started, plan), COMB_G).await?;
    for (position, day) in [(0, 0), (1, 5), (2, 10)] {
        let begun_at = started + Duration::days(day);
        let reason = if position == 0 { "" } else { "steady to the eye; the lead goes on" };
        steps::insert(tx, run, &steps::Step { position, begun_at, reason: reason.into() }).await?;
    }
    Ok(())
}

async fn pot(tx: &mut Tx, site: &Site) -> Result<()> {
    let find = site.find(POT).clone();
    let mut route = progress::find_progress(tx, find.id).await?.route;
    let drying = route.0.iter().position(|s| s.stage == Stage::Drying).unwrap_or(route.0.len());
    route.0.insert(drying, RouteStage { stage: Stage::Desalination, gates: Vec::new() });
    let reason = "salts from the tidal silt";
    store::finds::update_own_route(tx, find.id, Some((&route, reason))).await?;
    arrive(tx, site, &find, Stage::Desalination).await?;
    let started = at(site, 42);
    let plan = Plan::Desalination(BathPlan {
        mass_g: 850.0,
        carry_over_l: 0.1,
        threshold: 20.0,
        baths_in_row: 2,
        threshold_reason: "what a clean sherd of this fabric gives in the lab’s water".into(),
    });
    let run = begin(tx, site, &find, (started, plan), &[]).await?;
    for (day, reading_us_cm) in POT_US_CM {
        let read_at = started + Duration::days(*day);
        let bath = NewBath {
            read_at,
            volume_l: 2.5,
            blank_us_cm: 4.0,
            reading_us_cm: *reading_us_cm,
            t_c: None,
            chloride_mg_l: None,
            seen: String::new(),
        };
        runs::baths::insert(tx, run, &bath, site.person(ODILE), read_at).await?;
    }
    Ok(())
}
