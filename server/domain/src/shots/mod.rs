//! Shots: which photographs a find should have by now, which it has, and what the name of a file tells.
//!
//! The kinds of view and light are those of a usual shot list of a finds lab (common practice, no source).
mod name;

pub use name::{NameRead, read_name};

use crate::stages::{Progress, Stage, StageState};
use crate::words::fold;

crate::text_enum! {
    /// When a photograph was taken beside the treatment.
    Moment, "moment" {
        Before = "before", "before";
        During = "during", "during";
        After = "after", "after";
    }
}

crate::text_enum! {
    /// What fell on the find.
    Light, "light" {
        Visible = "visible", "visible light";
        Raking = "raking", "raking light";
        Uv = "uv", "ultraviolet";
        Xray = "xray", "X-ray";
        Microscope = "microscope", "microscope";
    }
}

/// A shot that finds of a material should have once they have come to a stage.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Rule {
    /// Code of the material group; empty for all.
    pub material: String,
    pub stage: Stage,
    pub moment: Moment,
    /// “front”; empty where any view will do.
    pub view: String,
    pub light: Light,
}

/// A photograph as far as shot lists ask.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Shot {
    /// Code of the moment; empty where nobody said.
    pub moment: String,
    pub view: String,
    pub light: String,
    pub has_scale: bool,
}

/// Where an expected shot stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    Taken,
    Missing,
    /// The moment has passed: it cannot be taken any more.
    Missed,
}

/// A shot that is expected of a find.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Expected {
    pub moment: Moment,
    pub view: String,
    pub light: Light,
    /// The stages that ask for it.
    pub stages: Vec<Stage>,
    pub standing: Standing,
}

impl Light {
    /// The light a photographer’s words mean; what is not said is visible light.
    ///
    /// ```
    /// use domain::shots::Light;
    /// assert_eq!(Light::of_words("raking from the left"), Light::Raking);
    /// assert_eq!(Light::of_words("UV 365 nm"), Light::Uv);
    /// assert_eq!(Light::of_words(""), Light::Visible);
    /// ```
    pub fn of_words(words: &str) -> Light {
        let folded = fold(words);
        let has = |word: &str| folded.split(' ').any(|part| part == word);
        match () {
            () if has("uv") || folded.contains("ultraviolet") => Light::Uv,
            () if has("raking") => Light::Raking,
            () if has("xray") || folded.contains("x ray") || folded.contains("radiograph") => Light::Xray,
            () if folded.contains("microscop") => Light::Microscope,
            () => Light::Visible,
        }
    }
}

impl Shot {
    /// Whether it shows that view in that light at that moment.
    pub fn is(&self, moment: Moment, view: &str, light: Light) -> bool {
        let (wanted, shown) = (fold(view), fold(&self.view));
        let seen = wanted.is_empty() || shown == wanted || shown.starts_with(&format!("{wanted} "));
        self.moment == moment.code() && seen && Light::of_words(&self.light) == light
    }
}

impl Rule {
    /// Whether a find that has come so far should have the shot, and whether it can still be taken.
    fn asks(&self, material: &str, progress: &Progress) -> Option<Standing> {
        if !self.material.is_empty() && self.material != material || !progress.route.has(self.stage) {
            return None;
        }
        let state = progress.state(self.stage);
        let begun = matches!(state, StageState::InHand | StageState::Done);
        let next = progress.current().0 == self.stage;
        match self.moment {
            _ if state == StageState::NotNeeded => None,
            Moment::Before if state == StageState::Done => Some(Standing::Missed),
            Moment::Before => (begun || next).then_some(Standing::Missing),
            Moment::During if state == StageState::Done => Some(Standing::Missed),
            Moment::During => begun.then_some(Standing::Missing),
            Moment::After => (state == StageState::Done).then_some(Standing::Missing),
        }
    }
}

/// The shots expected of a find by now, each once, with the stages that ask for it.
pub fn expected(rules: &[Rule], material: &str, progress: &Progress, shots: &[Shot]) -> Vec<Expected> {
    let mut all: Vec<Expected> = Vec::new();
    for rule in rules {
        let Some(open) = rule.asks(material, progress) else { continue };
        let taken = shots.iter().any(|shot| shot.is(rule.moment, &rule.view, rule.light));
        let standing = if taken { Standing::Taken } else { open };
        let same = |one: &&mut Expected| {
            one.moment == rule.moment && one.light == rule.light && fold(&one.view) == fold(&rule.view)
        };
        match all.iter_mut().find(same) {
            Some(one) => {
                one.stages.push(rule.stage);
                if one.standing == Standing::Missed {
                    // one of the stages that ask for it has not passed
                    one.standing = standing;
                }
            }
            None => all.push(Expected {
                moment: rule.moment,
                view: rule.view.clone(),
                light: rule.light,
                stages: vec![rule.stage],
                standing,
            }),
        }
    }
    all
}

/// Positions of the ultraviolet photographs that no photograph in visible light of the same view and moment stands beside.
pub fn unpaired_uv(shots: &[Shot]) -> Vec<usize> {
    let light = |shot: &Shot| Light::of_words(&shot.light);
    let beside = |uv: &Shot| {
        shots.iter().any(|shot| {
            light(shot) == Light::Visible && shot.moment == uv.moment && fold(&shot.view) == fold(&uv.view)
        })
    };
    let uv = shots.iter().enumerate().filter(|(_, shot)| light(shot) == Light::Uv);
    uv.filter(|(_, shot)| !beside(shot)).map(|(at, _)| at).collect()
}

/// The shots a new project expects (common practice, no source).
pub fn default_rules() -> Vec<Rule> {
    let rule = |material: &str, stage, moment, view: &str, light| Rule {
        material: material.into(),
        stage,
        moment,
        view: view.into(),
        light,
    };
    let mut rules = Vec::new();
    for stage in [Stage::DryClean, Stage::WetClean] {
        rules.push(rule("", stage, Moment::Before, "front", Light::Visible));
        rules.push(rule("", stage, Moment::After, "front", Light::Visible));
    }
    rules.push(rule("stone", Stage::WetClean, Moment::Before, "front", Light::Raking));
    rules.push(rule("stone", Stage::WetClean, Moment::Before, "front", Light::Uv));
    for metal in ["iron", "copper_alloy", "composite"] {
        rules.push(rule(metal, Stage::Xray, Moment::After, "", Light::Xray));
    }
    rules
}

/// Whether two photographs belong side by side: the same view before and after in one light, or in visible light and
/// ultraviolet at one moment. The first of the two stands left.
pub fn pair(one: &Shot, other: &Shot) -> bool {
    let light = |shot: &Shot| Light::of_words(&shot.light);
    let same_view = fold(&one.view) == fold(&other.view);
    let lights = (light(one), light(other));
    let moments = (one.moment.as_str(), other.moment.as_str());
    same_view
        && (lights == (Light::Visible, Light::Uv) && moments.0 == moments.1
            || lights.0 == lights.1 && moments == (Moment::Before.code(), Moment::After.code()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stages::{Route, RouteStage, StageMark};

    fn shot(moment: &str, view: &str, light: &str) -> Shot {
        Shot { moment: moment.into(), view: view.into(), light: light.into(), has_scale: true }
    }

    fn progress(done: &[Stage]) -> Progress {
        let stages = [Stage::Registration, Stage::DryClean, Stage::WetClean, Stage::Packing];
        let mark = |stage: &Stage| StageMark {
            stage: *stage,
            state: StageState::Done,
            quantity_done: 1,
            reason: String::new(),
        };
        Progress {
            route: Route(stages.iter().map(|&stage| RouteStage { stage, gates: vec![] }).collect()),
            marks: done.iter().map(mark).collect(),
        }
    }

    fn standings(done: &[Stage], shots: &[Shot]) -> Vec<(Moment, Standing)> {
        let of = expected(&default_rules(), "ceramic", &progress(done), shots);
        of.into_iter().map(|one| (one.moment, one.standing)).collect()
    }

    #[test]
    fn a_shot_before_is_asked_when_its_stage_is_next_and_one_after_when_it_is_done() {
        use {Moment::*, Standing::*};
        assert_eq!(standings(&[], &[]), [(Before, Missing)]);
        let before = [shot("before", "Front, whole", "visible")];
        assert_eq!(standings(&[Stage::DryClean], &before), [(Before, Taken), (After, Missing)]);
        let all = [Stage::DryClean, Stage::WetClean];
        assert_eq!(standings(&all, &[]), [(Before, Missed), (After, Missing)], "nothing can be made up for");
        assert_eq!(
            standings(&[Stage::DryClean], &[]),
            [(Before, Missing), (After, Missing)],
            "wet clean is next"
        );
    }

    #[test]
    fn ultraviolet_wants_its_visible_pair_of_the_same_view() {
        let shots = [
            shot("before", "front", "visible"),
            shot("before", "front", "UV"),
            shot("before", "back", "uv 365 nm"),
        ];
        assert_eq!(unpaired_uv(&shots), [2]);
        assert!(pair(&shots[0], &shots[1]) && !pair(&shots[1], &shots[0]) && !pair(&shots[0], &shots[2]));
        assert!(pair(&shots[0], &shot("after", "Front", "")));
    }
}
