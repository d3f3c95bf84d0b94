//! What is known and looks most like a word.

/// The known word nearest to a folded one: one that stands whole inside it or the other way round, else the one with
/// the fewest letters to change, if those are few. Ties go to the alphabet.
pub fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let mut best: Option<(usize, &str)> = None;
    for candidate in known {
        let cost = if inside(candidate, word) || inside(word, candidate) {
            // the longest that stands inside says the most
            100 - candidate.len().min(99)
        } else {
            let changes = changes(word, candidate);
            let few = changes <= CHANGE * (1 + word.chars().count() / 5) && word.chars().count() > 2;
            if few { changes } else { continue }
        };
        if best.is_none_or(|(least, other)| (cost, candidate) < (least, other)) {
            best = Some((cost, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Whether all words of the first stand in a row in the second.
fn inside(part: &str, whole: &str) -> bool {
    part.len() > 2 && format!(" {whole} ").contains(&format!(" {part} "))
}

/// What a letter put in, taken out or changed costs.
const CHANGE: usize = 10;
/// What two letters swapped cost: less, since both are there.
const SWAP: usize = 9;

/// What it costs to put in, take out, change or swap letters (Damerau 1964 as restricted by optimal string alignment).
fn changes(one: &str, other: &str) -> usize {
    let one: Vec<char> = one.chars().collect();
    let other: Vec<char> = other.chars().collect();
    if one.len().abs_diff(other.len()) > 3 {
        return usize::MAX / 100;
    }
    let mut before = vec![0; other.len() + 1];
    let mut last: Vec<usize> = (0..=other.len()).map(|letters| letters * CHANGE).collect();
    for (i, a) in one.iter().enumerate() {
        let mut row = vec![(i + 1) * CHANGE; other.len() + 1];
        for (j, b) in other.iter().enumerate() {
            let changed = last[j] + if a == b { 0 } else { CHANGE };
            row[j + 1] = changed.min(last[j + 1] + CHANGE).min(row[j] + CHANGE);
            if i > 0 && j > 0 && *a == other[j - 1] && one[i - 1] == *b {
                row[j + 1] = row[j + 1].min(before[j - 1] + SWAP);
            }
        }
        before = std::mem::replace(&mut last, row);
    }
    last[other.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_word_is_the_one_inside_or_the_one_with_fewest_changes() {
        let known = ["horn", "iron", "ceramic", "copper alloy", "copper", "wood"];
        let nearest = |word| nearest(word, known.into_iter());
        assert_eq!(nearest("iron object"), Some("iron"));
        assert_eq!(nearest("copper alloy brooch"), Some("copper alloy"));
        assert_eq!(nearest("cermaic"), Some("ceramic"));
        assert_eq!(nearest("wod"), Some("wood"));
        assert_eq!(nearest("iorn"), Some("iron"), "swapped rather than mistaken");
        assert_eq!(nearest("textile"), None);
    }
}
