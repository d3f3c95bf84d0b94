//! The parts of the form of a record: what every record has, and what one kind adds.
use super::form::RecordForm;
use super::level_form::LevelForm;
use super::level_mail;
use super::step_form::{StepForm, uses_materials};
use super::test_form::TestForm;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use domain::ids::{ImageId, ProjectId, RecordId};
use domain::spot_tests::{Trial, recheck_due};
use domain::stages::Stage;
use domain::treatment::{Need, Treatment, lacking};
use domain::work::Detail;
use store::Tx;
use store::finds::{Find, progress};
use store::work::levels::{self, Reasons};
use store::work::records::NewRecord;
use store::work::{last, records, spot_tests, standing, treatments};

/// As typed.
#[derive(Debug, Clone, Default)]
pub(super) struct Forms {
    pub record: RecordForm,
    pub test: TestForm,
    pub level: LevelForm,
    pub step: StepForm,
}

/// What a kind of record holds besides the record itself.
#[derive(Debug, Clone, Default)]
pub(super) struct More {
    trial: Option<Trial>,
    reasons: Option<Reasons>,
    step: Treatment,
    /// How the step went beyond the agreed level, where somebody says so.
    beyond: String,
}

/// What a form is read against.
pub(super) struct Bench<'a> {
    pub project: ProjectId,
    pub stage: Stage,
    pub finds: &'a [Find],
    /// Photographs of the finds.
    pub images: &'a [ImageId],
    /// Spot tests of the finds.
    pub tests: &'a [RecordId],
}

impl Forms {
    pub(super) fn posted(posted: &Posted<RecordForm>) -> Result<Self, AppError> {
        Ok(Self {
            record: posted.form.clone(),
            test: posted.part()?,
            level: posted.part()?,
            step: posted.part()?,
        })
    }

    /// The record with what its kind adds, or everything that is wrong with the form.
    pub(super) fn parse(&self, ctx: &Ctx, bench: &Bench<'_>) -> Result<(NewRecord, More), Errors> {
        let mut errors = Errors::default();
        let mut more = More {
            step: self.step.parse(bench.stage, &self.record.done_by, &mut errors),
            beyond: self.step.beyond(bench.stage, &mut errors),
            ..More::default()
        };
        let mut record = self.record.clone();
        if bench.stage == Stage::SpotTest
            && let Some(mixture) = self.test.mixture(&self.record.mixture, &mut errors)
        {
            record.mixture = mixture.words();
            more.trial = Some(self.test.trial(&mixture, bench.images, &mut errors));
        }
        if bench.stage == Stage::CleaningLevel {
            more.reasons = Some(self.level.parse(bench.tests, &mut errors));
        }
        let parsed = record.parse(bench.project, bench.stage, bench.finds, ctx.now.date_naive());
        if self.record.finished == "yes" {
            self.ask_what_lacks(bench.stage, &more, &mut errors);
        }
        match parsed {
            Ok(new) if errors.is_empty() => Ok((new, more)),
            Ok(_) => Err(errors),
            Err(others) => {
                errors.extend(others);
                Err(errors)
            }
        }
    }

    /// A closed record holds everything its kind asks; an open one may lack it.
    fn ask_what_lacks(&self, stage: Stage, more: &More, errors: &mut Errors) {
        let (form, step) = (&self.record, &more.step);
        let said = |words: &str| !words.trim().is_empty();
        let of_level = |has: fn(&Reasons) -> bool| more.reasons.as_ref().is_some_and(has);
        let has = |need: Need| match need {
            Need::Aim => said(&self.step.aim),
            Need::Method => said(&form.method),
            Need::Materials => said(&form.materials) || !step.materials.is_empty(),
            Need::Area => said(&self.step.area),
            Need::Times => said(&self.step.begun) && said(&self.step.ended),
            Need::Outcome => said(&form.outcome),
            Need::Removed => said(&self.step.removed),
            Need::EndRule => said(&form.end_rule),
            Need::CheckedBy => said(&form.checked_by),
            Need::Container => said(&form.container),
            Need::Layers => said(&form.layers_to_keep),
            Need::Evidence => {
                !form.image.is_empty() || of_level(|r| !r.evidence.is_empty() || !r.tests.is_empty())
            }
            Need::Consulted => of_level(|reasons| !reasons.consulted.is_empty()),
            Need::Photograph => !form.image.is_empty(),
        };
        for need in lacking(stage, has).into_iter().filter(|need| need.blocks()) {
            errors.add(need.field(), need.sentence());
        }
    }

    /// Offers what this person wrote last for this kind; with `again` all of it but what is only true of that one find.
    pub(super) async fn offer_last(
        &mut self,
        ctx: &Ctx,
        tx: &mut Tx,
        bench: &Bench<'_>,
        again: bool,
    ) -> Answer<()> {
        if let (Stage::CleaningLevel, [find]) = (bench.stage, bench.finds) {
            self.level = LevelForm::with_tests(&spot_tests::list_of_find(tx, find.id).await?);
        }
        self.offer_last_words(ctx, tx, bench, again).await?;
        if let (true, false, Some(find)) = (uses_materials(bench.stage), again, bench.finds.first()) {
            let in_hand = progress::find_in_hand_since(tx, find.id, bench.stage).await?;
            self.step.offer_times(in_hand, ctx.now);
        }
        Ok(())
    }

    async fn offer_last_words(
        &mut self,
        ctx: &Ctx,
        tx: &mut Tx,
        bench: &Bench<'_>,
        again: bool,
    ) -> Answer<()> {
        let Some(last) = last::find(tx, bench.project, bench.stage, ctx.actor.person).await? else {
            return Ok(());
        };
        if bench.stage == Stage::SpotTest {
            return self.offer_test(tx, last, again).await;
        }
        if !uses_materials(bench.stage) {
            return Ok(());
        }
        let steps = treatments::list_of_find(tx, last.find).await?;
        let step = steps.into_iter().find(|(record, _)| *record == last.record).map(|(_, step)| step);
        if again && let Some(record) = records::find(tx, last.record).await? {
            self.offer_record(&RecordForm::of(&record));
            let all = standing::list(tx, bench.project).await?;
            let same = all
                .iter()
                .find(|s| s.withdrawn_at.is_none() && Some(&s.words) == record.standing_words.as_ref());
            self.record.standing = same.map(|s| s.id.to_string()).unwrap_or_default();
        }
        if let Some(step) = step {
            self.step = if again { StepForm::again(&step, ctx.now) } else { StepForm::offered(&step) };
        }
        Ok(())
    }

    async fn offer_test(&mut self, tx: &mut Tx, last: last::Last, again: bool) -> Answer<()> {
        let tests = spot_tests::list_of_find(tx, last.find).await?;
        let Some(test) = tests.iter().find(|test| test.row.record_id == last.record) else { return Ok(()) };
        let offered = TestForm::of(test);
        self.test = if again {
            self.record.dwell_s = test.row.dwell_s.map(|s| s.to_string()).unwrap_or_default();
            TestForm { site_image: String::new(), x_pct: String::new(), y_pct: String::new(), ..offered }
        } else {
            TestForm {
                carrier: offered.carrier,
                swabs: offered.swabs,
                cleared_with: offered.cleared_with,
                ..TestForm::default()
            }
        };
        Ok(())
    }

    /// What may be true of the next find as well: no mass, no piece, no day.
    fn offer_record(&mut self, old: &RecordForm) {
        let form = &mut self.record;
        for (field, words) in [
            (&mut form.method, &old.method),
            (&mut form.materials, &old.materials),
            (&mut form.outcome, &old.outcome),
            (&mut form.mixture, &old.mixture),
            (&mut form.end_rule, &old.end_rule),
            (&mut form.checked_by, &old.checked_by),
            (&mut form.container, &old.container),
            (&mut form.microclimate, &old.microclimate),
        ] {
            field.clone_from(words);
        }
    }

    /// The words of the record that is corrected, as far as its kind has more.
    pub(super) async fn offer_corrected(
        &mut self,
        tx: &mut Tx,
        bench: &Bench<'_>,
        old: RecordId,
    ) -> Answer<()> {
        let Some(find) = bench.finds.first() else { return Ok(()) };
        if bench.stage == Stage::SpotTest {
            let tests = spot_tests::list_of_find(tx, find.id).await?;
            if let Some(test) = tests.iter().find(|test| test.row.record_id == old) {
                self.test = TestForm::of(test);
            }
        }
        if bench.stage == Stage::CleaningLevel {
            let levels = levels::list_reasoned(tx, find.id).await?;
            if let Some(level) = levels.iter().find(|level| level.record == old) {
                self.level = LevelForm::of(&level.reasons);
            }
        }
        let steps = treatments::list_of_find(tx, find.id).await?;
        if let Some((_, step)) = steps.iter().find(|(record, _)| *record == old) {
            self.step = StepForm::of(step);
        }
        let beyond = treatments::list_beyond(tx, find.id).await?;
        if let Some(step) = beyond.iter().find(|step| step.record_id == old) {
            (self.step.within, self.step.beyond) = ("no".into(), step.words.clone());
        }
        Ok(())
    }
}

impl More {
    /// How the step went beyond the level, in the words of whoever records it.
    pub(super) fn beyond(&self) -> &str {
        &self.beyond
    }

    /// Keeps it beside the record just made; a finished level goes out to the leads.
    pub(super) async fn keep(
        &self,
        ctx: &Ctx,
        tx: &mut Tx,
        (record, new): (RecordId, &NewRecord),
        finds: &[Find],
    ) -> Answer<()> {
        if let (Some(trial), Detail::SpotTest { .. }) = (&self.trial, &new.detail) {
            spot_tests::update_trial(tx, record, trial, recheck_due(ctx.now), new.supersedes).await?;
        }
        if let (Some(reasons), Detail::Level { level, stop_point, .. }) = (&self.reasons, &new.detail) {
            levels::update_reasons(tx, record, reasons).await?;
            if new.finished {
                level_mail::ask(ctx, tx, record, finds, (level, stop_point)).await?;
            }
        }
        if !self.step.is_empty() {
            treatments::insert(tx, record, &self.step).await?;
        }
        Ok(())
    }
}
