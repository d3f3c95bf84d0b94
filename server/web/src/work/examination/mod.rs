//! Examinations: the method chosen, the form, the page with the regions of a plate.
mod choice;
mod create;
mod form;
pub(crate) mod show;

use crate::routes::Routes;
use domain::permission::Action;

pub(super) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/examinations/new", Action::RecordWork, choice::new)
        .get("/projects/{project}/examinations/{method}/new", Action::RecordWork, create::new)
        .post("/projects/{project}/examinations/{method}/new", Action::RecordWork, create::create)
        .get("/examinations/{examination}", Action::ViewFind, show::show)
}
