//! Projects: their first page.
mod show;

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes.get("/projects/{project}", Action::ViewProject, show::show)
}
