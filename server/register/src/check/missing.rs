//! Things that rows name and the project does not know, each told once.
use super::Missing;
use std::collections::HashMap;

/// Missing things in the order in which rows name them first.
#[derive(Default)]
pub(super) struct Gathered {
    at: HashMap<String, usize>,
    list: Vec<Missing>,
}

impl Gathered {
    /// Notes that a row names it. `key` tells whether two words are the same thing.
    pub fn note(&mut self, key: &str, word: &str, row: usize) {
        match self.at.get(key) {
            Some(&at) => self.list[at].rows += 1,
            None => {
                self.at.insert(key.to_owned(), self.list.len());
                let word = word.to_owned();
                self.list.push(Missing { word, rows: 1, first: row, nearest: None, nearest_code: None });
            }
        }
    }

    /// The list, with what comes nearest to each.
    pub fn finish(
        mut self,
        mut nearest: impl FnMut(&str) -> (Option<String>, Option<String>),
    ) -> Vec<Missing> {
        for missing in &mut self.list {
            (missing.nearest, missing.nearest_code) = nearest(&missing.word);
        }
        self.list
    }
}
