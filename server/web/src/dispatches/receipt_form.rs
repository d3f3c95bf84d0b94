//! What was counted, as typed: line by line, against what is still to come.
use super::Known;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Errors;
use domain::dispatch::{Account, Amount, Way};
use domain::ids::{DispatchId, DispatchItemId, ReceiptId};
use std::collections::HashMap;
use store::Tx;
use store::dispatches::items::Item;
use store::dispatches::receipts::{self, NewLine, NewReceipt, Receipt};

/// Most that anything may weigh, in g.
const MOST_G: f64 = 20_000_000.0;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct ReceiptForm {
    pub item: Vec<String>,
    /// One for each line, in the same order; likewise the two below.
    pub quantity: Vec<String>,
    pub mass_g: Vec<String>,
    pub condition: Vec<String>,
    /// Lines that are as the note says.
    pub as_sent: Vec<String>,
    pub received_on: String,
    pub received_by: String,
    pub note: String,
    /// More is still to come back.
    pub more: String,
    pub place: String,
    /// The receipt that this one corrects.
    pub supersedes: String,
}

/// What was counted of each line at that end before, a receipt that is being corrected apart.
pub(super) async fn counted_before(
    tx: &mut Tx,
    (id, way): (DispatchId, Way),
    wrong: Option<&Receipt>,
) -> Answer<HashMap<DispatchItemId, Amount>> {
    let stands = |receipt: &Receipt| {
        receipt.way == way
            && receipt.superseded_at.is_none()
            && Some(receipt.id) != wrong.map(|wrong| wrong.id)
    };
    let standing: Vec<ReceiptId> = receipts::list(tx, id)
        .await?
        .iter()
        .filter(|receipt| stands(receipt))
        .map(|receipt| receipt.id)
        .collect();
    let mut before: HashMap<DispatchItemId, Amount> = HashMap::new();
    for line in receipts::list_lines(tx, id).await?.iter().filter(|line| standing.contains(&line.receipt_id))
    {
        let so_far = before.entry(line.item_id).or_insert(Amount { pieces: 0, mass_g: Some(0.0) });
        so_far.pieces += line.quantity;
        so_far.mass_g = so_far.mass_g.zip(line.mass_g).map(|(a, b)| a + b);
    }
    Ok(before)
}

/// What should be there in all, and what of it is still to come.
pub(super) fn to_come(account: &Account, way: Way, before: Option<&Amount>) -> Amount {
    let expected = match way {
        Way::There => account.expected_there(),
        Way::Back => account.expected(),
    };
    before.map_or(expected, |before| expected.less(*before))
}

impl ReceiptForm {
    /// The receipt to be corrected; one that was corrected before, or of another dispatch or way, is not there.
    pub(super) async fn corrected(
        &self,
        tx: &mut Tx,
        (id, way): (DispatchId, Way),
    ) -> Answer<Option<Receipt>> {
        let Ok(wrong) = self.supersedes.parse::<ReceiptId>() else { return Ok(None) };
        let all = receipts::list(tx, id).await?;
        let found = all.into_iter().find(|r| r.id == wrong && r.way == way && r.superseded_at.is_none());
        found.map(Some).ok_or(AppError::NotFound)
    }

    pub(super) async fn fill_from(&mut self, tx: &mut Tx, wrong: &Receipt, known: &Known) -> Answer<()> {
        let lines = receipts::list_lines(tx, wrong.dispatch_id).await?;
        let of =
            |item: &Item| lines.iter().find(|line| line.receipt_id == wrong.id && line.item_id == item.id);
        self.received_on = wrong.received_on.to_string();
        self.received_by.clone_from(&wrong.received_by);
        self.note.clone_from(&wrong.note);
        self.item = known.items.iter().map(|item| item.id.to_string()).collect();
        let shown = |g: Option<f64>| g.map(crate::filters::show_measure).unwrap_or_default();
        let lines: Vec<_> = known.items.iter().map(of).collect();
        self.quantity = lines.iter().map(|l| l.map(|l| l.quantity.to_string()).unwrap_or_default()).collect();
        self.mass_g = lines.iter().map(|l| l.map(|l| shown(l.mass_g)).unwrap_or_default()).collect();
        self.condition = lines.iter().map(|l| l.map(|l| l.condition.clone()).unwrap_or_default()).collect();
        Ok(())
    }

    pub(super) fn typed<'a>(&'a self, item: &Item, field: &'a [String]) -> &'a str {
        let id = item.id.to_string();
        let at = self.item.iter().position(|typed| *typed == id);
        at.and_then(|at| field.get(at)).map_or("", String::as_str)
    }

    pub(super) fn parse(
        &self,
        ctx: &Ctx,
        (known, before, way, complete): (&Known, &HashMap<DispatchItemId, Amount>, Way, bool),
        errors: &mut Errors,
    ) -> NewReceipt {
        let mut lines = Vec::new();
        for item in &known.items {
            let line = self.line(item, known.account(item), (before.get(&item.id), way, complete), errors);
            lines.extend(line);
        }
        if lines.is_empty() && errors.is_empty() {
            errors.add("quantity", "Count at least one line.");
        }
        let today = ctx.now.date_naive();
        let received_on = errors.day("received_on", &self.received_on);
        match received_on {
            None => errors.add("received_on", "Give the day."),
            Some(day) if day > today => errors.add("received_on", "This day is still to come."),
            Some(day) if day < known.dispatch.sent_on => {
                errors.add("received_on", "This is before it was sent.");
            }
            Some(_) => {}
        }
        NewReceipt {
            dispatch: known.dispatch.id,
            way,
            received_on: received_on.unwrap_or(today),
            received_by: errors.required("received_by", &self.received_by, "Say who counted."),
            note: errors.text("note", &self.note),
            lines,
            supersedes: None,
        }
    }

    /// A line that was counted or weighed; one left empty is not part of this receipt.
    fn line(
        &self,
        item: &Item,
        account: Account,
        (before, way, complete): (Option<&Amount>, Way, bool),
        errors: &mut Errors,
    ) -> Option<NewLine> {
        let pieces = errors.whole("quantity", self.typed(item, &self.quantity), 0);
        let mass_g = errors.measure("mass_g", self.typed(item, &self.mass_g), 0.0..=MOST_G);
        let condition = errors.line("condition", self.typed(item, &self.condition));
        let expected = to_come(&account, way, before);
        let ticked = self.as_sent.contains(&item.id.to_string());
        if ticked && pieces.is_some_and(|pieces| pieces != expected.pieces) {
            errors.add(
                "quantity",
                format!("{}: tick it or count it; the two say different numbers.", item.number),
            );
        }
        if let (Some(before), Some(pieces)) = (before, pieces)
            && pieces > expected.pieces
        {
            let words = format!(
                "{}: {} were counted before, so {} are still to come. Correct that receipt if it was wrong.",
                item.number, before.pieces, expected.pieces
            );
            errors.add("quantity", words);
        }
        let amount = if ticked && pieces.is_none() && mass_g.is_none() {
            expected
        } else {
            if pieces.is_none() && mass_g.is_none() {
                let owed = expected.pieces > 0 || expected.mass_g.is_some();
                if complete && owed && account.back.is_none() && way == Way::Back {
                    let missing = format!(
                        "{}: say how many came back, 0 for none; or that more is still to come.",
                        item.number
                    );
                    errors.add("quantity", missing);
                }
                return None;
            }
            if pieces.is_none() && expected.pieces > 0 {
                errors.add("quantity", format!("{}: count the pieces too.", item.number));
            }
            Amount { pieces: pieces.unwrap_or(0), mass_g }
        };
        Some(NewLine { item: item.id, amount, condition })
    }
}
