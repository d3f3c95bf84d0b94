//! PDF and drawings of finds: attached, handed out as files, withdrawn. They are never opened or shown here.
mod file;
mod index;
mod withdrawal;

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/finds/{find}/attachments", Action::ViewImages, index::index)
        .upload_many("/finds/{find}/attachments", Action::UploadImages, index::create)
        .get("/attachments/{attachment}", Action::ViewImages, file::show)
        .post("/attachments/{attachment}/withdrawal", Action::UploadImages, withdrawal::update)
}
