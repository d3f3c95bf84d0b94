//! Finds of one group, finds ticked together in the list, the list searched and taken away; findspots and pieces.
mod findspot;
mod given;
mod groups;
mod marks;
mod pieces;
mod taken;
mod words;

use domain::ids::FindId;
use tests::support::http::{Visitor, url_encoded};
use web::links;

/// Where the bar of the list leads with these finds ticked.
fn with_ticked(path: &str, finds: &[FindId]) -> String {
    let ids: Vec<String> = finds.iter().map(ToString::to_string).collect();
    let fields: Vec<(&str, &str)> = ids.iter().map(|id| ("find", id.as_str())).collect();
    format!("{path}?{}", url_encoded(&fields))
}

/// The numbers in the list of a filter, in its order.
async fn listed(visitor: &mut Visitor, code: &str, filter: &[(&str, &str)]) -> Vec<String> {
    let page = visitor.page(&format!("{}?{}", links::finds(code), url_encoded(filter))).await;
    page.texts("table.list tbody th a")
}
