//! The page of the grid.
use super::About;
use super::sums::sum_words;
use crate::context::Ctx;
use crate::form::Errors;
use crate::links;
use crate::page::Chrome;
use askama::Template;
use domain::rows::{Column, ColumnKind, Fault, MOST_TYPED, Place, TypedRow, check, differences, sum};
use store::rows::drafts::Draft;

/// Empty rows at the end of the grid.
pub(super) const BLANK: usize = 5;
/// Faults told above the grid; each stands at its row as well.
const MOST_TOLD: usize = 20;

/// How the page is shown.
pub(super) struct Shown {
    /// Whether what is wrong is said.
    pub check: bool,
    pub blank: usize,
    pub errors: Errors,
}

#[derive(Template)]
#[template(path = "rows/grid.html")]
pub(super) struct GridPage {
    chrome: Chrome,
    project: String,
    question: String,
    licences: Vec<String>,
    discipline: String,
    /// Codes of the columns, separated by commas.
    codes: String,
    heads: Vec<Head>,
    numbers: Vec<String>,
    rows: Vec<RowView>,
    /// More rows than a page takes: they are changed in the spreadsheet.
    too_many: Option<usize>,
    /// Most rows of the grid, for the script that adds them.
    most: usize,
    /// Every fault with the row it leads to, cut short; how many more there are.
    faults: Vec<(usize, String)>,
    more_faults: usize,
    checked: bool,
    differences: Vec<String>,
    together: String,
    note: String,
    has_draft: bool,
    errors: Errors,
    here: Here,
}

/// Where the buttons of the page lead.
struct Here {
    save: String,
    draft: String,
    template: String,
    file: String,
    package: String,
    choice: String,
}

/// A column.
struct Head {
    title: String,
    required: bool,
    number: bool,
    vocabulary: Vec<String>,
}

struct RowView {
    number: usize,
    find: CellView,
    sub_number: CellView,
    cells: Vec<CellView>,
    /// What is wrong in it, each with the title of its column.
    faults: Vec<String>,
}

struct CellView {
    value: String,
    wrong: bool,
}

pub(super) fn of(ctx: &Ctx, about: &About, draft: &Draft, shown: Shown) -> GridPage {
    let columns = &about.discipline.columns;
    let mut typed = draft.typed.in_columns(columns);
    let (rows, faults) = check(columns, &typed, &about.finds);
    let faults = if shown.check { faults } else { Vec::new() };
    let filled = typed.len();
    let too_many = (filled > MOST_TYPED).then_some(filled);
    if too_many.is_none() {
        let blank = shown.blank.min(MOST_TYPED - filled);
        let empty = TypedRow { cells: vec![String::new(); columns.len()], ..TypedRow::default() };
        typed.resize(filled + blank, empty);
    }
    let told = |fault: &Fault| {
        (fault.row + 1, format!("Row {}, {}: {}", fault.row + 1, title(columns, fault.place), fault.sentence))
    };
    let (id, code) = (about.assignment.id, about.discipline.code.as_str());
    GridPage {
        chrome: ctx.chrome_in(about.assignment.project_id),
        project: format!("{} ({})", about.assignment.project_name, about.assignment.project_code),
        question: about.assignment.question.clone(),
        licences: about.licences.clone(),
        discipline: about.discipline.name.clone(),
        codes: columns.iter().map(|column| column.code.as_str()).collect::<Vec<_>>().join(","),
        heads: columns.iter().map(head).collect(),
        numbers: about.finds.iter().map(|find| find.number.clone()).collect(),
        rows: match too_many {
            None => typed.iter().enumerate().map(|(at, row)| view(columns, (at, row), &faults)).collect(),
            Some(_) => Vec::new(),
        },
        too_many,
        most: MOST_TYPED,
        more_faults: faults.len().saturating_sub(MOST_TOLD),
        checked: shown.check && faults.is_empty() && shown.errors.is_empty(),
        faults: faults.iter().take(MOST_TOLD).map(told).collect(),
        differences: differences(columns, &rows, &about.finds)
            .into_iter()
            .map(|one| format!("{}: {}", one.number, one.sentence))
            .collect(),
        together: if rows.is_empty() { String::new() } else { sum_words(sum(columns, &rows)) },
        note: draft.note.clone(),
        has_draft: draft.typed.rows.iter().any(|row| !row.is_blank()),
        errors: shown.errors,
        here: Here {
            save: links::rows_of(id, code),
            draft: links::rows_draft(id, code),
            template: links::rows_template(id, code),
            file: links::rows_file(id, code),
            package: links::rows_package(id, code),
            choice: links::rows(id),
        },
    }
}

fn head(column: &Column) -> Head {
    Head {
        title: column.title(),
        required: column.required,
        number: column.is_number(),
        vocabulary: match column.kind {
            ColumnKind::Choice => column.vocabulary.clone(),
            _ => Vec::new(),
        },
    }
}

fn view(columns: &[Column], (at, row): (usize, &TypedRow), faults: &[Fault]) -> RowView {
    let own: Vec<&Fault> = faults.iter().filter(|fault| fault.row == at).collect();
    let cell = |place: Place, value: &str| CellView {
        value: value.to_owned(),
        wrong: own.iter().any(|fault| fault.place == place),
    };
    RowView {
        number: at + 1,
        find: cell(Place::Find, &row.find),
        sub_number: cell(Place::SubNumber, &row.sub_number),
        cells: row.cells.iter().enumerate().map(|(at, value)| cell(Place::Column(at), value)).collect(),
        faults: own
            .iter()
            .map(|fault| format!("{}: {}", title(columns, fault.place), fault.sentence))
            .collect(),
    }
}

fn title(columns: &[Column], place: Place) -> String {
    match place {
        Place::Find => "Find".into(),
        Place::SubNumber => "Sub-number".into(),
        Place::Column(at) => columns.get(at).map(Column::title).unwrap_or_default(),
    }
}
