//! The opening: what there is, how far it has come, how sure it is.
use super::account::Block;
use super::input::OpinionLine;
use super::register::Register;
use super::tables::{Tally, work};
use super::wording::{counted, day, listed, whole};
use domain::stages::{Headline, Stage};

/// The summary's paragraphs.
pub fn blocks(register: &Register) -> Vec<Block> {
    let interim = register.interim;
    let as_of = day(interim.reported_on);
    if register.finds.is_empty() {
        let text = format!("On {as_of} no finds were registered for {} ({}).", interim.site, interim.code);
        return std::iter::once(text).chain(left_out(register)).map(Block::paragraph).collect();
    }
    let mut paragraphs = vec![extent(register)];
    paragraphs.push(progress(register));
    paragraphs.push(opinions(register));
    paragraphs.extend(left_out(register));
    paragraphs.into_iter().map(Block::paragraph).collect()
}

/// How far the report may be relied upon, in a sentence or two for its first page.
pub fn standing(register: &Register) -> String {
    let interim = register.interim;
    let drawn = format!(
        "Interim: a short factual account, drawn from the records as they stood on {}.",
        day(interim.reported_on)
    );
    let (given, preliminary) = (interim.opinions.len(), preliminary(&interim.opinions));
    match (given, preliminary) {
        (0, _) => format!("{drawn} No specialist opinion has been submitted."),
        (_, 0) => format!("{drawn} All specialist opinions in it are final."),
        (1, 1) => format!("{drawn} The one specialist opinion in it is preliminary."),
        _ => format!(
            "{drawn} {} of its {} specialist opinions {} preliminary.",
            whole(preliminary),
            whole(given),
            if preliminary == 1 { "is" } else { "are" }
        ),
    }
}

fn preliminary(opinions: &[OpinionLine]) -> usize {
    opinions.iter().filter(|opinion| opinion.preliminary).count()
}

fn extent(register: &Register) -> String {
    let interim = register.interim;
    let tally = Tally::of(register.finds.iter().copied());
    let contexts = counted(register.count_contexts(&register.finds), "context", "contexts");
    let bulk = register.finds.iter().filter(|find| find.bulk).count();
    let mut groups: Vec<(&str, usize)> =
        register.groups().into_iter().map(|(name, finds)| (name, finds.len())).collect();
    groups.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    let named: Vec<String> = groups
        .iter()
        .take(4)
        .map(|(name, count)| format!("{} ({})", name.to_lowercase(), whole(*count)))
        .collect();
    let singly = match (bulk, tally.finds - bulk) {
        (0, _) => String::new(),
        (1, 0) => " It is held in bulk.".to_owned(),
        (_, 0) => " All are held in bulk.".to_owned(),
        (bulk, single) => {
            format!(" {} registered singly, {} held in bulk.", is_or_are(single), is_or_are(bulk))
        }
    };
    let materials = match groups.len() {
        1 => format!("All are of one material group, {}.", groups[0].0.to_lowercase()),
        count if count <= 4 => format!("The material groups are {}.", listed(&named)),
        count => format!("Of {} material groups the largest are {}.", whole(count), listed(&named)),
    };
    format!(
        "On {} the register of {} ({}) held {}, from {contexts}.{singly} {materials}",
        day(interim.reported_on),
        interim.site,
        interim.code,
        tally.words()
    )
}

fn is_or_are(count: usize) -> String {
    format!("{} {}", whole(count), if count == 1 { "is" } else { "are" })
}

fn progress(register: &Register) -> String {
    let finds = &register.finds;
    let at = |headline: Headline| finds.iter().filter(|find| find.stage.headline() == headline).count();
    let standing: Vec<String> = Headline::ALL
        .iter()
        .filter(|headline| **headline != Headline::Finished && at(**headline) > 0)
        .map(|headline| format!("{} ({})", headline.label(), whole(at(*headline))))
        .collect();
    let mut sentences = Vec::new();
    if !standing.is_empty() {
        sentences.push(format!("Work still to do, by the stage a find stands at: {}.", listed(&standing)));
    }
    if at(Headline::Finished) > 0 {
        sentences.push(format!("{} through every stage.", is_or_are(at(Headline::Finished))));
    }
    let (plates, wanted) = work::done_and_needed(Stage::Xray, finds);
    if wanted > 0 {
        let need = counted(wanted, "find that needs", "finds that need");
        let had = match plates {
            0 => "none has".to_owned(),
            1 => "1 has".to_owned(),
            many => format!("{} have", whole(many)),
        };
        sentences.push(format!("Of {need} an X-ray, {had} had one."));
    }
    match work::on_hold(finds) {
        0 => sentences.push("No find is on hold.".to_owned()),
        held => sentences.push(format!("{} on hold.", is_or_are(held))),
    }
    sentences.join(" ")
}

fn opinions(register: &Register) -> String {
    let interim = register.interim;
    let given = interim.opinions.len();
    if given == 0 {
        return "No specialist opinion has been submitted yet.".to_owned();
    }
    let finds = register.finds.iter().filter(|find| !register.opinions(&find.number).is_empty()).count();
    let early = preliminary(&interim.opinions);
    let mut text = format!(
        "Specialists have submitted {} on {}: {} final, {} preliminary.",
        counted(given, "opinion", "opinions"),
        counted(finds, "find", "finds"),
        whole(given - early),
        whole(early)
    );
    if early > 0 {
        text.push_str(" A preliminary opinion may change; it is marked wherever it appears, with what its author has seen.");
    }
    match interim.settlements.len() {
        0 => {}
        settled => text.push_str(&format!(
            " The opinions on {} have been weighed and settled; reasons and dissent stand with them.",
            counted(settled, "find", "finds")
        )),
    }
    text
}

fn left_out(register: &Register) -> Option<String> {
    let left_out = register.interim.restricted_left_out;
    (left_out > 0).then(|| {
        let are = if left_out == 1 { "is" } else { "are" };
        format!(
            "{} more {are} restricted and {are} left out of every part of this report, of its counts too.",
            counted(left_out, "find", "finds")
        )
    })
}
