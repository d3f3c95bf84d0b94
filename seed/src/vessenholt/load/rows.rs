//! Rows of specialists: the urn spit by spit, sherds by fabric, and what a licence asks for human remains.
use super::progress::entry;
use super::{Placed, Site};
use crate::vessenholt::cast::{JOSS, PETRA, SABINE};
use chrono::Duration;
use domain::ids::AssignmentId;
use domain::rows::{FindAsked, Row, TypedRow, TypedRows};
use store::journal;
use store::materials::{self, GroupWords};
use store::review::assignments::{self, NewAssignment, Terms};
use store::rows::disciplines::{self, Discipline};
use store::rows::drafts::{self, Draft};
use store::rows::lists::{self, NewList};
use store::{Result, Tx};

/// An invented licence; no authority issued it.
const LICENCE: &str = "Licence VH-2031-07 of the Vessenholt burial authority: examination in closed rooms only, no images in \
                       public, no sampling without its consent, reburial with the rest of the cemetery.";
/// Bags of sherds that go to the pottery specialist together, and how many of them are done.
const BAGS: usize = 9;
const DONE: usize = 6;
/// Invented fabrics.
const FABRICS: [&str; 4] = ["sandy grey", "shelly", "white slipped", "glazed red"];
const FORMS: [&str; 4] = ["jar", "bowl", "jug", "pipkin"];

pub(super) async fn load(tx: &mut Tx, site: &Site) -> Result<()> {
    for code in ["cremated_bone", "inhumed_bone"] {
        if let Some(group) = materials::find(tx, site.project, code).await? {
            let words = GroupWords {
                name: group.name,
                words: group.words,
                caution: group.caution,
                licence: LICENCE.into(),
            };
            materials::update(tx, site.project, code, &words, group.revision).await?;
        }
    }
    let urn = assignments::find_of(tx, site.find("95").id, site.person(JOSS)).await?;
    if let (Some(urn), Some(bone)) = (urn, disciplines::find(tx, site.project, "bone").await?) {
        let rows: Vec<(&Placed, Row)> = ["95", "96", "97"].map(|number| spit(site.find(number))).into();
        submit(tx, site, (urn, &bone, JOSS), (&rows, "")).await?;
    }
    let bags: Vec<&Placed> = site
        .finds
        .iter()
        .filter(|find| find.material == "ceramic" && find.bulk && !find.told)
        .take(BAGS)
        .collect();
    if bags.is_empty() {
        return Ok(());
    }
    let new = NewAssignment {
        project: site.project,
        specialist: site.person(SABINE),
        question: "Spot dates and a quantified list by fabric and form, please.".into(),
        due_on: (site.now + Duration::days(16)).date_naive(),
        finds: bags.iter().map(|find| find.id).collect(),
        terms: Terms { aims: "When was each dump behind the quay laid down?".into(), ..Terms::default() },
    };
    let sent =
        assignments::insert(tx, &new, site.person(PETRA), site.at_work(site.now - Duration::days(9))).await?;
    let Some(pottery) = disciplines::find(tx, site.project, "pottery").await? else { return Ok(()) };
    let known = store::rows::list_finds(tx, sent).await?;
    let mut rows: Vec<(&Placed, Row)> = Vec::new();
    for (at, bag) in bags.iter().take(DONE).enumerate() {
        let find = known.iter().map(|one| &one.find).find(|find| find.id == bag.id);
        rows.extend(find.into_iter().flat_map(|find| sherds(at, find)).map(|row| (*bag, row)));
    }
    let note = "One sherd of the first bag broke along an old crack while it was unpacked; both pieces are in the bag.";
    submit(tx, site, (sent, &pottery, SABINE), (&rows, note)).await?;
    revise(tx, site, (sent, &pottery), (&rows, &bags)).await
}

/// A spit of the urn as weighed before sieving.
fn spit(find: &Placed) -> (&Placed, Row) {
    let mass = find.mass_g.to_string();
    let cells =
        ["mixed, calvaria and long bones", "", "fragment", "not sieved", "", &mass, "no element doubled"];
    (find, Row { find: find.id, sub_number: String::new(), cells: cells.map(String::from).into() })
}

/// Rim, base and body sherds of a bag; those of the first are one more than the register knows.
fn sherds(at: usize, bag: &FindAsked) -> Vec<Row> {
    let pieces = bag.pieces + i64::from(at == 0);
    let (rims, bases) = (pieces / 5, pieces / 8);
    let all_g = bag.mass_g.unwrap_or_default();
    let parts = [("rim", rims), ("base", bases), ("body", pieces - rims - bases)];
    let row = |(place, (part, count)): (usize, (&str, i64))| {
        let mass = (all_g * count as f64 / pieces as f64 * 10.0).round() / 10.0;
        let rim = |words: String| if part == "rim" { words } else { String::new() };
        let cells = [
            FABRICS[(at + place) % FABRICS.len()].to_owned(),
            FORMS[at % FORMS.len()].to_owned(),
            part.to_owned(),
            count.to_string(),
            mass.to_string(),
            rim((count * 7).min(100).to_string()),
            rim((120 + 10 * at).to_string()),
            String::new(),
            String::new(),
        ];
        Row { find: bag.id, sub_number: String::new(), cells: cells.into() }
    };
    parts.into_iter().filter(|(_, count)| *count > 0).enumerate().map(row).collect()
}

async fn submit(
    tx: &mut Tx,
    site: &Site,
    (assignment, discipline, who): (AssignmentId, &Discipline, &'static str),
    (rows, note): (&[(&Placed, Row)], &str),
) -> Result<()> {
    let at = site.at_work(site.now - Duration::days(2));
    let kept: Vec<Row> = rows.iter().map(|(_, row)| row.clone()).collect();
    let new = NewList {
        assignment,
        discipline: &discipline.code,
        discipline_name: &discipline.name,
        columns: &discipline.columns,
        rows: &kept,
        note,
    };
    lists::insert(tx, &new, at).await?;
    let mut told: Vec<&Placed> = rows.iter().map(|(find, _)| *find).collect();
    told.dedup_by_key(|find| find.id);
    for find in told {
        let words = format!("submitted rows of {}", discipline.name.to_lowercase());
        journal::append(tx, &entry(site, find, who, words), at).await?;
    }
    Ok(())
}

/// The revision that is on the specialist’s desk: the rest of the bags, the last of them not filled in yet.
async fn revise(
    tx: &mut Tx,
    site: &Site,
    (assignment, discipline): (AssignmentId, &Discipline),
    (rows, bags): (&[(&Placed, Row)], &[&Placed]),
) -> Result<()> {
    let typed = |(find, row): &(&Placed, Row)| TypedRow {
        find: find.number.clone(),
        sub_number: row.sub_number.clone(),
        cells: row.cells.clone(),
    };
    let mut all: Vec<TypedRow> = rows.iter().map(typed).collect();
    for bag in bags.iter().skip(DONE) {
        let cells = vec![String::new(); discipline.columns.len()];
        all.push(TypedRow { find: bag.number.clone(), sub_number: String::new(), cells });
    }
    let columns = discipline.columns.iter().map(|column| column.code.clone()).collect();
    let note = "One sherd of the first bag broke along an old crack while it was unpacked.".into();
    let draft = Draft { typed: TypedRows { columns, rows: all }, note };
    drafts::update(tx, (assignment, &discipline.code), &draft, site.at_work(site.now - Duration::days(1)))
        .await
}
