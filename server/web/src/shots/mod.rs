//! The shot list: what is expected of each find, what is missing, and photographs side by side.
mod find;
mod index;
mod pairs;
mod rules;

pub(crate) use find::lacking;

use crate::routes::Routes;
use domain::permission::Action;
use domain::shots::Shot;
use store::images::Image;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/finds/{find}/shots", Action::ViewImages, find::show)
        .get("/finds/{find}/pairs", Action::ViewImages, pairs::show)
        .get("/projects/{project}/shots", Action::UploadImages, index::index)
        .get("/projects/{project}/shots/rules", Action::EditRoutes, rules::edit)
        .post("/projects/{project}/shots/rules", Action::EditRoutes, rules::update)
}

/// A photograph as the shot list asks of it.
fn shot_of(image: &Image) -> Shot {
    Shot {
        moment: image.moment.clone(),
        view: image.view.clone(),
        light: image.light.clone(),
        has_scale: image.scale_mm.is_some(),
    }
}
