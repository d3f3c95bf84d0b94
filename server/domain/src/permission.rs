//! Who may do what: roles, the catalogue of actions, and the one table that binds them.
use crate::ids::{PersonId, ProjectId};
use crate::stages::Stage;

crate::text_enum! {
    /// What a person is in a project. One person may hold several.
    Role, "role" {
        Conservator = "conservator", "conservator";
        Lead = "lead", "lead conservator";
        FindsOfficer = "finds_officer", "finds officer";
        Photographer = "photographer", "photographer or illustrator";
        Specialist = "specialist", "specialist";
        Manager = "manager", "project manager";
        Archivist = "archivist", "archive officer";
        Reader = "reader", "reader";
    }
}

crate::text_enum! {
    /// Everything a route can be bound to. The label completes "may …".
    Action, "action" {
        Public = "public", "be used without signing in";
        OwnStart = "own_start", "open the own start page and leave";
        OwnAccount = "own_account", "look after the own account";
        ShareTablet = "share_tablet", "share a tablet at the bench";
        Administer = "administer", "keep accounts and create projects";
        ViewProject = "view_project", "open the project’s first page";
        EditProject = "edit_project", "edit the project and its people";
        ViewFind = "view_find", "open a find";
        ListFinds = "list_finds", "list and search all finds";
        TakeLists = "take_lists", "keep filters and take lists away as files";
        RegisterFinds = "register_finds", "register, edit, split, join and void finds";
        ImportRegister = "import_register", "import registers";
        ViewContexts = "view_contexts", "read contexts";
        EditContexts = "edit_contexts", "edit contexts";
        MoveFinds = "move_finds", "move finds between places";
        EditPlaces = "edit_places", "edit places";
        RecordWork = "record_work", "record work and move stages";
        AuthoriseWork = "authorise_work", "authorise cleaning levels and give standing authorisations";
        LiftGate = "lift_gate", "lift a gate with a reason";
        EditRoutes = "edit_routes", "edit materials and routes";
        AssignBench = "assign_bench", "assign finds to people at the bench";
        HoldFinds = "hold_finds", "hold and release finds";
        ViewImages = "view_images", "see photographs";
        UploadImages = "upload_images", "upload, caption and order photographs";
        PrintLabels = "print_labels", "print labels and bench sheets";
        AssignSpecialists = "assign_specialists", "assign finds to specialists";
        ViewAssignments = "view_assignments", "see what is with specialists";
        DispatchFinds = "dispatch_finds", "dispatch finds and receive them back";
        ViewDispatch = "view_dispatch", "open a dispatch: the team any, a specialist those sent to them";
        AnswerDispatch = "answer_dispatch", "acknowledge what arrived and explain what differs";
        WriteOpinion = "write_opinion", "write opinions on assigned finds";
        ReadRows = "read_rows", "read rows of specialists: the team any, a specialist their own";
        EditDisciplines = "edit_disciplines", "edit the columns of disciplines";
        AnswerQuestions = "answer_questions", "answer what specialists ask of a find";
        EnterOpinions = "enter_opinions", "enter opinions received by letter for their authors";
        ViewOpinions = "view_opinions", "read submitted opinions";
        Settle = "settle", "settle opinions";
        CompareRings = "compare_rings", "measure rings, keep lists of moulds and compare them";
        ViewBacklog = "view_backlog", "see the backlog";
        ViewReport = "view_report", "read the report";
    }
}

/// What a role brings. The only place where this is said.
pub const fn grants(role: Role) -> &'static [Action] {
    use Action::*;
    match role {
        Role::Conservator => &[
            ViewProject,
            ViewFind,
            ListFinds,
            TakeLists,
            ViewContexts,
            MoveFinds,
            RecordWork,
            HoldFinds,
            AssignBench,
            ViewImages,
            UploadImages,
            PrintLabels,
            ViewAssignments,
            ViewDispatch,
            AnswerDispatch,
            ReadRows,
            AnswerQuestions,
            ViewOpinions,
            CompareRings,
            ViewBacklog,
            ViewReport,
        ],
        Role::Lead => &[
            ShareTablet,
            ViewProject,
            ViewFind,
            ListFinds,
            TakeLists,
            ViewContexts,
            MoveFinds,
            EditPlaces,
            RecordWork,
            AuthoriseWork,
            LiftGate,
            EditRoutes,
            EditDisciplines,
            HoldFinds,
            AssignBench,
            ViewImages,
            UploadImages,
            PrintLabels,
            ViewAssignments,
            DispatchFinds,
            ViewDispatch,
            AnswerDispatch,
            ReadRows,
            AnswerQuestions,
            EnterOpinions,
            ViewOpinions,
            CompareRings,
            ViewBacklog,
            ViewReport,
        ],
        Role::FindsOfficer => &[
            ViewProject,
            ViewFind,
            ListFinds,
            TakeLists,
            RegisterFinds,
            ImportRegister,
            ViewContexts,
            EditContexts,
            MoveFinds,
            EditPlaces,
            RecordWork,
            HoldFinds,
            ViewImages,
            UploadImages,
            PrintLabels,
            ViewAssignments,
            DispatchFinds,
            ViewDispatch,
            AnswerDispatch,
            ReadRows,
            AnswerQuestions,
            EnterOpinions,
            ViewOpinions,
            CompareRings,
            ViewBacklog,
            ViewReport,
        ],
        Role::Photographer => &[
            ViewProject,
            ViewFind,
            ListFinds,
            TakeLists,
            ViewContexts,
            ViewImages,
            UploadImages,
            AnswerQuestions,
        ],
        Role::Specialist => {
            &[ViewFind, ViewImages, WriteOpinion, ReadRows, CompareRings, ViewDispatch, AnswerDispatch]
        }
        Role::Manager => &[
            ShareTablet,
            ViewProject,
            EditProject,
            ViewFind,
            ListFinds,
            TakeLists,
            ViewContexts,
            EditContexts,
            HoldFinds,
            AssignBench,
            ViewImages,
            PrintLabels,
            AssignSpecialists,
            ViewAssignments,
            EditDisciplines,
            ReadRows,
            ViewDispatch,
            AnswerQuestions,
            EnterOpinions,
            ViewOpinions,
            Settle,
            ViewBacklog,
            ViewReport,
        ],
        Role::Archivist => &[
            ViewProject,
            ViewFind,
            ListFinds,
            TakeLists,
            ViewContexts,
            MoveFinds,
            EditPlaces,
            ViewImages,
            PrintLabels,
            ViewDispatch,
            ReadRows,
            ViewOpinions,
            ViewBacklog,
            ViewReport,
        ],
        Role::Reader => &[ViewProject, ViewReport],
    }
}

/// What a PIN on a shared tablet reaches: recording at the bench and reading finds. Everything else asks for the password.
pub const fn at_bench(action: Action) -> bool {
    use Action::*;
    matches!(action, Public | OwnStart | RecordWork | ViewFind | ListFinds | ViewImages)
}

/// What a person is in one project.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Membership {
    pub project: ProjectId,
    pub code: String,
    pub name: String,
    pub roles: Vec<Role>,
    /// May see human remains and other restricted material.
    pub restricted: bool,
    /// May see exact findspots and the metadata of photographs.
    pub findspot: bool,
    /// Came by a PIN, see [`at_bench`].
    pub bench_only: bool,
}

/// The person who acts, with all memberships.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Actor {
    pub person: PersonId,
    pub name: String,
    pub administrator: bool,
    pub memberships: Vec<Membership>,
    /// Came by a PIN, see [`at_bench`].
    pub bench_only: bool,
}

impl Membership {
    /// Whether one of the roles grants the action.
    pub fn grants(&self, action: Action) -> bool {
        (!self.bench_only || at_bench(action))
            && self.roles.iter().any(|role| grants(*role).contains(&action))
    }
}

impl Actor {
    /// The same person come by a PIN: the bench and nothing else, without exact findspots.
    pub fn by_pin(mut self) -> Self {
        self.bench_only = true;
        self.administrator = false;
        for member in &mut self.memberships {
            member.bench_only = true;
            member.findspot = false;
        }
        self
    }

    /// Whether the way this person came reaches the action at all, whatever their roles.
    pub fn reaches(&self, action: Action) -> bool {
        !self.bench_only || at_bench(action)
    }

    /// What this person is in a project, if anything.
    pub fn membership(&self, project: ProjectId) -> Option<&Membership> {
        self.memberships.iter().find(|m| m.project == project)
    }

    /// Whether this person may do it in that project.
    pub fn may(&self, action: Action, project: ProjectId) -> bool {
        match action {
            Action::Public | Action::OwnStart | Action::OwnAccount => self.reaches(action),
            Action::Administer => self.administrator,
            _ => self.membership(project).is_some_and(|m| m.grants(action)),
        }
    }

    /// Whether this person may do it in some project: what a route asks before any record is known.
    pub fn may_somewhere(&self, action: Action) -> bool {
        match action {
            Action::Public | Action::OwnStart | Action::OwnAccount => self.reaches(action),
            Action::Administer => self.administrator,
            Action::ShareTablet if self.administrator => true,
            _ => self.memberships.iter().any(|m| m.grants(action)),
        }
    }

    /// The projects where this person may do it.
    pub fn projects(&self, action: Action) -> impl Iterator<Item = &Membership> {
        self.memberships.iter().filter(move |m| m.grants(action))
    }

    /// Whether this person may see restricted material of a project.
    pub fn sees_restricted(&self, project: ProjectId) -> bool {
        self.membership(project).is_some_and(|m| m.restricted)
    }

    /// Whether this person may see exact findspots of a project.
    pub fn sees_findspot(&self, project: ProjectId) -> bool {
        self.membership(project).is_some_and(|m| m.findspot)
    }
}

/// Materials sturdy enough for a finds officer to wash, air-dry and pack (common practice, no source).
const ROBUST: &[&str] = &["ceramic", "plaster_cbm", "animal_bone"];

/// Whether this person may record work of a stage on such a find: a conservator anything, a finds officer the plain
/// stages of bulk and robust finds.
pub fn may_record(actor: &Actor, project: ProjectId, stage: Stage, bulk: bool, material: &str) -> bool {
    let Some(member) = actor.membership(project) else { return false };
    if member.roles.iter().any(|role| matches!(role, Role::Conservator | Role::Lead)) {
        return true;
    }
    let plain =
        matches!(stage, Stage::FirstAid | Stage::DryClean | Stage::WetClean | Stage::Drying | Stage::Packing);
    member.roles.contains(&Role::FindsOfficer) && plain && (bulk || ROBUST.contains(&material))
}
