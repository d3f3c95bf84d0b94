//! An invented project of any size, for load tests: plain words from a small vocabulary, the same size giving the same finds.
use chrono::Duration;
use domain::Instant;
use domain::clocks::ClockKind;
use domain::finds::RecoveredState;
use domain::ids::{ContextId, FindId, PersonId, PlaceId, ProjectId};
use domain::stages::{Route, Stage, StageMark, StageState};
use pictures::chance::Chance;
use std::collections::BTreeMap;
use store::contexts::NewContext;
use store::finds::marks::{self, Walk};
use store::finds::{self, NewFind};
use store::journal::{self, Entry};
use store::places::NewPlace;
use store::{Result, Tx};

/// Finds to one context.
const FINDS_TO_A_CONTEXT: usize = 40;
/// Over how many days the finds came in, the last of them today.
const DAYS: i64 = 400;
/// In how many finds the description has [`RARE_WORD`] in it, however many there are.
const RARE: usize = 20;
/// Stands in so few finds that one page lists them all.
pub const RARE_WORD: &str = "ostwynmark";

/// A material group with the objects made of it; the number is its share of all finds.
const OBJECTS: &[(&str, usize, &[&str])] = &[
    (
        "ceramic",
        34,
        &["body sherd", "rim sherd", "base sherd", "handle", "cooking pot", "jug", "dish", "pipe stem"],
    ),
    ("animal_bone", 20, &["long bone", "rib", "jaw", "horn core", "fish vertebra"]),
    ("iron", 13, &["nail", "hinge strap", "knife", "buckle", "staple", "key", "bar"]),
    ("glass", 8, &["window pane", "vessel rim", "vessel base", "bead", "bottle neck"]),
    ("copper_alloy", 6, &["pin", "buckle", "mount", "thimble", "strap end", "ring"]),
    ("wood_leather", 5, &["shoe sole", "offcut", "stave", "peg", "plank piece"]),
    ("stone", 5, &["whetstone", "quern piece", "moulding", "roof slate", "weight"]),
    ("plaster_cbm", 4, &["roof tile", "brick", "painted plaster"]),
    ("lead", 2, &["window came", "weight", "offcut"]),
    ("worked_bone", 1, &["comb", "needle", "handle plate"]),
    ("coin", 1, &["penny", "token"]),
    ("textile", 1, &["woven piece", "cord"]),
];
const SHAPES: &[&str] =
    &["abraded", "sharp", "burnt", "bent", "complete", "broken", "split", "worn", "flaking", "sooted"];
const PARTS: &[&str] =
    &["edge", "rim", "shank", "corner", "surface", "core", "back", "socket", "foot", "neck"];
const COLOURS: &[&str] =
    &["grey", "buff", "green", "brown", "black", "reddish", "pale", "blue green", "white"];
const SOILS: &[&str] =
    &["grey silt", "black organic silt", "brown clay", "sand and shell", "mortar rubble", "ashy loam"];
const PERIODS: &[&str] =
    &["12th century", "13th century", "late medieval", "15th to 16th century", "post-medieval", ""];
/// Beginnings, middles and ends of the words that no other find shares.
const SYLLABLES: [&[&str]; 3] = [
    &[
        "bra", "cor", "del", "fen", "gal", "hol", "kel", "lun", "mar", "nor", "pel", "ros", "sul", "tor",
        "vel", "wen",
    ],
    &["ba", "di", "fo", "ge", "ki", "lo", "mu", "ne", "pi", "ra", "so", "tu", "va", "we", "yo", "ze"],
    &["ck", "d", "l", "m", "n", "p", "r", "rd", "rn", "s", "st", "t", "th", "x", "ng", "nd"],
];

/// Who works on the grown project.
#[derive(Debug, Clone, Copy)]
pub struct Hands {
    /// Registers, records and holds.
    pub registrar: PersonId,
    /// Has a twentieth of the finds on the bench.
    pub bench: PersonId,
}

/// A project that is growing.
pub struct Growth {
    project: ProjectId,
    hands: Hands,
    all: usize,
    made: usize,
    contexts: Vec<ContextId>,
    places: Vec<PlaceId>,
    routes: BTreeMap<String, Route>,
    now: Instant,
    chance: Chance,
}

impl Growth {
    /// Makes places and contexts for `all` finds of a project.
    pub async fn begin(
        tx: &mut Tx,
        project: ProjectId,
        hands: Hands,
        all: usize,
        now: Instant,
    ) -> Result<Growth> {
        let begun = now - Duration::days(DAYS);
        let mut chance = Chance::new(all as u64);
        let places = shelves(tx, project, begun).await?;
        let new: Vec<NewContext> =
            (1..=all.div_ceil(FINDS_TO_A_CONTEXT)).map(|number| ground(&mut chance, number)).collect();
        let contexts = store::contexts::insert_many(tx, project, &new, begun).await?;
        let routes = store::projects::list_routes(tx, project).await?;
        Ok(Growth { project, hands, all, made: 0, contexts, places, routes, now, chance })
    }

    /// Whether all finds are there.
    pub fn is_complete(&self) -> bool {
        self.made >= self.all
    }

    /// Makes the next finds, at most `most` of them, each as far along its route as chance has it.
    pub async fn step(&mut self, tx: &mut Tx, most: usize) -> Result<()> {
        let most = most.min(self.all - self.made);
        let hours = DAYS * 24 * self.made as i64 / self.all as i64;
        let at = self.now - Duration::days(DAYS) + Duration::hours(hours);
        let new: Vec<NewFind> = (0..most).map(|n| self.object(self.made + n, at)).collect();
        let ids = finds::insert_many(tx, self.project, &new, Some(self.hands.registrar), at).await?;
        let walks: Vec<Walk> = ids.iter().zip(&new).map(|(id, find)| self.walk(*id, find, at)).collect();
        marks::insert_many(tx, self.project, &walks).await?;
        journal::append_dated(tx, &self.entries(&walks)).await?;
        self.hold_and_assign(tx, &walks).await?;
        self.made += most;
        Ok(())
    }

    fn object(&mut self, at: usize, registered: Instant) -> NewFind {
        let chance = &mut self.chance;
        let (material, objects) = chance_material(chance);
        let bulk = matches!(material, "ceramic" | "animal_bone") && chance.below(3) == 0;
        let mut description = format!(
            "{} {} {}, {} {}{}{}",
            pick(chance, COLOURS),
            pick(chance, SHAPES),
            pick(chance, PARTS),
            pick(chance, &["marked", "named", "group"]),
            pick(chance, SYLLABLES[0]),
            pick(chance, SYLLABLES[1]),
            pick(chance, SYLLABLES[2]),
        );
        let apart = self.all.div_ceil(RARE);
        if at % apart == apart / 2 {
            description = format!("{description}, {RARE_WORD}");
        }
        let wet = matches!(material, "wood_leather" | "textile");
        NewFind {
            number: (at + 1).to_string(),
            bulk,
            context: Some(
                self.contexts[(at / FINDS_TO_A_CONTEXT + chance.below(3)).min(self.contexts.len() - 1)],
            ),
            material: material.into(),
            object_type: pick(chance, objects).into(),
            description,
            quantity: if bulk { 2 + chance.below(60) as i64 } else { 1 },
            weight_g: Some(0.5 + chance.below(4_000) as f64 / 10.0),
            recovered_on: Some((registered - Duration::days(1)).date_naive()),
            recovered_by: "R. Ostley".into(),
            recovery_method: pick(chance, &["by hand", "sieved"]).into(),
            recovered_state: if wet { RecoveredState::Wet } else { RecoveredState::Dry },
            length_mm: (!bulk).then(|| 5.0 + chance.below(1_500) as f64 / 10.0),
            period: pick(chance, PERIODS).into(),
            restricted: chance.below(100) == 0,
            place: Some(self.places[chance.below(self.places.len())]),
            ..NewFind::default()
        }
    }

    /// Half of the finds are finished or nearly so, the rest stand anywhere.
    fn walk(&mut self, find: FindId, new: &NewFind, registered: Instant) -> Walk {
        let stages: Vec<Stage> = self.routes.get(&new.material).map_or(Vec::new(), |route| {
            route.0.iter().map(|s| s.stage).filter(|s| *s != Stage::Registration).collect()
        });
        let far = self.chance.below(2 * stages.len() + 1).min(stages.len());
        let mut marks = Vec::with_capacity(far);
        let mut at = registered;
        for (nth, stage) in stages.into_iter().take(far).enumerate() {
            at += Duration::minutes(240 + self.chance.below(15_000) as i64);
            if at >= self.now {
                break;
            }
            let state = match self.chance.below(12) {
                0 if nth + 1 == far => StageState::InHand,
                1 if nth > 0 => StageState::NotNeeded,
                _ => StageState::Done,
            };
            let reason = if state == StageState::NotNeeded { "nothing to be done here" } else { "" };
            let mark = StageMark { stage, state, quantity_done: new.quantity, reason: reason.into() };
            marks.push((mark, at));
        }
        Walk { find, material: new.material.clone(), marks }
    }

    fn entries(&self, walks: &[Walk]) -> Vec<(Entry, Instant)> {
        let told = |walk: &Walk, mark: &StageMark| Entry {
            project: Some(self.project),
            find: Some(walk.find),
            context: None,
            verb: "stage",
            words: format!("marked {} as {}", mark.stage.label(), mark.state.label()),
            by: Some(self.hands.registrar),
        };
        walks
            .iter()
            .flat_map(|walk| walk.marks.iter().map(move |(mark, at)| (told(walk, mark), *at)))
            .collect()
    }

    /// Wet packs that were dried have no clock any more; some finds are held, some are on somebody's bench.
    async fn hold_and_assign(&mut self, tx: &mut Tx, walks: &[Walk]) -> Result<()> {
        for walk in walks {
            let dried = walk.marks.iter().find(|(mark, _)| mark.stage == Stage::Drying);
            if let Some((_, at)) =
                dried.filter(|_| matches!(walk.material.as_str(), "wood_leather" | "textile"))
            {
                store::clocks::stop(tx, walk.find, ClockKind::Wet, *at).await?;
            }
            match self.chance.below(100) {
                0 | 1 => {
                    let reason = pick(
                        &mut self.chance,
                        &["waits for an X-ray", "two finds in one bag", "label unreadable"],
                    );
                    store::work::holds::insert(tx, walk.find, reason, self.hands.registrar, self.now).await?;
                }
                2..=6 => finds::update_assignee(tx, walk.find, Some(self.hands.bench)).await?,
                _ => {}
            }
        }
        Ok(())
    }
}

fn pick<'a>(chance: &mut Chance, words: &[&'a str]) -> &'a str {
    words[chance.below(words.len())]
}

fn chance_material(chance: &mut Chance) -> (&'static str, &'static [&'static str]) {
    let mut at = chance.below(OBJECTS.iter().map(|(_, share, _)| share).sum());
    for (material, share, objects) in OBJECTS {
        if at < *share {
            return (material, objects);
        }
        at -= share;
    }
    (OBJECTS[0].0, OBJECTS[0].2)
}

fn ground(chance: &mut Chance, number: usize) -> NewContext {
    NewContext {
        number: number.to_string(),
        kind: pick(chance, &["layer", "fill", "cut", "masonry"]).into(),
        area: pick(chance, &["north", "south", "yard"]).into(),
        phase: (1 + chance.below(6)).to_string(),
        interpretation: pick(chance, &["dump", "pit fill", "floor", "levelling", "demolition"]).into(),
        soil: pick(chance, SOILS).into(),
        ..NewContext::default()
    }
}

async fn shelves(tx: &mut Tx, project: ProjectId, now: Instant) -> Result<Vec<PlaceId>> {
    let store = NewPlace { project, parent: None, kind: "building".into(), name: "Long store".into() };
    let store = store::places::insert(tx, &store, now).await?;
    let mut shelves = Vec::new();
    for number in 1..=40 {
        let new =
            NewPlace { project, parent: Some(store), kind: "shelf".into(), name: format!("Shelf {number}") };
        shelves.push(store::places::insert(tx, &new, now).await?);
    }
    Ok(shelves)
}
