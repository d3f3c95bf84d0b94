//! What lies on the desks of the specialists: more finds, questions and answers, drafts, days.
use super::progress::entry;
use super::{Placed, Site};
use crate::vessenholt::cast::{ILKA, JOSS, ODILE, PETRA};
use crate::vessenholt::stories::PANEL;
use chrono::Duration;
use domain::ids::{FindId, PersonId, ThreadLineId};
use domain::review::asking::LineKind;
use domain::review::share::FeeFor;
use store::journal;
use store::review::assignments::{self, NewAssignment, Terms};
use store::review::threads::{self, NewLine};
use store::review::{days, opinions};
use store::{Result, Tx};

/// Carved stones that go to the specialist together.
const STONES: usize = 5;

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    let ilka = site.person(ILKA);
    let stones: Vec<&Placed> = site
        .finds
        .iter()
        .filter(|find| find.material == "stone" && !find.told && !find.bulk)
        .take(STONES)
        .collect();
    let new = NewAssignment {
        project: site.project,
        specialist: ilka,
        question: "Do these belong to one building, and to which part of it? Is any of them reused?".into(),
        due_on: (site.now + Duration::days(24)).date_naive(),
        finds: stones.iter().map(|find| find.id).collect(),
        terms: Terms {
            aims: "What did the chapel look like before it was robbed?".into(),
            days: Some(3.0),
            fee: Some(1260.0),
            fee_for: FeeFor::Whole,
            currency: "EUR".into(),
            ..Terms::default()
        },
    };
    if !new.finds.is_empty() {
        assignments::insert(tx, &new, site.person(PETRA), site.at_work(site.now - Duration::days(6))).await?;
    }
    if let Some(first) = stones.first() {
        let draft = r#"{"identification":"voussoir of a small window, roll and hollow","basis":"profile; tooling to be compared","finality":"preliminary"}"#;
        opinions::update_draft(tx, first.id, ilka, draft, site.at_work(site.now - Duration::days(1))).await?;
    }
    talk(tx, site).await?;
    for assignment in assignments::list_of_specialist(tx, ilka).await?.iter().take(1) {
        for (ago, worked, words) in
            [(7, 0.5, "photographs and raking shots gone through"), (5, 0.75, "parallels")]
        {
            let at = site.at_work(site.now - Duration::days(ago));
            days::insert(tx, assignment.id, (at.date_naive(), worked, words), at).await?;
        }
    }
    Ok(())
}

/// Questions about the panel and the urn, some answered.
async fn talk(tx: &mut Tx, site: &Site) -> Result<()> {
    let panel = Thread { site, find: site.find(PANEL).id, specialist: ILKA };
    let depth = "How deep is the undercutting behind the left sleeve, at its deepest?";
    let asked = panel.ask(tx, LineKind::Measurement, depth, 9).await?;
    panel.answer(tx, asked, "31 mm, measured with a depth gauge at three places: 29, 31, 30 mm.", 8).await?;
    let light = "Could the hem be taken again in raking light from the right? The left shows it flat.";
    panel.ask(tx, LineKind::Image, light, 2).await?;
    let urn = Thread { site, find: site.find("95").id, specialist: JOSS };
    let sieve = "Was the first spit weighed before or after sieving?";
    let asked = urn.ask(tx, LineKind::Question, sieve, 5).await?;
    urn.answer(tx, asked, "Before, all of them; the sheet has both weights.", 4).await
}

struct Thread<'a> {
    site: &'a Site,
    find: FindId,
    specialist: &'static str,
}

impl Thread<'_> {
    fn line(&self, kind: LineKind, words: &str) -> NewLine {
        let specialist = self.site.person(self.specialist);
        NewLine { find: self.find, specialist, kind, words: words.into(), image: None, answers: None }
    }

    async fn ask(&self, tx: &mut Tx, kind: LineKind, words: &str, days_ago: i64) -> Result<ThreadLineId> {
        let told = format!("{}: {words}", kind.told());
        self.write(tx, (self.line(kind, words), self.specialist, told), days_ago).await
    }

    async fn answer(&self, tx: &mut Tx, asked: ThreadLineId, words: &str, days_ago: i64) -> Result<()> {
        let line = NewLine { answers: Some(asked), ..self.line(LineKind::Word, words) };
        self.write(tx, (line, ODILE, format!("answered: {words}")), days_ago).await?;
        Ok(())
    }

    async fn write(
        &self,
        tx: &mut Tx,
        (line, by, told): (NewLine, &'static str, String),
        days_ago: i64,
    ) -> Result<ThreadLineId> {
        let at = self.site.at_work(self.site.now - Duration::days(days_ago));
        let person: PersonId = self.site.person(by);
        let id = threads::insert(tx, &line, person, at).await?;
        let find = self.site.finds.iter().find(|find| find.id == self.find);
        if let Some(find) = find {
            journal::append(tx, &entry(self.site, find, by, told), at).await?;
        }
        Ok(id)
    }
}
