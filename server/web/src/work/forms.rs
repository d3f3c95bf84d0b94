//! The parts of the form of a record: what every record has, and what one kind adds.
use super::form::RecordForm;
use super::test_form::TestForm;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use domain::ids::{ImageId, ProjectId, RecordId};
use domain::spot_tests::{Trial, recheck_due};
use domain::stages::Stage;
use domain::work::Detail;
use store::Tx;
use store::finds::Find;
use store::work::records::NewRecord;
use store::work::{last, spot_tests};

/// As typed.
#[derive(Debug, Clone, Default)]
pub(super) struct Forms {
    pub record: RecordForm,
    pub test: TestForm,
}

/// What a kind of record holds besides the record itself.
#[derive(Debug, Clone, Default)]
pub(super) struct More {
    trial: Option<Trial>,
}

/// What a form is read against.
pub(super) struct Bench<'a> {
    pub project: ProjectId,
    pub stage: Stage,
    pub finds: &'a [Find],
    /// Photographs of the finds.
    pub images: &'a [ImageId],
}

/// Asks for everything of the last record of this kind.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AgainForm {
    pub again: String,
}

impl Forms {
    pub(super) fn posted(posted: &Posted<RecordForm>) -> Result<Self, AppError> {
        Ok(Self { record: posted.form.clone(), test: posted.part()? })
    }

    /// The record with what its kind adds, or everything that is wrong with the form.
    pub(super) fn parse(&self, ctx: &Ctx, bench: &Bench<'_>) -> Result<(NewRecord, More), Errors> {
        let mut errors = Errors::default();
        let mut more = More::default();
        let mut record = self.record.clone();
        if bench.stage == Stage::SpotTest
            && let Some(mixture) = self.test.mixture(&self.record.mixture, &mut errors)
        {
            record.mixture = mixture.words();
            more.trial = Some(self.test.trial(&mixture, bench.images, &mut errors));
        }
        match record.parse(bench.project, bench.stage, bench.finds, ctx.now.date_naive()) {
            Ok(new) if errors.is_empty() => Ok((new, more)),
            Ok(_) => Err(errors),
            Err(others) => {
                errors.extend(others);
                Err(errors)
            }
        }
    }

    /// Offers what this person wrote last for this kind; with `again` all of it but what is only true of one spot.
    pub(super) async fn offer_last(
        &mut self,
        ctx: &Ctx,
        tx: &mut Tx,
        bench: &Bench<'_>,
        again: bool,
    ) -> Answer<()> {
        if bench.stage != Stage::SpotTest {
            return Ok(());
        }
        let Some(last) = last::find(tx, bench.project, bench.stage, ctx.actor.person).await? else {
            return Ok(());
        };
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

    /// The words of the record that is corrected, as far as its kind has more.
    pub(super) async fn offer_corrected(
        &mut self,
        tx: &mut Tx,
        bench: &Bench<'_>,
        old: RecordId,
    ) -> Answer<()> {
        if let (Stage::SpotTest, Some(find)) = (bench.stage, bench.finds.first()) {
            let tests = spot_tests::list_of_find(tx, find.id).await?;
            if let Some(test) = tests.iter().find(|test| test.row.record_id == old) {
                self.test = TestForm::of(test);
            }
        }
        Ok(())
    }
}

impl More {
    /// Keeps it beside the record just made.
    pub(super) async fn keep(&self, ctx: &Ctx, tx: &mut Tx, record: RecordId, new: &NewRecord) -> Answer<()> {
        if let (Some(trial), Detail::SpotTest { .. }) = (&self.trial, &new.detail) {
            spot_tests::update_trial(tx, record, trial, recheck_due(ctx.now), new.supersedes).await?;
        }
        Ok(())
    }
}
