//! A second, small site, so that Today and the backlog have more than one project to tell of.
use super::Site;
use crate::vessenholt::cast::{BEA, CAST, ILKA, ODILE, PETRA, TOMAS};
use crate::vessenholt::objects::KINDS;
use chrono::Duration;
use pictures::chance::Chance;
use store::contexts::{self, NewContext};
use store::finds::NewFind;
use store::projects::NewProject;
use store::review::assignments::{self, NewAssignment, Terms};
use store::{Result, Tx};

/// Finds of the small site.
const FINDS: usize = 28;

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    let project = NewProject {
        code: "HLX30".into(),
        name: "Hollin Cross".into(),
        site: "Hollin Cross, the wayside chapel".into(),
        client: "Parish of Hollin".into(),
        summary: "A watching brief on the drains of the wayside chapel.".into(),
        number_pattern: "SF #".into(),
        date_convention: "thirds".into(),
    };
    let project = store::projects::insert(tx, &project, site.now - Duration::days(60)).await?;
    for person in CAST.iter().filter(|p| [ODILE, TOMAS, BEA, PETRA, ILKA].contains(&p.local)) {
        site.admit(tx, project, person).await?;
    }
    let mut chance = Chance::new(30);
    let context = NewContext {
        number: "1".into(),
        kind: "layer".into(),
        interpretation: "topsoil by the west door".into(),
        ..NewContext::default()
    };
    let context = contexts::insert(tx, project, &context, site.now).await?;
    let mut sent = Vec::new();
    for number in 1..=FINDS {
        let kind = &KINDS[chance.below(KINDS.len())];
        let new = NewFind {
            number: format!("SF {number}"),
            bulk: kind.bulk,
            context: Some(context),
            material: kind.material.into(),
            material_words: kind.material_words.into(),
            object_type: kind.object.into(),
            description: kind.description.into(),
            quantity: if kind.bulk { 14 } else { 1 },
            weight_g: Some(kind.mass_g.1),
            recovered_state: kind.state.parse().unwrap_or(domain::finds::RecoveredState::Unknown),
            recovered_on: Some(site.at_work(site.now - Duration::days(12)).date_naive()),
            restricted: kind.restricted,
            ..NewFind::default()
        };
        let at = site.at_work(site.now - Duration::days(10));
        let id = store::finds::insert(tx, project, &new, Some(site.person(BEA)), at).await?;
        if sent.len() < 2 && !kind.restricted {
            sent.push(id);
        }
    }
    let asked = NewAssignment {
        project,
        specialist: site.person(ILKA),
        question: "Anything here that is earlier than the chapel?".into(),
        due_on: (site.now + Duration::days(5)).date_naive(),
        finds: sent,
        terms: Terms::default(),
    };
    assignments::insert(tx, &asked, site.person(PETRA), site.at_work(site.now - Duration::days(3))).await?;
    Ok(())
}
