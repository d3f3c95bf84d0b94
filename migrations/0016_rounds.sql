-- What a lead set apart from the usual limits of clocks; material 'others' is every group without a rule of its own.
CREATE TABLE clock_rule (
    project_id UUID NOT NULL REFERENCES project (id),
    kind TEXT NOT NULL,
    material TEXT NOT NULL,
    limit_days BIGINT,
    warn_days BIGINT NOT NULL,
    look_days BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    PRIMARY KEY (project_id, kind, material)
);

-- One look at what a clock runs for. What was not in order is told in words; looks are never changed.
CREATE TABLE clock_look (
    id UUID PRIMARY KEY NOT NULL,
    clock_id UUID NOT NULL REFERENCES clock (id),
    find_id UUID NOT NULL REFERENCES find (id),
    in_order BOOLEAN NOT NULL,
    put_right BOOLEAN NOT NULL,
    words TEXT NOT NULL,
    indicator_rh DOUBLE PRECISION,
    looked_at TIMESTAMPTZ NOT NULL,
    done_by TEXT NOT NULL,
    recorded_by UUID NOT NULL REFERENCES person (id),
    recorded_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX clock_look_clock ON clock_look (clock_id, looked_at);
CREATE INDEX clock_look_find ON clock_look (find_id);
CREATE INDEX clock_running ON clock (kind, find_id) WHERE stopped_at IS NULL;

-- A round on paper: which packs in which order, typed in once. A pack that has gone since simply drops out.
CREATE TABLE round_sheet (
    id UUID PRIMARY KEY NOT NULL,
    kind TEXT NOT NULL,
    printed_by UUID NOT NULL REFERENCES person (id),
    printed_at TIMESTAMPTZ NOT NULL,
    entered_by UUID REFERENCES person (id),
    entered_at TIMESTAMPTZ
);
CREATE TABLE round_sheet_line (
    sheet_id UUID NOT NULL REFERENCES round_sheet (id),
    position BIGINT NOT NULL,
    clock_id UUID NOT NULL,
    PRIMARY KEY (sheet_id, position)
);

-- The daily letter: who wants it, and on which days it was seen to.
ALTER TABLE person ADD COLUMN wants_daily BOOLEAN NOT NULL DEFAULT TRUE;
CREATE TABLE daily_letter (
    person_id UUID NOT NULL REFERENCES person (id),
    day DATE NOT NULL,
    PRIMARY KEY (person_id, day)
);
