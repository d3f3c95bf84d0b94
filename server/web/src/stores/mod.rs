//! Stores: places, and the movements of finds between them.
mod index;
mod movement;

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/places", Action::ListFinds, index::index)
        .post("/projects/{project}/places", Action::EditPlaces, index::create)
        .get("/projects/{project}/moves/new", Action::MoveFinds, movement::new)
        .post("/projects/{project}/moves/new", Action::MoveFinds, movement::create)
}
