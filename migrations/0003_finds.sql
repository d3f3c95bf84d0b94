CREATE TABLE find (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    number TEXT NOT NULL,
    sort_key TEXT NOT NULL,
    bulk BOOLEAN NOT NULL,
    context_id UUID REFERENCES context (id),
    material TEXT NOT NULL,
    material_words TEXT NOT NULL,
    object_type TEXT NOT NULL,
    description TEXT NOT NULL,
    quantity BIGINT NOT NULL,
    weight_g DOUBLE PRECISION,
    fragments BIGINT,
    recovered_on DATE,
    recovered_by TEXT NOT NULL,
    recovery_method TEXT NOT NULL,
    recovered_state TEXT NOT NULL,
    sample_number TEXT NOT NULL,
    easting_m DOUBLE PRECISION,
    northing_m DOUBLE PRECISION,
    height_m DOUBLE PRECISION,
    length_mm DOUBLE PRECISION,
    width_mm DOUBLE PRECISION,
    thickness_mm DOUBLE PRECISION,
    diameter_mm DOUBLE PRECISION,
    period TEXT NOT NULL,
    completeness_pct DOUBLE PRECISION,
    condition_note TEXT NOT NULL,
    accession_number TEXT NOT NULL,
    note TEXT NOT NULL,
    restricted BOOLEAN NOT NULL,
    place_id UUID REFERENCES place (id),
    assignee_id UUID REFERENCES person (id),
    -- where it stands: the first stage of its route that is neither done nor not needed
    stage TEXT NOT NULL,
    stage_state TEXT NOT NULL,
    stage_since TIMESTAMPTZ NOT NULL,
    headline TEXT NOT NULL,
    held BOOLEAN NOT NULL,
    -- the earliest limit or check of its running clocks
    due_at TIMESTAMPTZ,
    -- a route of its own, stages separated by spaces, with the reason
    own_route TEXT,
    own_route_reason TEXT,
    void_at TIMESTAMPTZ,
    void_reason TEXT,
    registered_at TIMESTAMPTZ NOT NULL,
    registered_by UUID REFERENCES person (id),
    revision BIGINT NOT NULL,
    UNIQUE (project_id, number),
    FOREIGN KEY (project_id, material) REFERENCES material (project_id, code)
);
CREATE INDEX find_order ON find (project_id, sort_key, id);
CREATE INDEX find_headline ON find (project_id, headline, material, sort_key, id);
CREATE INDEX find_oldest ON find (project_id, headline, material, stage_since);
CREATE INDEX find_stage_order ON find (project_id, stage, sort_key, id);
CREATE INDEX find_material ON find (project_id, material, sort_key, id);
CREATE INDEX find_context ON find (context_id, sort_key, id);
CREATE INDEX find_place ON find (place_id, sort_key, id) WHERE place_id IS NOT NULL;
CREATE INDEX find_assignee ON find (assignee_id, project_id, sort_key, id) WHERE assignee_id IS NOT NULL;
CREATE INDEX find_held ON find (project_id, sort_key, id) WHERE held;
CREATE INDEX find_due ON find (project_id, due_at) WHERE due_at IS NOT NULL;

-- Only stages that left "waiting" have a row.
CREATE TABLE find_stage (
    find_id UUID NOT NULL REFERENCES find (id),
    stage TEXT NOT NULL,
    state TEXT NOT NULL,
    quantity_done BIGINT NOT NULL,
    reason TEXT NOT NULL,
    since TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (find_id, stage)
);

CREATE TABLE hold (
    id UUID PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    reason TEXT NOT NULL,
    placed_by UUID NOT NULL REFERENCES person (id),
    placed_at TIMESTAMPTZ NOT NULL,
    released_by UUID REFERENCES person (id),
    released_at TIMESTAMPTZ,
    release_reason TEXT
);
CREATE INDEX hold_find ON hold (find_id);

CREATE TABLE clock (
    id UUID PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    kind TEXT NOT NULL,
    started_at TIMESTAMPTZ NOT NULL,
    warn_at TIMESTAMPTZ,
    limit_at TIMESTAMPTZ,
    last_check_at TIMESTAMPTZ,
    next_check_at TIMESTAMPTZ,
    stopped_at TIMESTAMPTZ
);
CREATE INDEX clock_find ON clock (find_id);

CREATE TABLE gate_lift (
    id UUID PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    gate TEXT NOT NULL,
    reason TEXT NOT NULL,
    lifted_by UUID NOT NULL REFERENCES person (id),
    lifted_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX gate_lift_find ON gate_lift (find_id);

CREATE TABLE movement (
    id UUID PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    from_place_id UUID REFERENCES place (id),
    to_place_id UUID NOT NULL REFERENCES place (id),
    quantity BIGINT,
    moved_at TIMESTAMPTZ NOT NULL,
    moved_by TEXT NOT NULL,
    reason TEXT NOT NULL,
    recorded_by UUID NOT NULL REFERENCES person (id),
    recorded_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX movement_find ON movement (find_id, moved_at);

-- Several finds that were one thing or belong together.
CREATE TABLE object_group (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    name TEXT NOT NULL,
    note TEXT NOT NULL,
    revision BIGINT NOT NULL,
    created_at TIMESTAMPTZ NOT NULL,
    UNIQUE (project_id, name)
);
CREATE TABLE object_group_find (
    group_id UUID NOT NULL REFERENCES object_group (id),
    find_id UUID NOT NULL REFERENCES find (id),
    PRIMARY KEY (group_id, find_id)
);
CREATE INDEX object_group_find_find ON object_group_find (find_id);

-- Splitting, joining and recounting are events, so that counts stay true and explain themselves.
CREATE TABLE quantity_event (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    kind TEXT NOT NULL,
    reason TEXT NOT NULL,
    happened_at TIMESTAMPTZ NOT NULL,
    recorded_by UUID NOT NULL REFERENCES person (id)
);
CREATE TABLE quantity_event_find (
    event_id UUID NOT NULL REFERENCES quantity_event (id),
    find_id UUID NOT NULL REFERENCES find (id),
    quantity_before BIGINT NOT NULL,
    quantity_after BIGINT NOT NULL,
    weight_before_g DOUBLE PRECISION,
    weight_after_g DOUBLE PRECISION,
    PRIMARY KEY (event_id, find_id)
);
CREATE INDEX quantity_event_find_find ON quantity_event_find (find_id);

CREATE TABLE journal (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID REFERENCES project (id),
    find_id UUID REFERENCES find (id),
    context_id UUID REFERENCES context (id),
    verb TEXT NOT NULL,
    words TEXT NOT NULL,
    by_person UUID REFERENCES person (id),
    at TIMESTAMPTZ NOT NULL
);
CREATE INDEX journal_find ON journal (find_id, at, id);
CREATE INDEX journal_project ON journal (project_id, at, id);
CREATE INDEX journal_context ON journal (context_id, at, id) WHERE context_id IS NOT NULL;

-- Running totals kept in the same transaction as each move, so that the backlog costs the same at any size.
CREATE TABLE backlog_cell (
    project_id UUID NOT NULL REFERENCES project (id),
    headline TEXT NOT NULL,
    material TEXT NOT NULL,
    finds BIGINT NOT NULL,
    PRIMARY KEY (project_id, headline, material)
);
CREATE TABLE done_week (
    project_id UUID NOT NULL REFERENCES project (id),
    headline TEXT NOT NULL,
    week DATE NOT NULL,
    finds BIGINT NOT NULL,
    PRIMARY KEY (project_id, headline, week)
);
CREATE INDEX find_since ON find (project_id, stage_since, id);
CREATE INDEX find_newest ON find (project_id, id);
