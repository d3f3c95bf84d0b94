-- How a find is judged to have come into its context. A judgement is never changed, only withdrawn; one stands at a time.
CREATE TABLE judgement (
    id UUID PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    -- the context the find was in: a find put into another one is judged anew
    context_id UUID NOT NULL REFERENCES context (id),
    origin TEXT NOT NULL,
    reason TEXT NOT NULL,
    judged_by UUID NOT NULL REFERENCES person (id),
    judged_at TIMESTAMPTZ NOT NULL,
    withdrawn_by UUID REFERENCES person (id),
    withdrawn_at TIMESTAMPTZ,
    withdrawn_why TEXT
);
CREATE UNIQUE INDEX judgement_standing ON judgement (find_id, context_id) WHERE withdrawn_at IS NULL;
CREATE INDEX judgement_context ON judgement (context_id, judged_at);

-- A year by which a context was there already, whatever its finds say: a documented demolition, a dated floor.
CREATE TABLE fixed_year (
    id UUID PRIMARY KEY NOT NULL,
    context_id UUID NOT NULL REFERENCES context (id),
    -- astronomical: 0 is 1 BC
    year BIGINT NOT NULL,
    words TEXT NOT NULL,
    reason TEXT NOT NULL,
    fixed_by UUID NOT NULL REFERENCES person (id),
    fixed_at TIMESTAMPTZ NOT NULL,
    withdrawn_by UUID REFERENCES person (id),
    withdrawn_at TIMESTAMPTZ,
    withdrawn_why TEXT
);
CREATE INDEX fixed_year_context ON fixed_year (context_id, fixed_at);
