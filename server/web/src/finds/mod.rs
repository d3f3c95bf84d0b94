//! Finds: the find page.
mod show;

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes.get("/finds/{find}", Action::ViewFind, show::show)
}
