//! Projects: their list, their first page, their form, their people, their materials and routes.
mod appointment;
mod edit;
mod form;
mod index;
mod materials;
mod members;
mod new;
mod show;

use crate::links;
use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get(links::PROJECTS, Action::OwnAccount, index::index)
        .get(links::PROJECT_NEW, Action::Administer, new::new)
        .post(links::PROJECT_NEW, Action::Administer, new::create)
        .get(links::APPOINTMENT_NEW, Action::Administer, appointment::new)
        .post(links::APPOINTMENT_NEW, Action::Administer, appointment::create)
        .get("/projects/{project}", Action::ViewProject, show::show)
        .get("/projects/{project}/edit", Action::EditProject, edit::edit)
        .post("/projects/{project}/edit", Action::EditProject, edit::update)
        .get("/projects/{project}/people", Action::EditProject, members::index::index)
        .post("/projects/{project}/people", Action::EditProject, members::index::create)
        .get("/projects/{project}/people/{person}", Action::EditProject, members::member::edit)
        .post("/projects/{project}/people/{person}", Action::EditProject, members::member::update)
        .post("/projects/{project}/people/{person}/invitation", Action::EditProject, members::member::invite)
        .post("/projects/{project}/people/{person}/removal", Action::EditProject, members::member::remove)
        .get("/projects/{project}/materials", Action::EditRoutes, materials::index::index)
        .get("/projects/{project}/materials/new", Action::EditRoutes, materials::group::new)
        .post("/projects/{project}/materials/new", Action::EditRoutes, materials::group::create)
        .get("/projects/{project}/materials/{material}", Action::EditRoutes, materials::group::edit)
        .post("/projects/{project}/materials/{material}", Action::EditRoutes, materials::group::update)
}
