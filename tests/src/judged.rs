//! Word of what was judged and found good. While the page, the style sheets, the scripts and the judge are the same, so is the
//! judgement: it is not asked for again.
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::PathBuf;

/// The folder for it, which `tests/run.sh` names after style sheets, scripts and judges; without it all is judged every time.
const JUDGED: &str = "FINDWAY_JUDGED";

/// The place of the word for one thing; nowhere where no word is kept.
pub struct Mark(Option<PathBuf>);

/// The mark of everything that the judgement depends on.
pub fn mark(of: &impl Hash) -> Mark {
    let mut hasher = DefaultHasher::new();
    of.hash(&mut hasher);
    Mark(
        std::env::var_os(JUDGED)
            .map(|folder| PathBuf::from(folder).join(format!("{:016x}", hasher.finish()))),
    )
}

impl Mark {
    pub fn found_good(&self) -> bool {
        self.0.as_ref().is_some_and(|mark| mark.exists())
    }

    pub fn leave(&self) {
        if let Some(mark) = &self.0 {
            std::fs::write(mark, "").unwrap();
        }
    }
}
