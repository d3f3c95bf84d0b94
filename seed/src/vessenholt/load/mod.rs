//! All of it into a database, by the same functions that the application uses. The same day gives the same site.
mod bench;
mod boxes;
mod clocks;
mod desk;
mod dispatches;
mod ends;
mod ground;
mod hours;
mod judging;
pub mod looking;
mod progress;
mod review;
mod rows;
mod runs;
mod small_site;
mod steps;
mod together;
mod trials;

use super::cast::{CAST, Person};
use super::objects::{KINDS, Kind};
use super::stories::{FINDS, Told};
use chrono::{Duration, NaiveDate, NaiveTime};
use domain::Instant;
use domain::ids::{ContextId, FindId, PersonId, PlaceId, ProjectId};
use pictures::chance::Chance;
use std::collections::HashMap;
use store::finds::NewFind;
use store::people::{FINDSPOT, NewPerson, RESTRICTED};
use store::places::NewPlace;
use store::projects::NewProject;
use store::{Result, Tx};

/// Finds of the quay, stories included.
pub const FINDS_IN_ALL: usize = 440;

/// What has been made so far, by the names the stories use.
pub struct Site {
    pub project: ProjectId,
    pub people: HashMap<&'static str, PersonId>,
    pub contexts: HashMap<String, ContextId>,
    pub places: HashMap<&'static str, PlaceId>,
    pub finds: Vec<Placed>,
    /// Finds that wait for the specialist in glass and pottery.
    unanswered: Vec<FindId>,
    pub now: Instant,
    chance: Chance,
}

/// A find with what the following steps ask of it.
#[derive(Debug, Clone)]
pub struct Placed {
    pub id: FindId,
    pub number: String,
    pub context: Option<ContextId>,
    pub material: String,
    pub object: String,
    pub bulk: bool,
    pub pieces: i64,
    pub mass_g: f64,
    pub state: &'static str,
    /// Before it is moved into working hours.
    pub registered_at: Instant,
    pub told: bool,
}

/// Fills an empty database; everybody gets the same password hash.
pub async fn load(tx: &mut Tx, password_hash: &str, now: Instant) -> Result<Site> {
    let people = people(tx, password_hash, now).await?;
    let project = store::projects::insert(tx, &quay(), now - Duration::days(150)).await?;
    let mut site = Site {
        project,
        people,
        contexts: HashMap::new(),
        places: HashMap::new(),
        finds: Vec::new(),
        unanswered: Vec::new(),
        now,
        chance: Chance::new(31),
    };
    for person in CAST {
        site.admit(tx, project, person).await?;
    }
    places(tx, &mut site).await?;
    ground::load(tx, &mut site).await?;
    finds(tx, &mut site).await?;
    progress::load(tx, &mut site).await?;
    looking::load(tx, &site).await?;
    clocks::load(tx, &mut site).await?;
    runs::load(tx, &site).await?;
    boxes::load(tx, &site).await?;
    bench::load(tx, &site).await?;
    review::load(tx, &mut site).await?;
    dispatches::load(tx, &site).await?;
    desk::load(tx, &site).await?;
    rows::load(tx, &site).await?;
    judging::load(tx, &site).await?;
    together::load(tx, &site).await?;
    ends::load(tx, &site).await?;
    small_site::load(tx, &site).await?;
    Ok(site)
}

fn quay() -> NewProject {
    NewProject {
        code: "VSQ31".into(),
        name: "Vessenholt Quay".into(),
        site: "Vessenholt, the old quay and the chapel of the quayside".into(),
        client: "Vessenholt Harbour Trust".into(),
        summary: "Four areas were dug ahead of the new flood wall. Behind the front of the quay three \
                  timber revetments held back wet dumps; the chapel had been robbed to its footings; the yard behind it \
                  held a smithy; the edge of the cemetery was reached in the last week."
            .into(),
        number_pattern: "#".into(),
        date_convention: "thirds".into(),
    }
}

async fn people(tx: &mut Tx, hash: &str, now: Instant) -> Result<HashMap<&'static str, PersonId>> {
    let mut ids = HashMap::new();
    for person in CAST {
        let new = NewPerson {
            email: format!("{}@vessenholt.example", person.local),
            name: person.name.into(),
            qualification: person.qualification.into(),
            password_hash: Some(hash.to_owned()),
            administrator: person.administrator,
        };
        ids.insert(person.local, store::people::insert(tx, &new, now).await?);
    }
    Ok(ids)
}

async fn places(tx: &mut Tx, site: &mut Site) -> Result<()> {
    let all: &[(&str, Option<&str>, &str, &str)] = &[
        ("lab", None, "building", "Finds lab"),
        ("wet", Some("lab"), "room", "Wet store"),
        ("tank", Some("wet"), "tank", "Tank 1"),
        ("dry", Some("lab"), "room", "Dry bench"),
        ("metal", Some("lab"), "room", "Metal store"),
        ("metal1", Some("metal"), "shelf", "Shelf 1"),
        ("metal2", Some("metal"), "shelf", "Shelf 2"),
        ("store", None, "building", "Old sail loft"),
        ("bulk", Some("store"), "room", "Bulk room"),
        ("bulk1", Some("bulk"), "shelf", "Bay 1"),
        ("bulk2", Some("bulk"), "shelf", "Bay 2"),
        ("quiet", Some("store"), "room", "Quiet room"),
    ];
    for (key, parent, kind, name) in all {
        let parent = parent.and_then(|key| site.places.get(key).copied());
        let new = NewPlace { project: site.project, parent, kind: (*kind).into(), name: (*name).into() };
        let id = store::places::insert(tx, &new, site.now).await?;
        site.places.insert(key, id);
    }
    Ok(())
}

/// The shelf a material goes to.
fn shelf(material: &str, state: &str) -> &'static str {
    match material {
        _ if state == "wet" => "tank",
        "iron" | "composite" => "metal1",
        "copper_alloy" | "lead" | "silver_gold" | "coin" => "metal2",
        "cremated_bone" | "inhumed_bone" => "quiet",
        "ceramic" | "plaster_cbm" => "bulk1",
        "animal_bone" => "bulk2",
        _ => "dry",
    }
}

async fn finds(tx: &mut Tx, site: &mut Site) -> Result<()> {
    for told in FINDS {
        let new = told_find(site, told);
        let at = site.now - Duration::days(told.days_ago) + Duration::hours(3);
        site.register(tx, new, told.state, at, true).await?;
    }
    let taken: Vec<&str> = FINDS.iter().map(|f| f.number).collect();
    let mut numbers = (1_u32..).map(|n| n.to_string()).filter(|n| !taken.contains(&n.as_str()));
    let mut contexts: Vec<String> = site.contexts.keys().cloned().collect();
    contexts.sort();
    while site.finds.len() < FINDS_IN_ALL {
        let kind = pick(&mut site.chance);
        let context = contexts[site.chance.below(contexts.len())].clone();
        let days = 20 + site.chance.below(100) as i64;
        let number = numbers.next().unwrap_or_default();
        let mut new = kind_find(site, kind, number, &context);
        let at = site.now - Duration::days(days) + Duration::minutes(site.chance.below(400) as i64);
        new.recovered_on = Some(site.at_work(at - Duration::days(1)).date_naive());
        site.register(tx, new, kind.state, at, false).await?;
    }
    Ok(())
}

fn pick(chance: &mut Chance) -> &'static Kind {
    let all: u32 = KINDS.iter().map(|k| k.share).sum();
    let mut at = chance.below(all as usize) as u32;
    KINDS
        .iter()
        .find(|k| {
            let here = at < k.share;
            at = at.saturating_sub(k.share);
            here
        })
        .unwrap_or(&KINDS[0])
}

fn told_find(site: &Site, told: &Told) -> NewFind {
    NewFind {
        number: told.number.into(),
        bulk: told.bulk,
        context: site.contexts.get(told.context).copied(),
        material: told.material.into(),
        object_type: told.object.into(),
        description: told.description.into(),
        quantity: told.pieces,
        weight_g: Some(told.mass_g),
        recovered_on: Some(day(site.now, told.days_ago)),
        recovered_by: "Bea Lisle-Okoro".into(),
        recovery_method: "by hand".into(),
        recovered_state: told.state.parse().unwrap_or(domain::finds::RecoveredState::Unknown),
        restricted: told.restricted,
        place: site.places.get(shelf(told.material, told.state)).copied(),
        ..NewFind::default()
    }
}

fn kind_find(site: &mut Site, kind: &Kind, number: String, context: &str) -> NewFind {
    let chance = &mut site.chance;
    let share = chance.below(1000) as f64 / 1000.0;
    let mass_g = kind.mass_g.0 + share * (kind.mass_g.1 - kind.mass_g.0);
    let length = (kind.length_mm > 0.0).then(|| (kind.length_mm * (0.6 + 0.4 * share) * 10.0).round() / 10.0);
    let pieces = if kind.bulk { 3 + chance.below(60) as i64 } else { 1 };
    let dug = ["by hand", "by hand", "sieved", "lifted with soil"][chance.below(4)];
    let digger = ["Bea Lisle-Okoro", "R. Ostley", "H. Brandreth", "N. Quillfeather"][chance.below(4)];
    NewFind {
        number,
        bulk: kind.bulk,
        context: site.contexts.get(context).copied(),
        material: kind.material.into(),
        material_words: kind.material_words.into(),
        object_type: kind.object.into(),
        description: kind.description.into(),
        quantity: pieces,
        weight_g: Some((mass_g * 10.0).round() / 10.0),
        fragments: (!kind.bulk && chance.below(3) == 0).then(|| 1 + chance.below(4) as i64),
        recovered_by: digger.into(),
        recovery_method: dug.into(),
        recovered_state: kind.state.parse().unwrap_or(domain::finds::RecoveredState::Unknown),
        easting_m: (!kind.bulk).then(|| 4_512.0 + chance.below(9_000) as f64 / 100.0),
        northing_m: (!kind.bulk).then(|| 1_873.0 + chance.below(6_000) as f64 / 100.0),
        height_m: (!kind.bulk).then(|| 1.2 + chance.below(400) as f64 / 100.0),
        length_mm: length,
        period: kind.period.into(),
        condition_note: kind.condition.into(),
        restricted: kind.restricted,
        place: site.places.get(shelf(kind.material, kind.state)).copied(),
        ..NewFind::default()
    }
}

fn day(now: Instant, days_ago: i64) -> NaiveDate {
    (now - Duration::days(days_ago)).date_naive()
}

impl Site {
    /// The id of somebody of the cast.
    pub fn person(&self, local: &str) -> PersonId {
        self.people[local]
    }

    /// The find of a number.
    pub fn find(&self, number: &str) -> &Placed {
        self.finds.iter().find(|f| f.number == number).expect("the stories tell of finds that are there")
    }

    async fn admit(&self, tx: &mut Tx, project: ProjectId, person: &Person) -> Result<()> {
        let id = self.person(person.local);
        for role in person.roles {
            store::people::insert_role(tx, project, id, *role).await?;
        }
        if person.restricted {
            store::people::insert_clearance(tx, project, id, RESTRICTED).await?;
        }
        if person.findspot {
            store::people::insert_clearance(tx, project, id, FINDSPOT).await?;
        }
        Ok(())
    }

    async fn register(
        &mut self,
        tx: &mut Tx,
        new: NewFind,
        state: &'static str,
        at: Instant,
        told: bool,
    ) -> Result<()> {
        let bea = self.person(super::cast::BEA);
        // Never before the morning of the day on which it was dug.
        let dug = new.recovered_on.map(|day| day.and_time(NaiveTime::MIN).and_utc() + Duration::hours(8));
        let registered = self.at_work(at).max(dug.unwrap_or(at));
        let id = store::finds::insert(tx, self.project, &new, Some(bea), registered).await?;
        self.finds.push(Placed {
            id,
            number: new.number,
            context: new.context,
            material: new.material,
            object: new.object_type,
            bulk: new.bulk,
            pieces: new.quantity,
            mass_g: new.weight_g.unwrap_or(1.0),
            state,
            registered_at: at,
            told,
        });
        Ok(())
    }
}
