-- What a spot test holds besides its first words. Tests recorded before have none of it and stand as they are.
ALTER TABLE spot_test ADD COLUMN carrier TEXT;
ALTER TABLE spot_test ADD COLUMN swabs BIGINT;
ALTER TABLE spot_test ADD COLUMN working_time_s BIGINT;
ALTER TABLE spot_test ADD COLUMN cleared_with TEXT NOT NULL DEFAULT '';
ALTER TABLE spot_test ADD COLUMN residue TEXT NOT NULL DEFAULT '';
ALTER TABLE spot_test ADD COLUMN ph DOUBLE PRECISION;
-- the site on a photograph, in percent of its sides from the upper left corner
ALTER TABLE spot_test ADD COLUMN image_id UUID REFERENCES image (id);
ALTER TABLE spot_test ADD COLUMN x_pct DOUBLE PRECISION;
ALTER TABLE spot_test ADD COLUMN y_pct DOUBLE PRECISION;
-- when the spot is to be looked at again; empty when nothing is to be looked at
ALTER TABLE spot_test ADD COLUMN recheck_due_at TIMESTAMPTZ;
CREATE INDEX spot_test_due ON spot_test (recheck_due_at) WHERE recheck_due_at IS NOT NULL;
CREATE TABLE spot_test_part (
    record_id UUID NOT NULL REFERENCES spot_test (record_id),
    position BIGINT NOT NULL,
    solvent TEXT NOT NULL,
    percent DOUBLE PRECISION NOT NULL,
    PRIMARY KEY (record_id, position)
);
-- a later look at the spot
CREATE TABLE spot_recheck (
    id UUID PRIMARY KEY NOT NULL,
    record_id UUID NOT NULL REFERENCES spot_test (record_id),
    effect_on_original TEXT NOT NULL,
    seen TEXT NOT NULL,
    looked_by TEXT NOT NULL,
    recorded_by UUID NOT NULL REFERENCES person (id),
    looked_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX spot_recheck_record ON spot_recheck (record_id);
