//! Opinions laid side by side: what they share, what lies between them, what they hold together, how far they agree.
//! Nothing here makes a date.
use super::bars::{self, Bars, Drawn, Scale};
use super::dating;
use super::opinion_view::{OpinionView, kind_of};
use crate::figure::{Figure, fixed};
use calc::chronology::{DateRange, Year};
use calc::opinions::{self, Comparison, OPINIONS, Opinion, Pool};
use domain::review::Years;
use domain::review::opinion::{DateKind, Weight};

/// What the densest years of a pool are to hold.
const MASS: f64 = 0.95;
/// Height of the drawing of a pool.
const POOL_HEIGHT: f64 = 120.0;

/// Everything that is compared, by kind of date.
pub(super) struct SideBySide {
    pub bars: Bars,
    pub kinds: Vec<Kind>,
}

/// One kind of date with what was found on comparing.
pub(super) struct Kind {
    pub name: &'static str,
    pub facts: Vec<(&'static str, String)>,
    pub pool: Option<PoolView>,
}

/// The opinions added up, for whoever unfolds it. It has no central year.
pub(super) struct PoolView {
    pub id: String,
    pub width: f64,
    pub height: f64,
    pub axis_y: f64,
    pub names: f64,
    pub right: f64,
    pub path: String,
    pub ticks: Vec<(f64, String)>,
    pub words: String,
    pub figure: Figure,
}

/// Lays standing opinions side by side; nothing when none gives a date.
pub(super) fn of(standing: &[OpinionView]) -> Option<SideBySide> {
    let said: Vec<_> = DateKind::ALL.iter().filter_map(|kind| said_of(*kind, standing)).collect();
    let compared: Vec<_> = said.iter().map(|drawn| opinions::compare(&opinions_of(drawn)).ok()).collect();
    let drawn: Vec<Drawn<'_>> = said
        .into_iter()
        .zip(&compared)
        .map(|(drawn, compared)| {
            let several = drawn.said.len() > 1;
            let shared = compared.as_ref().filter(|_| several).map(|c| years_of(&c.shared));
            Drawn { shared: shared.unwrap_or_default(), ..drawn }
        })
        .collect();
    let scale = Scale::of(&drawn)?;
    let kinds: Vec<Kind> =
        drawn.iter().zip(&compared).map(|(drawn, compared)| kind(drawn, compared.as_ref(), scale)).collect();
    let words = words(&drawn, &kinds);
    Some(SideBySide { bars: bars::draw(&drawn, scale, words), kinds })
}

fn said_of(kind: DateKind, standing: &[OpinionView]) -> Option<Drawn<'_>> {
    let ranges = |opinion: &OpinionView| -> Vec<(Years, Weight)> {
        let of_kind = opinion.dates.iter().filter(|date| date.kind == kind);
        of_kind.map(|date| (date.years, date.weight)).collect()
    };
    let said: Vec<_> = standing
        .iter()
        .map(|opinion| (opinion, ranges(opinion)))
        .filter(|(_, ranges)| !ranges.is_empty())
        .collect();
    (!said.is_empty()).then(|| Drawn { kind, said, shared: Vec::new() })
}

fn opinions_of(drawn: &Drawn<'_>) -> Vec<Opinion> {
    let year = |year: Option<i64>| year.and_then(|year| Year::astronomical(year).ok());
    let range = |(years, weight): &(Years, Weight)| {
        let range = DateRange::new(year(years.lo), year(years.hi)).ok()?;
        Some((range, weight.share()))
    };
    drawn
        .said
        .iter()
        .filter_map(|(_, ranges)| Opinion::of(ranges.iter().filter_map(range).collect()).ok())
        .collect()
}

fn years_of(ranges: &[DateRange]) -> Vec<Years> {
    let years = |range: &DateRange| Years {
        lo: range.lo().map(|year| year.number()),
        hi: range.hi().map(|year| year.number()),
    };
    ranges.iter().map(years).collect()
}

fn labels(ranges: &[DateRange]) -> String {
    years_of(ranges).into_iter().map(dating::label).collect::<Vec<_>>().join(", ")
}

fn kind(drawn: &Drawn<'_>, compared: Option<&Comparison>, scale: Scale) -> Kind {
    let mut facts = Vec::new();
    let name = kind_of(drawn.kind);
    if let Some(compared) = compared.filter(|_| drawn.said.len() > 1) {
        facts.push(("Agreement", compared.accord.words().to_owned()));
        facts.push(("All hold", labels(&compared.shared)));
        facts.push(("Nobody holds", labels(&compared.gaps)));
        facts.push(("Together", labels(&compared.held)));
        if drawn.said.len() > 2 {
            facts.push(("Two by two", pairs(drawn, compared)));
        }
        facts.retain(|(_, words)| !words.is_empty());
    }
    let pool = (drawn.said.len() > 1).then(|| opinions::pool(&opinions_of(drawn), MASS).ok()).flatten();
    let agreement = compared.and_then(|compared| compared.agreement);
    Kind { name, facts, pool: pool.map(|pool| pool_view(drawn, &pool, agreement, scale)) }
}

/// “Ilka Varnsted and Maren Ash share AD 1417 to AD 1461; …”.
fn pairs(drawn: &Drawn<'_>, compared: &Comparison) -> String {
    let name = |at: usize| drawn.said.get(at).map_or("", |(opinion, _)| opinion.author.as_str());
    let words = compared.pairs.iter().map(|pair| {
        let (one, other) = (name(pair.one), name(pair.other));
        match labels(&pair.shared).as_str() {
            "" => format!("{one} and {other} share no year"),
            shared => format!("{one} and {other} share {shared}"),
        }
    });
    words.collect::<Vec<_>>().join("; ")
}

fn pool_view(drawn: &Drawn<'_>, pool: &Pool, agreement: Option<f64>, scale: Scale) -> PoolView {
    let top = pool.steps.iter().map(|step| step.per_year).fold(0.0, f64::max);
    let (axis_y, room) = (POOL_HEIGHT - 26.0, POOL_HEIGHT - 40.0);
    let mut path = String::new();
    for years in pool.steps.iter().flat_map(|step| years_of(&[step.range]).into_iter().zip([step.per_year])) {
        let (Years { lo: Some(lo), hi: Some(hi) }, per_year) = years else { continue };
        let y = fixed_point(axis_y - room * per_year / top);
        path += &format!("M{} {axis_y}V{y}H{}V{axis_y}", scale.x(lo), scale.x(hi + 1));
    }
    let mass = fixed(pool.densest_mass * 100.0, 0);
    let densest = labels(&pool.densest);
    let words = format!(
        "Not a date. The {} opinions on when it was {}, each spread evenly over its years and added up; the most crowded years that hold at least 95 % are {densest} and hold {mass} %.",
        drawn.said.len(),
        drawn.kind.label(),
    );
    let mut inputs = vec![("Opinions", inputs(drawn)), ("Weights", weights_said())];
    if let Some(agreement) = agreement {
        inputs.push(("Mean overlap of pairs", format!("{} of 1", fixed(agreement, 2))));
    }
    PoolView {
        id: format!("pool-{}", drawn.kind.code()),
        width: 700.0,
        height: POOL_HEIGHT,
        axis_y,
        names: scale.names(),
        right: scale.right(),
        path,
        ticks: scale.ticks(),
        words,
        figure: Figure::of("Opinions added up", format!("{densest}, {mass} %"), &OPINIONS, inputs),
    }
}

fn fixed_point(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

fn inputs(drawn: &Drawn<'_>) -> String {
    let said =
        drawn.said.iter().map(|(opinion, ranges)| format!("{}: {}", opinion.author, bars::said(ranges)));
    said.collect::<Vec<_>>().join("; ")
}

fn weights_said() -> String {
    let share = |weight: Weight| crate::filters::show_measure(weight.share());
    format!(
        "“{}” counts {}, “{}” {}, no word {} (common practice, no source)",
        Weight::More.label(),
        share(Weight::More),
        Weight::Less.label(),
        share(Weight::Less),
        share(Weight::Unsaid),
    )
}

/// Everything in sentences.
fn words(drawn: &[Drawn<'_>], kinds: &[Kind]) -> String {
    let sentences = drawn.iter().zip(kinds).map(|(drawn, kind)| {
        let facts = kind.facts.iter().map(|(name, words)| format!("{name}: {words}. "));
        format!("{}. {}. {}", kind.name, inputs(drawn), facts.collect::<String>())
    });
    sentences.collect::<String>().trim_end().to_owned()
}
