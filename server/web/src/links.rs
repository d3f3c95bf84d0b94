//! Every path of the application, made in one place.
//!
//! - `bench`: the bench, its tray, shared tablets and PINs
//! - `boxes`: places, packing, boxes
//! - `dating`: contexts, their dates, the diagram
//! - `desk`: a specialist's desk, questions and answers, days
//! - `dispatches`: what leaves the house and comes back
//! - `letting`: what lets work go on: routes, holds, lifted gates, authorisations
//! - `letters`: letters that wait, kinds one does without
//! - `looking`: assessments, examinations, shots
//! - `reports`: the interim report, registers on their way in
//! - `rings`: ring diameters and moulds
//! - `rounds`: clocks, rounds, their sheets and limits
//! - `running`: drying and desalination runs
//! - `testing`: spot tests and solvents
mod bench;
mod boxes;
mod dating;
mod desk;
mod dispatches;
mod letters;
mod letting;
mod looking;
mod reports;
mod rings;
mod rounds;
mod rows;
mod running;
mod testing;

pub use bench::*;
pub use boxes::*;
pub use dating::*;
pub use desk::*;
pub use dispatches::*;
pub use letters::*;
pub use letting::*;
pub use looking::*;
pub use reports::*;
pub use rings::*;
pub use rounds::*;
pub use rows::*;
pub use running::*;
pub use testing::*;

use domain::ids::{AssignmentId, FilterId, FindId, GroupId, ImageId, PersonId, ReceivedId};
use domain::stages::Stage;

pub const SIGN_IN: &str = "/sign-in";
pub const SIGN_OUT: &str = "/sign-out";
pub const TODAY: &str = "/today";
pub const BACKLOG: &str = "/backlog";
pub const MY_FINDS: &str = "/my-finds";
pub const PROJECTS: &str = "/projects";
pub const PEOPLE: &str = "/people";
pub const ACCOUNT: &str = "/account";
pub const FORGOTTEN: &str = "/forgotten";
/// Where a link in a letter leads once its token has left the address.
pub const NEW_PASSWORD: &str = "/new-password";
pub const ACCOUNT_PASSWORD: &str = "/account/password";
pub const ACCOUNT_SESSIONS: &str = "/account/sessions/removal";
pub const PROJECT_NEW: &str = "/projects/new";
pub const APPOINTMENT_NEW: &str = "/appointments/new";

/// The sign-in page that leads on to a path; `ended` tells why one is asked again.
pub fn sign_in(next: &str, ended: bool) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    if next != "/" {
        query.append_pair("next", next);
    }
    if ended {
        query.append_pair("ended", "yes");
    }
    let query = query.finish();
    if query.is_empty() { SIGN_IN.to_owned() } else { format!("{SIGN_IN}?{query}") }
}

/// The link a letter carries; `next` is where it leads in the end.
pub fn letter_link(token: &str, next: &str) -> String {
    if next == "/" {
        return format!("/letter/{token}");
    }
    let next: String = form_urlencoded::byte_serialize(next.as_bytes()).collect();
    format!("/letter/{token}?next={next}")
}

/// An account, as the administrator keeps it.
pub fn person(id: PersonId) -> String {
    format!("/people/{id}")
}

/// Something the administrator does to an account: `invitation`, `closing`, `opening`, `administrator`.
pub fn person_change(id: PersonId, what: &str) -> String {
    format!("/people/{id}/{what}")
}

/// Edits a project.
pub fn project_edit(code: &str) -> String {
    format!("/projects/{code}/edit")
}

/// What a person is in a project.
pub fn member(code: &str, id: PersonId) -> String {
    format!("/projects/{code}/people/{id}")
}

/// Sends an invitation to a person of a project once more.
pub fn member_invitation(code: &str, id: PersonId) -> String {
    format!("/projects/{code}/people/{id}/invitation")
}

/// Takes a person out of a project.
pub fn member_removal(code: &str, id: PersonId) -> String {
    format!("/projects/{code}/people/{id}/removal")
}

/// The material groups of a project.
pub fn materials(code: &str) -> String {
    format!("/projects/{code}/materials")
}

/// Adds a material group.
pub fn material_new(code: &str) -> String {
    format!("/projects/{code}/materials/new")
}

/// A material group and its route.
pub fn material(code: &str, material: &str) -> String {
    format!("/projects/{code}/materials/{material}")
}

/// A project's first page.
pub fn project(code: &str) -> String {
    format!("/projects/{code}")
}

/// The list of finds of a project.
pub fn finds(code: &str) -> String {
    format!("/projects/{code}/finds")
}

/// What is with specialists.
pub fn specialists(code: &str) -> String {
    format!("/projects/{code}/specialists")
}

/// The people of a project.
pub fn members(code: &str) -> String {
    format!("/projects/{code}/people")
}

/// A find's page: what its QR code opens.
pub fn find(id: FindId) -> String {
    format!("/finds/{id}")
}

/// The photographs of a find.
pub fn images_of_find(id: FindId) -> String {
    format!("/finds/{id}/images")
}

/// Moves a photograph forward or back among those of a find.
pub fn image_order(find: FindId) -> String {
    format!("/finds/{find}/images/order")
}

/// A photograph's page.
pub fn image_page(id: ImageId) -> String {
    format!("/images/{id}")
}

/// Adds finds a photograph shows.
pub fn image_finds(id: ImageId) -> String {
    format!("/images/{id}/finds")
}

/// Says that a photograph does not show a find.
pub fn image_find_removal(id: ImageId, find: FindId) -> String {
    format!("/images/{id}/finds/{find}/removal")
}

/// Takes a photograph out of sight, or brings it back.
pub fn image_withdrawal(id: ImageId) -> String {
    format!("/images/{id}/withdrawal")
}

/// A photograph in one of its sizes: `thumb`, `screen`, `large`, or the `original` file.
pub fn image(id: ImageId, size: &str) -> String {
    format!("/images/{id}/{size}")
}

/// The form of a working record; its finds follow as `find=`.
pub fn record_new(code: &str, stage: Stage) -> String {
    match stage {
        Stage::Condition => condition_new(code),
        Stage::Examination => examination_choice(code),
        Stage::Xray => examination_new(code, domain::examination::Method::Xray),
        Stage::Desalination => run_new(code, domain::runs::RunKind::Desalination),
        stage => format!("/projects/{code}/work/{}/new", stage.code()),
    }
}

/// The form of a working record of one find.
pub fn record_of(code: &str, stage: Stage, find: FindId) -> String {
    format!("{}?find={find}", record_new(code, stage))
}

/// The form that marks stages; its finds follow as `find=`.
pub fn mark_new(code: &str) -> String {
    format!("/projects/{code}/marks/new")
}

/// The form that marks a stage of one find.
pub fn mark_of(code: &str, stage: Stage, find: FindId) -> String {
    format!("{}?find={find}&stage={}", mark_new(code), stage.code())
}

/// Keeps a filter.
pub fn filters(code: &str) -> String {
    format!("/projects/{code}/filters")
}

/// Forgets a filter.
pub fn filter_removal(code: &str, id: FilterId) -> String {
    format!("/projects/{code}/filters/{id}/removal")
}

/// From the list to the form of a record.
pub fn work_choice(code: &str) -> String {
    format!("/projects/{code}/work/new")
}

/// Gives finds to a person at the bench.
pub fn bench_new(code: &str) -> String {
    format!("/projects/{code}/bench/new")
}

/// Labels as PDF; the finds follow as `find=`.
pub fn labels(code: &str) -> String {
    format!("/projects/{code}/labels.pdf")
}

/// Bench sheets as PDF; the finds follow as `find=`.
pub fn bench_sheets(code: &str) -> String {
    format!("/projects/{code}/bench-sheets.pdf")
}

/// Assigns finds to a specialist; they follow as `find=`.
pub fn assignment_new(code: &str) -> String {
    format!("/projects/{code}/assignments/new")
}

/// Registers one find.
pub fn find_new(code: &str) -> String {
    format!("/projects/{code}/finds/new")
}

/// Registers one find from a context.
pub fn find_new_from(code: &str, context: &str) -> String {
    let context: String = form_urlencoded::byte_serialize(context.as_bytes()).collect();
    format!("{}?context={context}", find_new(code))
}

/// Imports a register.
pub fn imports(code: &str) -> String {
    format!("/projects/{code}/imports")
}

/// The list as a spreadsheet or as text, by the ending `xlsx` or `csv`.
pub fn finds_file(code: &str, ending: &str) -> String {
    format!("/projects/{code}/finds.{ending}")
}

/// Edits a find.
pub fn find_edit(find: FindId) -> String {
    format!("/finds/{find}/edit")
}

/// Takes pieces out of a find.
pub fn find_split(find: FindId) -> String {
    format!("/finds/{find}/splits/new")
}

/// Joins other finds into one.
pub fn find_join(find: FindId) -> String {
    format!("/finds/{find}/joins/new")
}

/// Makes a number void.
pub fn find_void(find: FindId) -> String {
    format!("/finds/{find}/void/new")
}

/// A specialist's own opinion on a find.
pub fn opinion(find: FindId) -> String {
    format!("/finds/{find}/opinion")
}

/// How dates are read, for the script of the opinion’s form.
pub fn date_reading(find: FindId) -> String {
    format!("/finds/{find}/opinion/reading")
}

/// Opinions on a find side by side.
pub fn opinions(find: FindId) -> String {
    format!("/finds/{find}/opinions")
}

/// How dates are read, for the scripts of whoever reads opinions.
pub fn dates_read(find: FindId) -> String {
    format!("/finds/{find}/opinions/reading")
}

/// Keeps an opinion that came by letter or mail.
pub fn received_new(find: FindId) -> String {
    format!("/finds/{find}/received/new")
}

/// What came by letter or mail, to be entered.
pub fn received(id: ReceivedId) -> String {
    format!("/received/{id}")
}

/// Sends its author another link to confirm it.
pub fn received_letter(id: ReceivedId) -> String {
    format!("/received/{id}/letter")
}

/// Its original, as a file.
pub fn received_original(id: ReceivedId) -> String {
    format!("/received/{id}/original")
}

/// Where an author confirms what was entered, once the token has left the address.
pub const CONFIRMATION: &str = "/confirmation";

/// The link of a letter by which an author confirms.
pub fn confirmation_link(token: &str) -> String {
    format!("{CONFIRMATION}/{token}")
}

/// Settles the opinions on a find.
pub fn settlements(find: FindId) -> String {
    format!("/finds/{find}/settlements")
}

/// Changes what an assignment asks.
pub fn assignment_edit(id: AssignmentId) -> String {
    format!("/assignments/{id}/edit")
}

/// Closes an assignment.
pub fn assignment_closing(id: AssignmentId) -> String {
    format!("/assignments/{id}/closing")
}

/// Lays a find to a group.
pub fn groups(find: FindId) -> String {
    format!("/finds/{find}/groups")
}

/// Takes a find out of a group.
pub fn group_removal(find: FindId, group: GroupId) -> String {
    format!("/finds/{find}/groups/{group}/removal")
}
