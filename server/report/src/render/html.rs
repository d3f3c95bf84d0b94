//! A report as a fragment of a page: it stands below the page's own heading, so its sections begin at level 2.
use crate::interim::{Account, Block, Interim};
use askama::Template;

/// Where pictures and finds are to be had.
pub struct Links<'a> {
    /// Address of a picture by its name in the input.
    pub photograph: &'a dyn Fn(&str) -> String,
    /// Address of a find by its number; `None` when the reader may not open it.
    pub find: &'a dyn Fn(&str) -> Option<String>,
    /// Address of the page with the catalogue.
    pub catalogue: &'a str,
}

#[derive(Template)]
#[template(path = "report/interim.html")]
struct InterimPage<'a> {
    account: Account,
    links: &'a Links<'a>,
    /// The catalogue alone, else all but the catalogue.
    catalogue: bool,
}

impl InterimPage<'_> {
    fn source(&self, picture: &str) -> String {
        (self.links.photograph)(picture)
    }

    fn find_link(&self, number: &str) -> Option<String> {
        (self.links.find)(number)
    }
}

/// The interim report as HTML, all but its catalogue.
///
/// # Errors
/// Only when the template itself fails to write, which no input causes.
pub fn interim(input: &Interim, links: &Links) -> askama::Result<String> {
    InterimPage { account: Account::of(input), links, catalogue: false }.render()
}

/// The catalogue of the interim report as HTML.
///
/// # Errors
/// Only when the template itself fails to write, which no input causes.
pub fn catalogue(input: &Interim, links: &Links) -> askama::Result<String> {
    InterimPage { account: Account::of(input), links, catalogue: true }.render()
}
