-- Why a level was chosen, and what the lead said to it. Levels proposed before have none of it and stand as they are.
ALTER TABLE cleaning_level ADD COLUMN question TEXT NOT NULL DEFAULT '';
ALTER TABLE cleaning_level ADD COLUMN options TEXT NOT NULL DEFAULT '';
ALTER TABLE cleaning_level ADD COLUMN evidence TEXT NOT NULL DEFAULT '';
ALTER TABLE cleaning_level ADD COLUMN consulted TEXT NOT NULL DEFAULT '';
ALTER TABLE cleaning_level ADD COLUMN answer_words TEXT NOT NULL DEFAULT '';
CREATE INDEX cleaning_level_answered ON cleaning_level (authorised_at) WHERE authorised_at IS NOT NULL;
-- spot tests that speak for a level
CREATE TABLE level_evidence (
    record_id UUID NOT NULL REFERENCES cleaning_level (record_id),
    test_id UUID NOT NULL REFERENCES spot_test (record_id),
    PRIMARY KEY (record_id, test_id)
);
-- What a record of work holds besides method, materials and outcome.
CREATE TABLE treatment (
    record_id UUID PRIMARY KEY NOT NULL REFERENCES work_record (id),
    aim TEXT NOT NULL,
    area TEXT NOT NULL,
    area_cm2 DOUBLE PRECISION,
    -- minutes since midnight of the day it was done
    begun_min BIGINT,
    ended_min BIGINT,
    -- how many worked on it together
    people BIGINT NOT NULL,
    mass_before_g DOUBLE PRECISION,
    mass_after_g DOUBLE PRECISION,
    removed TEXT NOT NULL,
    kept TEXT NOT NULL
);
CREATE TABLE treatment_material (
    record_id UUID NOT NULL REFERENCES treatment (record_id),
    position BIGINT NOT NULL,
    name TEXT NOT NULL,
    batch TEXT NOT NULL,
    concentration_pct DOUBLE PRECISION,
    -- w/v, v/v or w/w; empty without a concentration
    basis TEXT NOT NULL,
    PRIMARY KEY (record_id, position)
);
-- How a step went beyond the level agreed for a find, in words.
CREATE TABLE step_beyond (
    record_id UUID NOT NULL REFERENCES work_record (id),
    find_id UUID NOT NULL REFERENCES find (id),
    words TEXT NOT NULL,
    PRIMARY KEY (record_id, find_id)
);
CREATE INDEX step_beyond_find ON step_beyond (find_id);
