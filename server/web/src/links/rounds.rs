//! Clocks, rounds, their sheets and limits.
use domain::clocks::ClockKind;
use domain::ids::{ClockId, FindId, SheetId};

pub const ROUNDS: &str = "/rounds";
/// Keeps a round as a sheet of paper.
pub const ROUND_SHEETS: &str = "/rounds/sheets";

/// A round of one kind of clock, of all projects and places or of one.
pub fn round(kind: ClockKind, project: &str, place: &str) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.append_pair("kind", kind.code());
    for (name, value) in [("project", project), ("place", place)] {
        if !value.is_empty() {
            query.append_pair(name, value);
        }
    }
    format!("{ROUNDS}?{}", query.finish())
}

/// The round of one find's clock.
pub fn round_of(kind: ClockKind, find: FindId) -> String {
    format!("{ROUNDS}?kind={}&find={find}", kind.code())
}

/// A round on paper, to be typed in.
pub fn round_sheet(id: SheetId) -> String {
    format!("{ROUND_SHEETS}/{id}")
}

/// The paper of a round.
pub fn round_paper(id: SheetId) -> String {
    format!("{ROUND_SHEETS}/{id}/sheet.pdf")
}

/// What a clock runs for was looked at and is in order.
pub fn clock_look(id: ClockId) -> String {
    format!("/clocks/{id}/looks")
}

/// The limits of a project's clocks.
pub fn clock_rules(code: &str) -> String {
    format!("/projects/{code}/clocks")
}

/// The limits of one kind of clock and one material group.
pub fn clock_rule(code: &str, kind: ClockKind, material: &str) -> String {
    format!("/projects/{code}/clocks/rule?kind={}&material={material}", kind.code())
}
