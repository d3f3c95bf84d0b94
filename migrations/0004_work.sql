-- One record of work at the bench. It may cover several finds treated together; a correction supersedes it.
CREATE TABLE work_record (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    stage TEXT NOT NULL,
    done_by TEXT NOT NULL,
    done_on DATE NOT NULL,
    method TEXT NOT NULL,
    materials TEXT NOT NULL,
    outcome TEXT NOT NULL,
    note TEXT NOT NULL,
    finished BOOLEAN NOT NULL,
    standing_id UUID,
    supersedes_id UUID REFERENCES work_record (id),
    superseded_at TIMESTAMPTZ,
    recorded_by UUID NOT NULL REFERENCES person (id),
    recorded_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX work_record_project ON work_record (project_id, recorded_at);
CREATE TABLE work_record_find (
    record_id UUID NOT NULL REFERENCES work_record (id),
    find_id UUID NOT NULL REFERENCES find (id),
    quantity BIGINT,
    PRIMARY KEY (record_id, find_id)
);
CREATE INDEX work_record_find_find ON work_record_find (find_id);

CREATE TABLE spot_test (
    record_id UUID PRIMARY KEY NOT NULL REFERENCES work_record (id),
    site TEXT NOT NULL,
    mixture TEXT NOT NULL,
    dwell_s BIGINT,
    effect_on_soiling TEXT NOT NULL,
    effect_on_original TEXT NOT NULL,
    decision TEXT NOT NULL
);
CREATE TABLE cleaning_level (
    record_id UUID PRIMARY KEY NOT NULL REFERENCES work_record (id),
    level TEXT NOT NULL,
    layers_to_keep TEXT NOT NULL,
    stop_point TEXT NOT NULL,
    decided_by TEXT NOT NULL,
    authorised_by UUID REFERENCES person (id),
    authorised_at TIMESTAMPTZ,
    answer TEXT NOT NULL
);
CREATE TABLE wet_clean (
    record_id UUID PRIMARY KEY NOT NULL REFERENCES work_record (id),
    mixture TEXT NOT NULL
);
CREATE TABLE drying (
    record_id UUID PRIMARY KEY NOT NULL REFERENCES work_record (id),
    start_mass_g DOUBLE PRECISION,
    end_mass_g DOUBLE PRECISION,
    end_rule TEXT NOT NULL,
    checked_by TEXT NOT NULL
);
CREATE TABLE package (
    record_id UUID PRIMARY KEY NOT NULL REFERENCES work_record (id),
    container TEXT NOT NULL,
    microclimate TEXT NOT NULL,
    sealed_on DATE,
    next_check_on DATE
);
-- A lead's word for a whole class of plain work.
CREATE TABLE standing_authorisation (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    material TEXT NOT NULL,
    words TEXT NOT NULL,
    mixture TEXT NOT NULL,
    stop_point TEXT NOT NULL,
    given_by UUID NOT NULL REFERENCES person (id),
    given_at TIMESTAMPTZ NOT NULL,
    withdrawn_by UUID REFERENCES person (id),
    withdrawn_at TIMESTAMPTZ
);
CREATE INDEX standing_project ON standing_authorisation (project_id, material);
