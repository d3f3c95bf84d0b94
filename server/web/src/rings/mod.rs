//! Ring diameters measured on finds, compared with moulds of a list.
//!
//! - `lists`, `list_new`: the lists of a project, entered or read from a file
//! - `show`, `compared`: the rings of a find and what may be said of them
//! - `measure`: their form
pub(crate) mod compared;
mod list_new;
mod lists;
mod measure;
mod show;

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/moulds", Action::CompareRings, lists::index)
        .get("/projects/{project}/moulds/new", Action::CompareRings, list_new::new)
        .upload("/projects/{project}/moulds/new", Action::CompareRings, list_new::create)
        .get("/moulds/{mould_list}", Action::CompareRings, lists::show)
        .post("/moulds/{mould_list}/withdrawal", Action::CompareRings, lists::withdraw)
        .get("/finds/{find}/rings", Action::CompareRings, show::show)
        .get("/finds/{find}/rings/new", Action::CompareRings, measure::new)
        .post("/finds/{find}/rings/new", Action::CompareRings, measure::create)
}

/// “11.83, 23.68, 37.31 mm”.
pub(crate) fn said(rings_mm: &[f64]) -> String {
    let each: Vec<String> = rings_mm.iter().map(|ring| crate::filters::show_measure(*ring)).collect();
    format!("{} mm", each.join(", "))
}
