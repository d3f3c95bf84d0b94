//! Finds with specialists, what they said, what was settled.
use super::progress::{entry, in_hand, mark};
use super::{Placed, Site};
use crate::vessenholt::cast::{ILKA, JOSS, MAREN, PETRA, SABINE};
use crate::vessenholt::stories::{OPINIONS, PANEL, Said};
use chrono::Duration;
use domain::Instant;
use domain::ids::FindId;
use domain::review::opinion::{Confidence, DateKind, Likenesses, Seen, SeenAs, Weight};
use domain::review::share::{FeeFor, Share, Shares};
use domain::review::{Finality, Outcome, Stance};
use domain::stages::Stage;
use store::journal::{self, Entry};
use store::review::assignments::{self, NewAssignment, Terms};
use store::review::content::{DateLine, Parallel, Parts};
use store::review::opinions::{self, Content, NewOpinion};
use store::review::settlements::{self, NewSettlement};
use store::{Result, Tx};

/// What is asked of the finds that wait, how many days from now it is due, and how many go together.
const ASKED: [(&str, i64, usize); 4] = [
    (
        "Spot dates for the finds of the first weeks; where two centuries are possible, which is likelier?",
        -5,
        9,
    ),
    ("What are these, and of what date? Say where only the fabric speaks.", 9, 12),
    ("Dates for the finds of the chapel and its yard.", 23, 12),
    ("The rest of the season: what is it, and of what date?", 37, usize::MAX),
];

/// The finds that nobody has answered yet, sent in a few parcels.
async fn send_the_rest(tx: &mut Tx, site: &mut Site) -> Result<()> {
    let mut rest = std::mem::take(&mut site.unanswered).into_iter();
    for (question, due_in_days, together) in ASKED {
        let finds: Vec<FindId> = rest.by_ref().take(together).collect();
        if finds.is_empty() {
            break;
        }
        let new = NewAssignment {
            project: site.project,
            specialist: site.person(SABINE),
            question: question.into(),
            due_on: (site.now + Duration::days(due_in_days)).date_naive(),
            finds,
            terms: Terms::default(),
        };
        let made = (site.now + Duration::days(due_in_days - 45)).min(site.now - Duration::days(1));
        assignments::insert(tx, &new, site.person(PETRA), site.at_work(made)).await?;
    }
    Ok(())
}

/// Sends the story finds out and lets their opinions come in.
pub(super) async fn load(tx: &mut Tx, site: &mut Site) -> Result<()> {
    send_the_rest(tx, site).await?;
    let sent: &[(&str, &[&str], &str, i64)] = &[
        (
            ILKA,
            &[PANEL],
            "Which saint, from what kind of altarpiece, and of what date? Is the paint original?",
            10,
        ),
        (MAREN, &[PANEL], "A second opinion on workshop and date, please, from the photographs.", 10),
        (
            SABINE,
            &["3", "4", "5"],
            "Dates for the fill of the pit below the chapel: glass, pottery, coin.",
            -4,
        ),
        (
            JOSS,
            &["95", "96", "97"],
            "How many individuals, age and sex as far as it goes; anything doubled?",
            21,
        ),
    ];
    for (who, numbers, question, due_in_days) in sent {
        let finds = numbers.iter().map(|n| site.find(n).id).collect();
        let new = NewAssignment {
            project: site.project,
            specialist: site.person(who),
            question: (*question).into(),
            due_on: (site.now + Duration::days(*due_in_days)).date_naive(),
            finds,
            terms: terms(who),
        };
        assignments::insert(tx, &new, site.person(PETRA), site.at_work(site.now - Duration::days(20)))
            .await?;
    }
    for (at, said) in OPINIONS.iter().enumerate() {
        let when = site.at_work(site.now - Duration::days(8) + Duration::hours(at as i64 * 7));
        submit(tx, site, said, when).await?;
    }
    Ok(())
}

/// What was shared with them and agreed.
fn terms(who: &str) -> Terms {
    let fee = |days: f64, fee: f64| Terms {
        days: Some(days),
        fee: Some(fee),
        fee_for: FeeFor::Day,
        currency: "EUR".into(),
        ..Terms::default()
    };
    match who {
        ILKA => Terms {
            aims: "When was the chapel furnished, and by whom? Can the panel belong to the documented altar?"
                .into(),
            ..fee(2.0, 420.0)
        },
        MAREN => {
            Terms { shares: [Share::Images, Share::Measurements].into_iter().collect(), ..Terms::default() }
        }
        JOSS => Terms {
            aims: "Who was buried at the quay before the chapel stood?".into(),
            shares: Shares::ALL,
            ..fee(4.5, 380.0)
        },
        _ => fee(3.0, 390.0),
    }
}

async fn submit(tx: &mut Tx, site: &Site, said: &Said, at: Instant) -> Result<()> {
    let find = site.find(said.number);
    let author = site.person(said.author);
    let rule = if said.date_words.contains("C1") { "thirds of a century" } else { "" };
    let dates = (!said.date_words.is_empty()).then(|| made(said.date_words, said.years, rule));
    let none = said.parallels.starts_with("none found");
    let cited = Parallel {
        citation: said.parallels.into(),
        at_place: String::new(),
        likeness: Likenesses::default(),
        date_words: String::new(),
        date_basis: String::new(),
    };
    let finality = if said.is_final { Finality::Final } else { Finality::Preliminary };
    let content = Content {
        confidence: said.is_final.then_some(Confidence::Probable),
        material_words: said.material.into(),
        parallels_none: none,
        parallels_said: if none { said.parallels.into() } else { String::new() },
        basis: said.basis.into(),
        seen_as: Seen::of(vec![if said.author == SABINE { SeenAs::Object } else { SeenAs::Image }]),
        parts: Parts {
            dates: dates.into_iter().collect(),
            parallels: (!none).then_some(cited).into_iter().collect(),
            ..Parts::default()
        },
        ..Content::saying(finality, said.identification)
    };
    let assignment = assignments::find_of(tx, find.id, author).await?;
    let new = NewOpinion { find: find.id, assignment, covering: None, content };
    opinions::insert(tx, &new, author, at).await?;
    let words = format!("submitted a {} opinion: {}", finality.label(), said.identification);
    journal::append(tx, &Entry { verb: "opinion", ..entry(site, find, said.author, words) }, at).await
}

/// A date of making as written, with the years it is read as.
fn made(words: &str, (lo, hi): (i64, i64), rule: &str) -> DateLine {
    DateLine {
        statement: 1,
        words: words.into(),
        kind: DateKind::Manufacture,
        weight: Weight::Unsaid,
        date_lo: Some(lo),
        date_hi: Some(hi),
        rule: rule.into(),
    }
}

/// An ordinary find is looked at by the specialist for glass and pottery, and settled as she says.
pub(super) async fn answer(
    tx: &mut Tx,
    site: &mut Site,
    find: &Placed,
    stage: Stage,
    at: Instant,
) -> Result<()> {
    let (at, asked) = (site.at_work(at), site.at_work(at - Duration::hours(30)));
    if stage == Stage::Settlement {
        return settle(tx, site, find, at).await;
    }
    if site.chance.below(4) == 0 {
        site.unanswered.push(find.id);
        return in_hand(tx, find, stage, at).await;
    }
    let sabine = site.person(SABINE);
    let new = NewAssignment {
        project: site.project,
        specialist: sabine,
        question: format!("What is {}, and of what date?", find.number),
        due_on: (at + Duration::days(30)).date_naive(),
        finds: vec![find.id],
        terms: Terms::default(),
    };
    let assignment = assignments::insert(tx, &new, site.person(PETRA), asked).await?;
    let phase = site.phase_of(find);
    let (words, lo, hi) = dates_of(phase)[site.chance.below(4)];
    let content = Content {
        confidence: Some(Confidence::Certain),
        parallels_none: true,
        seen_as: Seen::of(vec![SeenAs::Object]),
        basis: "form and fabric, compared with the type series of the town".into(),
        parts: Parts { dates: vec![made(words, (lo, hi), "whole and half centuries")], ..Parts::default() },
        ..Content::saying(Finality::Final, &find.object)
    };
    let new = NewOpinion { find: find.id, assignment: Some(assignment), covering: None, content };
    opinions::insert(tx, &new, sabine, at).await?;
    assignments::update_closed(tx, assignment, at).await?;
    mark(tx, site, find, stage, at).await?;
    let words = format!("submitted a final opinion: {}", find.object);
    journal::append(tx, &Entry { verb: "opinion", ..entry(site, find, SABINE, words) }, at).await
}

/// What is found in a phase: mostly of its time, now and then older.
fn dates_of(phase: u8) -> [(&'static str, i64, i64); 4] {
    const ROMAN: (&str, i64, i64) = ("2nd century AD", 101, 200);
    match phase {
        0 | 1 => [("AD 70–130", 70, 130), ROMAN, ("AD 120–160", 120, 160), ("1st century AD", 1, 100)],
        2 => [("7th century", 601, 700), ("8th–9th century", 701, 900), ROMAN, ("8th century", 701, 800)],
        3 => [
            ("13th century", 1201, 1300),
            ("12th–13th century", 1101, 1300),
            ROMAN,
            ("12th century", 1101, 1200),
        ],
        4 => [
            ("first half of the 15th century", 1401, 1450),
            ("14th century", 1301, 1400),
            ("13th–14th century", 1201, 1400),
            ROMAN,
        ],
        5 => [
            ("16th century", 1501, 1600),
            ("17th century", 1601, 1700),
            ("first half of the 15th century", 1401, 1450),
            ("16th–17th century", 1501, 1700),
        ],
        _ => [
            ("19th century", 1801, 1900),
            ("18th century", 1701, 1800),
            ("17th century", 1601, 1700),
            ("18th–19th century", 1701, 1900),
        ],
    }
}

async fn settle(tx: &mut Tx, site: &Site, find: &Placed, at: Instant) -> Result<()> {
    let said = opinions::list_of_find(tx, find.id).await?;
    let Some(one) = said.first() else { return Ok(()) };
    let new = NewSettlement {
        find: find.id,
        outcome: Outcome::Agreed,
        identification: one.identification.clone(),
        date_words: one.date_words.clone(),
        date_lo: one.date_lo,
        date_hi: one.date_hi,
        reason: "one opinion, final, from the object".into(),
        stances: vec![(one.id, Stance::Adopted)],
    };
    settlements::insert(tx, &new, site.person(PETRA), at).await?;
    mark(tx, site, find, Stage::Settlement, at).await?;
    let words = "settled the opinions as agreed".to_owned();
    journal::append(tx, &Entry { verb: "settled", ..entry(site, find, PETRA, words) }, at).await
}
