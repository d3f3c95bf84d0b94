//! The input put in order once: finds as people count, chapters as asked, pictures numbered.
use super::input::{ContextLine, FindLine, Interim, OpinionLine, Photograph, SettlementLine};
use domain::finds::number::sort_key;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// The input of a report, sorted and indexed.
pub struct Register<'a> {
    pub interim: &'a Interim,
    /// In natural order of their numbers.
    pub finds: Vec<&'a FindLine>,
    /// In the order of their figure numbers, the first being figure 1.
    pub photographs: Vec<&'a Photograph>,
    contexts: HashMap<&'a str, &'a ContextLine>,
    opinions: HashMap<&'a str, Vec<&'a OpinionLine>>,
    settlements: HashMap<&'a str, &'a SettlementLine>,
    figures: HashMap<&'a str, Vec<usize>>,
}

impl<'a> Register<'a> {
    /// Puts the input in order.
    pub fn new(interim: &'a Interim) -> Self {
        let mut finds: Vec<&FindLine> = interim.finds.iter().collect();
        finds.sort_by_cached_key(|find| (sort_key(&find.number), &find.number));
        let mut photographs: Vec<&Photograph> = interim.photographs.iter().collect();
        photographs.sort_by_cached_key(|picture| picture.finds.iter().map(|find| sort_key(find)).min());
        let mut figures: HashMap<&str, Vec<usize>> = HashMap::new();
        for (place, picture) in photographs.iter().enumerate() {
            for find in &picture.finds {
                figures.entry(find).or_default().push(place + 1);
            }
        }
        let mut opinions: HashMap<&str, Vec<&OpinionLine>> = HashMap::new();
        for opinion in &interim.opinions {
            opinions.entry(&opinion.find).or_default().push(opinion);
        }
        for given in opinions.values_mut() {
            given.sort_by_key(|opinion| (opinion.submitted_on, &opinion.authors));
        }
        Self {
            interim,
            finds,
            photographs,
            contexts: interim.contexts.iter().map(|context| (context.number.as_str(), context)).collect(),
            opinions,
            settlements: interim.settlements.iter().map(|settled| (settled.find.as_str(), settled)).collect(),
            figures,
        }
    }

    /// The finds of each material group that has any, in the order of the chapters.
    pub fn groups(&self) -> Vec<(&'a str, Vec<&'a FindLine>)> {
        let mut groups: Vec<(&str, Vec<&FindLine>)> =
            self.interim.groups.iter().map(|name| (name.as_str(), Vec::new())).collect();
        for find in &self.finds {
            match groups.iter_mut().find(|(name, _)| *name == find.group) {
                Some((_, finds)) => finds.push(find),
                None => groups.push((&find.group, vec![find])),
            }
        }
        groups.retain(|(_, finds)| !finds.is_empty());
        groups
    }

    /// Finds by the number of their context, in natural order; those without one stand under `None`, last.
    pub fn by_context(&self, finds: &[&'a FindLine]) -> Vec<(Option<&'a str>, Vec<&'a FindLine>)> {
        let mut contexts: BTreeMap<(bool, String, Option<&str>), Vec<&FindLine>> = BTreeMap::new();
        for find in finds {
            let number = find.context.as_deref();
            let key = (number.is_none(), number.map(sort_key).unwrap_or_default(), number);
            contexts.entry(key).or_default().push(find);
        }
        contexts.into_iter().map(|((_, _, number), finds)| (number, finds)).collect()
    }

    /// How many contexts these finds come from.
    pub fn count_contexts(&self, finds: &[&FindLine]) -> usize {
        finds.iter().filter_map(|find| find.context.as_deref()).collect::<BTreeSet<_>>().len()
    }

    /// What is known of a context.
    pub fn context(&self, number: &str) -> Option<&'a ContextLine> {
        self.contexts.get(number).copied()
    }

    /// The phase of a find's context.
    pub fn phase(&self, find: &FindLine) -> Option<&'a str> {
        find.context
            .as_deref()
            .and_then(|number| self.context(number))
            .and_then(|context| context.phase.as_deref())
    }

    /// The opinions on a find, oldest first.
    pub fn opinions(&self, find: &str) -> &[&'a OpinionLine] {
        self.opinions.get(find).map_or(&[], Vec::as_slice)
    }

    /// The settlement of the opinions on a find.
    pub fn settlement(&self, find: &str) -> Option<&'a SettlementLine> {
        self.settlements.get(find).copied()
    }

    /// The figures that show a find.
    pub fn figures(&self, find: &str) -> &[usize] {
        self.figures.get(find).map_or(&[], Vec::as_slice)
    }
}
