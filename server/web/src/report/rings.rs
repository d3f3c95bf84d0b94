//! Ring diameters against the lists of moulds of the project, for the report.
use crate::error::Answer;
use crate::filters::show_day;
use crate::rings::compared::{self, Row};
use crate::rings::said;
use domain::ids::ProjectId;
use domain::rings::NewMould;
use report::interim::RingsLine;
use store::Tx;
use store::rings::{self, MouldList, RingSet, Ringed};

/// Moulds named of each ranking, ties beyond it too.
const NEAREST: usize = 3;

/// A line for each find with rings and each list that stands; without a list one line says so.
pub(super) async fn lines(tx: &mut Tx, project: ProjectId) -> Answer<Vec<RingsLine>> {
    let finds = rings::list_ringed(tx, project).await?;
    if finds.is_empty() {
        return Ok(Vec::new());
    }
    let mut lists = Vec::new();
    for list in rings::list_lists(tx, project).await? {
        if list.withdrawn_at.is_none() {
            let moulds = rings::list_moulds(tx, list.id).await?;
            lists.push((list, moulds));
        }
    }
    let mut lines = Vec::new();
    for find in finds {
        let Some(last) = rings::list_sets(tx, find.id).await?.into_iter().next() else { continue };
        if lists.is_empty() {
            lines.push(RingsLine {
                list: "nothing".into(),
                finding: "The project has no list of moulds.".into(),
                ..measured(&find, &last)
            });
        }
        lines.extend(lists.iter().map(|list| line((&find, &last), list)));
    }
    Ok(lines)
}

fn measured(find: &Ringed, set: &RingSet) -> RingsLine {
    RingsLine {
        find: find.number.clone(),
        measured: said(&set.rings_mm()),
        by: format!("{}, {}", set.done_by, show_day(set.done_on)),
        list: String::new(),
        finding: String::new(),
        nearest: Vec::new(),
    }
}

fn line((find, set): (&Ringed, &RingSet), (list, moulds): &(MouldList, Vec<NewMould>)) -> RingsLine {
    let (finding, nearest) = match compared::of(set, &list.name, moulds) {
        Ok(compared) => (compared.sentence, nearest(&compared.rows)),
        Err(why) => (why, Vec::new()),
    };
    RingsLine { list: format!("{} ({})", list.name, list.source), finding, nearest, ..measured(find, set) }
}

fn nearest(rows: &[Row]) -> Vec<String> {
    let tied = rows.iter().take_while(|row| row.tied).count();
    let words = |row: &Row| format!("{}, {} of the weight, scale {}", row.name, row.weight, row.scale);
    rows.iter().take(NEAREST.max(tied)).map(words).collect()
}
