-- A run follows finds through drying or desalination: what was set, what was read, how it ended.
CREATE TABLE run (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    kind TEXT NOT NULL,
    started_at TIMESTAMPTZ NOT NULL,
    done_by TEXT NOT NULL,
    method TEXT NOT NULL,
    -- drying: the standard by its key, what the balance shows, and the humidities to step down by where there are any
    standard TEXT,
    balance_g DOUBLE PRECISION,
    rh_start_pct DOUBLE PRECISION,
    rh_end_pct DOUBLE PRECISION,
    rh_step_pct DOUBLE PRECISION,
    hold_days DOUBLE PRECISION,
    chamber_c DOUBLE PRECISION,
    -- desalination: the find's mass, and the end rule in µS/cm · L/kg with its reason
    mass_g DOUBLE PRECISION,
    carry_over_l DOUBLE PRECISION,
    threshold DOUBLE PRECISION,
    baths_in_row BIGINT,
    threshold_reason TEXT,
    -- the record of work that tells of it: open while it runs, closed or left open by its end
    record_id UUID NOT NULL REFERENCES work_record (id),
    ended_at TIMESTAMPTZ,
    ended_well BOOLEAN,
    end_words TEXT,
    recorded_by UUID NOT NULL REFERENCES person (id),
    recorded_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX run_project ON run (project_id, started_at);
CREATE INDEX run_record ON run (record_id);
CREATE TABLE run_find (
    run_id UUID NOT NULL REFERENCES run (id),
    find_id UUID NOT NULL REFERENCES find (id),
    quantity BIGINT,
    PRIMARY KEY (run_id, find_id)
);
CREATE INDEX run_find_find ON run_find (find_id);

-- Readings are never changed; a wrong one is withdrawn with a reason.
CREATE TABLE weighing (
    id UUID PRIMARY KEY NOT NULL,
    run_id UUID NOT NULL REFERENCES run (id),
    weighed_at TIMESTAMPTZ NOT NULL,
    mass_g DOUBLE PRECISION NOT NULL,
    rh_pct DOUBLE PRECISION,
    t_c DOUBLE PRECISION,
    seen TEXT NOT NULL,
    recorded_by UUID NOT NULL REFERENCES person (id),
    recorded_at TIMESTAMPTZ NOT NULL,
    withdrawn_why TEXT
);
CREATE INDEX weighing_run ON weighing (run_id, weighed_at);
CREATE TABLE bath (
    id UUID PRIMARY KEY NOT NULL,
    run_id UUID NOT NULL REFERENCES run (id),
    read_at TIMESTAMPTZ NOT NULL,
    volume_l DOUBLE PRECISION NOT NULL,
    blank_us_cm DOUBLE PRECISION NOT NULL,
    reading_us_cm DOUBLE PRECISION NOT NULL,
    t_c DOUBLE PRECISION,
    chloride_mg_l DOUBLE PRECISION,
    seen TEXT NOT NULL,
    recorded_by UUID NOT NULL REFERENCES person (id),
    recorded_at TIMESTAMPTZ NOT NULL,
    withdrawn_why TEXT
);
CREATE INDEX bath_run ON bath (run_id, read_at);
-- When each set point of a schedule began to be held; a reason where it began before the rule released it.
CREATE TABLE run_step (
    run_id UUID NOT NULL REFERENCES run (id),
    position BIGINT NOT NULL,
    begun_at TIMESTAMPTZ NOT NULL,
    reason TEXT NOT NULL,
    PRIMARY KEY (run_id, position)
);
