//! The one thing to do next for a find.
use crate::context::Ctx;
use crate::links;
use crate::runs::RunView;
use domain::permission::{Action, may_record};
use domain::stages::{Attempt, Facts, Gate, Stage, StageState};
use store::finds::Find;
use store::work::holds::Hold;

/// The panel of the next action: a sentence, perhaps a button, perhaps what stands in the way.
pub(super) struct NextAction {
    pub sentence: String,
    pub button: Option<(String, String)>,
    pub in_the_way: Vec<Obstacle>,
}

/// A gate that is shut, the form that opens it, and the way to lift it.
pub(super) struct Obstacle {
    pub sentence: &'static str,
    pub open: (String, String),
    pub lift: Option<String>,
}

pub(super) fn of(ctx: &Ctx, find: &Find, facts: &Facts, (holds, runs): (&[Hold], &[RunView])) -> NextAction {
    let say = |sentence: String| NextAction { sentence, button: None, in_the_way: Vec::new() };
    if let Some(reason) = find.void_at.and(find.void_reason.clone()) {
        return say(format!("This number is void: {reason}. It takes no further records."));
    }
    if let Some(hold) = holds.iter().find(|hold| hold.released_at.is_none()) {
        return say(format!("On hold: {}. Nothing moves until the hold is released.", hold.reason));
    }
    let (stage, state) = facts.progress.current();
    if stage == Stage::Finished {
        return say("Every stage of its route is behind this find.".into());
    }
    if let Some(run) = runs.iter().find(|run| run.running && run.stage == stage) {
        let button = Some((run.href.clone(), format!("Open the {}", run.kind)));
        let sentence = format!("A {} is on since {}: {}.", run.kind, run.begun, run.readings);
        return NextAction { sentence, button, in_the_way: Vec::new() };
    }
    let in_the_way = obstacles(ctx, find, facts, stage);
    let sentence = sentence(stage, state, in_the_way.is_empty());
    let button = button(ctx, find, stage).filter(|_| in_the_way.is_empty());
    NextAction { sentence, button, in_the_way }
}

fn sentence(stage: Stage, state: StageState, open: bool) -> String {
    match (stage, state) {
        (Stage::CleaningLevel, StageState::InHand) => {
            "A cleaning level is proposed and waits for the lead’s answer.".into()
        }
        (stage, StageState::InHand) => format!("In hand: {}.", stage.label()),
        (stage, _) if open => format!("Ready for {}.", stage.label()),
        (stage, _) => format!("Waits for {}, but something stands in the way.", stage.label()),
    }
}

fn button(ctx: &Ctx, find: &Find, stage: Stage) -> Option<(String, String)> {
    let may = |action| ctx.actor.may(action, find.project_id);
    let code = &find.project_code;
    match stage {
        Stage::Review if may(Action::AssignSpecialists) => {
            Some((format!("{}?find={}", links::assignment_new(code), find.id), "Send to a specialist".into()))
        }
        Stage::Review | Stage::Settlement => None,
        stage if !may_record(&ctx.actor, find.project_id, stage, find.bulk, &find.material) => None,
        Stage::Packing => Some((links::packing_of(code, find.id), "Pack it".into())),
        stage if stage.takes_record() => {
            Some((links::record_of(code, stage, find.id), format!("Record {}", stage.label())))
        }
        stage => Some((links::mark_of(code, stage, find.id), format!("Mark {}", stage.label()))),
    }
}

fn obstacles(ctx: &Ctx, find: &Find, facts: &Facts, stage: Stage) -> Vec<Obstacle> {
    let may_lift = ctx.actor.may(Action::LiftGate, find.project_id);
    let obstacle = |gate: Gate| {
        let opener = gate.opened_by();
        let href = if opener.takes_record() {
            links::record_of(&find.project_code, opener, find.id)
        } else {
            links::mark_of(&find.project_code, opener, find.id)
        };
        Obstacle {
            sentence: gate.sentence(),
            open: (href, format!("Record {}", opener.label())),
            lift: may_lift.then(|| links::lift_new(find.id, gate)),
        }
    };
    Attempt::plain(stage).stopped_by(facts).into_iter().map(obstacle).collect()
}
