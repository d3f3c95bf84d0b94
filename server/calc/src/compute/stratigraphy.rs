//! Contexts over JSON. A context is a whole number or a text; a relation is `[later, earlier]`; of contexts that are the
//! same the least speaks for all.
use super::opinions::range;
use super::{ComputeError, Fields, Verb};
use crate::chronology::Year;
use crate::stratigraphy::{ContextDate, DatedFind, Graph, date_contexts};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

pub(super) const STRATIGRAPHIC_GRAPH: Verb = Verb {
    name: "stratigraphic-graph",
    summary: "What lies over what: contradictions, redundant relations, levels",
    inputs: &["contexts", "later_than", "same_as"],
    outputs: &["is_acyclic", "reduced", "redundant", "level_from_bottom", "top", "bottom", "cycle_groups"],
    answer: stratigraphic_graph,
};

pub(super) const TPQ_TAQ: Verb = Verb {
    name: "tpq-taq",
    summary: "Termini of contexts from their finds, passed up and down",
    inputs: &["contexts", "later_than", "same_as", "finds", "fixed_taq"],
    outputs: &["own_tpq", "tpq", "taq", "possibly_residual", "possibly_intrusive", "contradiction"],
    answer: tpq_taq,
};

/// The name of a context as it was given; numbers come before texts.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Name {
    Number(i64),
    Text(String),
}

impl Name {
    fn of(value: &Value) -> Option<Self> {
        match value {
            Value::String(text) => Some(Self::Text(text.clone())),
            _ => value.as_i64().map(Self::Number),
        }
    }

    fn key(&self) -> String {
        match self {
            Self::Number(number) => number.to_string(),
            Self::Text(text) => text.clone(),
        }
    }

    fn to_json(&self) -> Value {
        match self {
            Self::Number(number) => json!(number),
            Self::Text(text) => json!(text),
        }
    }
}

/// The contexts of a question, in the order of their names.
struct Site {
    names: Vec<Name>,
    place: BTreeMap<String, usize>,
    graph: Graph,
}

impl Site {
    fn of(fields: &Fields<'_>) -> Result<Self, ComputeError> {
        let wrong = || ComputeError::new("contexts", "A context is a whole number or a text.");
        let given = fields.list("contexts")?.iter().map(|value| Name::of(value).ok_or_else(wrong));
        let mut names: Vec<Name> = given.collect::<Result<_, _>>()?;
        if names.is_empty() {
            return Err(ComputeError::new("contexts", "There is no context."));
        }
        names.sort();
        let place: BTreeMap<String, usize> =
            names.iter().enumerate().map(|(n, name)| (name.key(), n)).collect();
        if place.len() < names.len() {
            return Err(ComputeError::new("contexts", "A context is named twice."));
        }
        let empty = Graph::new(0, &[], &[])?;
        let mut site = Self { names, place, graph: empty };
        let later_than = site.pairs(fields, "later_than")?;
        let same_as = if fields.has("same_as") { site.pairs(fields, "same_as")? } else { Vec::new() };
        site.graph = Graph::new(site.names.len(), &later_than, &same_as)?;
        Ok(site)
    }

    fn pairs(&self, fields: &Fields<'_>, list: &str) -> Result<Vec<(usize, usize)>, ComputeError> {
        let wrong = || ComputeError::new(list, format!("{list} is a list of pairs of contexts."));
        let pairs = fields.list(list)?.iter().map(|value| match value.as_array().map(Vec::as_slice) {
            Some([one, other]) => Ok((self.find(list, one)?, self.find(list, other)?)),
            _ => Err(wrong()),
        });
        pairs.collect()
    }

    fn find(&self, field: &str, value: &Value) -> Result<usize, ComputeError> {
        let place = Name::of(value).and_then(|name| self.place.get(&name.key()).copied());
        place.ok_or_else(|| ComputeError::new(field, format!("{value} is not among the contexts.")))
    }

    fn name(&self, context: usize) -> Value {
        self.names[context].to_json()
    }

    fn list(&self, contexts: &[usize]) -> Vec<Value> {
        contexts.iter().map(|&one| self.name(one)).collect()
    }

    fn relations(&self, pairs: &[(usize, usize)]) -> Vec<Value> {
        pairs.iter().map(|&(later, earlier)| json!([self.name(later), self.name(earlier)])).collect()
    }

    /// One entry for each of `contexts`.
    fn table(
        &self,
        contexts: impl Iterator<Item = usize>,
        entry: impl Fn(usize) -> Value,
    ) -> Map<String, Value> {
        contexts.map(|one| (self.names[one].key(), entry(one))).collect()
    }
}

fn stratigraphic_graph(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let site = Site::of(fields)?;
    let graph = &site.graph;
    let sorted = graph.reduction();
    let levels = graph.levels();
    let groups: Vec<Vec<Value>> = graph.contradictions().iter().map(|group| site.list(group)).collect();
    Ok(json!({
        "is_acyclic": graph.is_acyclic(),
        "reduced": site.relations(&sorted.kept),
        "redundant": site.relations(&sorted.redundant),
        "contradictory": site.relations(&sorted.contradictory),
        "level_from_bottom": site.table(graph.firsts(), |one| json!(levels[one])),
        "top": site.list(&graph.top()),
        "bottom": site.list(&graph.bottom()),
        "cycle_groups": groups,
    }))
}

fn tpq_taq(fields: &Fields<'_>) -> Result<Value, ComputeError> {
    let site = Site::of(fields)?;
    let rows = fields.rows("finds", &["context", "lo", "hi", "set_aside"])?;
    let finds = rows.iter().zip(fields.list("finds")?).map(|(row, value)| {
        Ok(DatedFind {
            context: site.find("finds", &value["context"])?,
            range: range(row)?,
            is_set_aside: row.flag("set_aside")?,
        })
    });
    let finds: Vec<DatedFind> = finds.collect::<Result<_, ComputeError>>()?;
    let dating = date_contexts(&site.graph, &finds, &fixed_taq(fields, &site)?)?;
    let table = |entry: &dyn Fn(&ContextDate) -> Value| {
        site.table(0..site.names.len(), |one| entry(&dating.contexts[one]))
    };
    Ok(json!({
        "own_tpq": table(&|date| json!(date.own)),
        "tpq": table(&|date| json!(date.post_quem.map(|post| post.year))),
        "tpq_find": table(&|date| json!(date.post_quem.map(|post| post.find))),
        "tpq_without": table(&|date| json!(date.post_quem.and_then(|post| post.without))),
        "taq": table(&|date| json!(date.ante_quem)),
        "possibly_residual": dating.possibly_residual,
        "possibly_intrusive": dating.possibly_intrusive,
        "contradiction": site.list(&dating.contradictory),
    }))
}

fn fixed_taq(fields: &Fields<'_>, site: &Site) -> Result<Vec<(usize, Year)>, ComputeError> {
    if !fields.has("fixed_taq") {
        return Ok(Vec::new());
    }
    let years = fields.object("fixed_taq")?.iter().map(|(key, value)| {
        let unknown = || ComputeError::new("fixed_taq", format!("“{key}” is not among the contexts."));
        let wrong = || ComputeError::new("fixed_taq", "A fixed year is a whole number.");
        let context = site.place.get(key).copied().ok_or_else(unknown)?;
        Ok((context, Year::astronomical(value.as_i64().ok_or_else(wrong)?)?))
    });
    years.collect()
}
