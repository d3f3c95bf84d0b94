//! The interim report on screen and on paper; find labels and bench sheets.
mod assemble;
mod care;
mod paper;
mod rings;
mod rows;
mod said;
pub(crate) mod show;

use crate::routes::Routes;
use domain::permission::Action;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/projects/{project}/report", Action::ViewReport, show::show)
        .get("/projects/{project}/report/catalogue", Action::ViewReport, show::catalogue)
        .get("/projects/{project}/report.pdf", Action::ViewReport, show::pdf)
        .get("/projects/{project}/report/photographs/{image}", Action::ViewReport, show::photograph)
        .get("/projects/{project}/labels.pdf", Action::PrintLabels, paper::labels)
        .get("/projects/{project}/bench-sheets.pdf", Action::PrintLabels, paper::bench_sheets)
}
