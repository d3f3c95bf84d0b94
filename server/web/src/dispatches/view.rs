//! A dispatch in words.
use super::Known;
use crate::filters::{show_count, show_day, show_measure};
use chrono::NaiveDate;
use domain::dispatch::{Account, Amount, Gap, Way};
use store::dispatches::items::Item;

/// “17 pieces, 41.2 g”; what was not counted or weighed is left out.
pub fn amount(amount: Amount) -> String {
    let pieces = match amount.pieces {
        0 if amount.mass_g.is_some() => None,
        1 => Some("1 piece".to_owned()),
        n => Some(format!("{} pieces", show_count(n))),
    };
    let mass = amount.mass_g.map(|g| format!("{} g", show_measure(g)));
    pieces.into_iter().chain(mass).collect::<Vec<_>>().join(", ")
}

/// “1 piece fewer and 2.4 g less came back than expected”.
pub fn gap(gap: Gap, way: Way) -> String {
    let count = |n: i64, more: &str| match n {
        1 => format!("1 piece {more}"),
        n => format!("{} pieces {more}", show_count(n)),
    };
    let pieces = match gap.pieces {
        0 => None,
        n if n < 0 => Some(count(-n, "fewer")),
        n => Some(count(n, "more")),
    };
    let mass = gap.mass_g.map(|g| {
        let more = if g < 0.0 { "less" } else { "more" };
        format!("{} g {more}", show_measure(g.abs()))
    });
    let parts: Vec<String> = pieces.into_iter().chain(mass).collect();
    let came = match way {
        Way::There => "arrived than was sent",
        Way::Back => "came back than expected",
    };
    format!("{} {came}", parts.join(" and "))
}

/// “due back 10 Oct 2031”, “3 days overdue”.
pub fn due(due_on: NaiveDate, today: NaiveDate) -> String {
    match (today - due_on).num_days() {
        0 => "due back today".to_owned(),
        1 => "1 day overdue".to_owned(),
        n if n > 1 => format!("{n} days overdue"),
        _ => format!("due back {}", show_day(due_on)),
    }
}

/// What is on a dispatch, briefly: “find 3, glass rim: 17 pieces, 41.2 g”, “4 finds”.
pub(crate) fn contents(known: &Known) -> String {
    match known.items.as_slice() {
        [one] if known.hidden == 0 => {
            let what =
                [one.number.as_str(), one.object_type.as_str()].iter().filter(|w| !w.is_empty()).count();
            let name = if what == 2 {
                format!("{} {}", one.number, one.object_type)
            } else {
                format!("{} {}", one.number, one.material_name)
            };
            format!("{name}: {}", amount(known.account(one).sent))
        }
        many => format!("{} finds", many.len() + known.hidden),
    }
}

/// A sentence begun with a capital.
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().collect::<String>() + letters.as_str())
}

/// A line of the table.
pub(super) struct Line {
    pub item: Item,
    pub what: String,
    pub sent: String,
    pub arrived: String,
    pub expected: String,
    pub back: String,
    /// What the register holds of the find now.
    pub register: String,
    pub gaps: Vec<String>,
    pub explain: Option<String>,
}

impl Line {
    /// What stands on the link to the explanation.
    pub(super) fn asks(&self) -> &'static str {
        if self.gaps.is_empty() { "Joined, sampled, lost?" } else { "Explain" }
    }

    pub(super) fn of(known: &Known, item: &Item, explain: Option<String>) -> Self {
        let account = known.account(item);
        let gaps = [(account.gap_there(), Way::There), (account.gap(), Way::Back)];
        let now = Amount { pieces: item.now_quantity, mass_g: item.now_weight_g };
        let (changed, _) = account.changed;
        let expected =
            if changed == 0 && account.changed.1 == 0.0 { String::new() } else { amount(account.expected()) };
        Self {
            what: if item.object_type.is_empty() {
                item.material_name.clone()
            } else {
                format!("{}, {}", item.object_type, item.material_name)
            },
            sent: sent(&account),
            arrived: account.arrived.map(amount).unwrap_or_default(),
            expected,
            back: account.back.map(amount).unwrap_or_default(),
            register: amount(now),
            gaps: gaps.into_iter().filter_map(|(found, way)| found.map(|found| gap(found, way))).collect(),
            explain,
            item: item.clone(),
        }
    }
}

fn sent(account: &Account) -> String {
    match account.sent {
        Amount { pieces: 0, mass_g: None | Some(0.0) } => "taken out of another while out".to_owned(),
        sent => amount(sent),
    }
}
