//! What is asked for, and in which mix.
use crate::Failure;
use crate::client::Client;

/// Kinds of page, measured apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    Find,
    List,
    Deep,
    Rare,
    Common,
    TwoWords,
    Prefix,
    Backlog,
    BareFind,
    BareList,
}

/// How often each kind is asked for, of a hundred requests.
const MIX: &[(Kind, usize)] = &[
    (Kind::Find, 26),
    (Kind::List, 20),
    (Kind::Deep, 14),
    (Kind::Rare, 5),
    (Kind::Common, 5),
    (Kind::TwoWords, 5),
    (Kind::Prefix, 5),
    (Kind::Backlog, 8),
    (Kind::BareFind, 6),
    (Kind::BareList, 6),
];

impl Kind {
    /// All kinds, as the table shows them.
    pub fn all() -> impl Iterator<Item = Kind> {
        MIX.iter().map(|(kind, _)| *kind)
    }

    /// The name in the table.
    pub fn label(self) -> &'static str {
        match self {
            Kind::Find => "find page",
            Kind::List => "filtered list",
            Kind::Deep => "list, far in",
            Kind::Rare => "search: rare word",
            Kind::Common => "search: common word",
            Kind::TwoWords => "search: two words",
            Kind::Prefix => "search: begun word",
            Kind::Backlog => "backlog",
            Kind::BareFind => "bare route, bytes of a find page",
            Kind::BareList => "bare route, bytes of a list",
        }
    }

    /// The mark for the 99th percentile, in ms; the bare routes have none.
    pub fn limit_ms(self) -> Option<f64> {
        match self {
            Kind::Find | Kind::List | Kind::Deep => Some(25.0),
            Kind::Rare | Kind::Common | Kind::TwoWords | Kind::Prefix => Some(60.0),
            Kind::Backlog => Some(100.0),
            Kind::BareFind | Kind::BareList => None,
        }
    }

    /// Whether the bare route answers instead of the server.
    pub fn is_bare(self) -> bool {
        self.limit_ms().is_none()
    }
}

/// The pages of each kind on one database.
pub struct Paths(Vec<(Kind, Vec<String>)>);

impl Paths {
    /// Looks for finds all over the project and writes the pages down.
    pub async fn collect(client: &Client, finds: usize) -> Result<Paths, Failure> {
        let list = "/projects/LOAD/finds";
        let contexts = finds / 40;
        let mut ids = Vec::new();
        for twentieth in 1..20 {
            let page = format!("{list}?context={}", contexts * twentieth / 20);
            ids.extend(find_ids(&client.read(&page).await?).into_iter().take(40));
        }
        if ids.len() < 100 {
            return Err("the lists name too few finds".into());
        }
        let far: Vec<&String> = ids.iter().step_by(23).collect();
        let filters = [
            "",
            "headline=recovery",
            "headline=wet_clean&material=ceramic",
            "headline=packing&sort=waiting",
            "stage=drying",
            "material=coin",
            "material=iron&kind=single",
            "person=me",
            "held=yes",
            "overdue=yes",
            "overdue=yes&sort=waiting",
            "overdue=yes&material=wood_leather",
            "person=me&sort=waiting",
            "held=yes&sort=newest",
            "sort=newest",
            "sort=waiting&material=glass",
            "headline=finished&kind=bulk",
            "headline=finished&sort=newest",
            "material=lead&stage=xray",
            "material=lead&stage=xray&sort=waiting",
        ];
        let mut lists: Vec<String> = filters.iter().map(|f| format!("{list}?{f}")).collect();
        lists.push(format!("{list}?context={}", contexts / 2));
        let deep = far.iter().enumerate().map(|(n, id)| {
            let filter = [
                "",
                "headline=finished",
                "material=ceramic",
                "sort=newest",
                "sort=waiting",
                "material=iron&kind=single",
            ][n % 6];
            format!("{list}?{filter}&after={id}").replace("?&", "?")
        });
        let search = |words: &[&str]| words.iter().map(|w| format!("{list}?q={w}")).collect();
        Ok(Paths(vec![
            (Kind::Find, ids.iter().map(|id| format!("/finds/{id}")).collect()),
            (Kind::List, lists),
            (Kind::Deep, deep.collect()),
            (Kind::Rare, search(&["ostwynmark"])),
            (Kind::Common, search(&["sherd", "grey", "nail", "medieval"])),
            (Kind::TwoWords, search(&["abraded+sherd", "buckle+bent", "green+window", "iron+ostwynmark"])),
            (Kind::Prefix, search(&["she", "cor", "abr", "ostw", "me", "fenki"])),
            (Kind::Backlog, vec!["/backlog".into()]),
            (Kind::BareFind, vec!["/find".into()]),
            (Kind::BareList, vec!["/list".into()]),
        ]))
    }

    /// The pages of a kind.
    pub fn of(&self, kind: Kind) -> &[String] {
        self.0.iter().find(|(k, _)| *k == kind).map_or(&[], |(_, pages)| pages)
    }

    /// The nth request of the mix; kinds are spread evenly, pages take turns.
    pub fn nth(&self, n: usize) -> (Kind, &str) {
        // 37 has no factor in common with 100: every kind comes as often as the mix says.
        let mut at = n * 37 % 100;
        for (kind, share) in MIX {
            if at < *share {
                let pages = self.of(*kind);
                return (*kind, &pages[(n / 100 * share + at) % pages.len()]);
            }
            at -= share;
        }
        (Kind::Backlog, "/backlog")
    }
}

/// Ids of the finds a list links to.
pub fn find_ids(page: &str) -> Vec<String> {
    let mut ids: Vec<String> = Vec::new();
    for part in page.split("href=\"/finds/").skip(1) {
        let id: String = part.chars().take_while(|c| c.is_ascii_hexdigit() || *c == '-').collect();
        if id.len() == 36 && !ids.contains(&id) {
            ids.push(id);
        }
    }
    ids
}
