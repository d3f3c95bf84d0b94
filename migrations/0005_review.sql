CREATE TABLE assignment (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    specialist_id UUID NOT NULL REFERENCES person (id),
    question TEXT NOT NULL,
    due_on DATE NOT NULL,
    made_by UUID NOT NULL REFERENCES person (id),
    made_at TIMESTAMPTZ NOT NULL,
    closed_at TIMESTAMPTZ
);
CREATE INDEX assignment_specialist ON assignment (specialist_id, due_on);
CREATE INDEX assignment_project ON assignment (project_id, due_on);
CREATE TABLE assignment_find (
    assignment_id UUID NOT NULL REFERENCES assignment (id),
    find_id UUID NOT NULL REFERENCES find (id),
    PRIMARY KEY (assignment_id, find_id)
);
CREATE INDEX assignment_find_find ON assignment_find (find_id);

-- A draft is its author's alone.
CREATE TABLE opinion_draft (
    find_id UUID NOT NULL REFERENCES find (id),
    author_id UUID NOT NULL REFERENCES person (id),
    fields TEXT NOT NULL,
    saved_at TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (find_id, author_id)
);
-- Submitted opinions are never edited; a revision is a new version.
CREATE TABLE opinion (
    id UUID PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    assignment_id UUID REFERENCES assignment (id),
    author_id UUID NOT NULL REFERENCES person (id),
    version BIGINT NOT NULL,
    finality TEXT NOT NULL,
    identification TEXT NOT NULL,
    material_words TEXT NOT NULL,
    date_words TEXT NOT NULL,
    date_lo BIGINT,
    date_hi BIGINT,
    date_rule TEXT NOT NULL,
    parallels TEXT NOT NULL,
    basis TEXT NOT NULL,
    seen_as TEXT NOT NULL,
    submitted_at TIMESTAMPTZ NOT NULL,
    superseded_at TIMESTAMPTZ,
    UNIQUE (find_id, author_id, version)
);
CREATE INDEX opinion_author ON opinion (author_id, submitted_at);

CREATE TABLE settlement (
    id UUID PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    outcome TEXT NOT NULL,
    identification TEXT NOT NULL,
    date_words TEXT NOT NULL,
    date_lo BIGINT,
    date_hi BIGINT,
    reason TEXT NOT NULL,
    settled_by UUID NOT NULL REFERENCES person (id),
    settled_at TIMESTAMPTZ NOT NULL,
    superseded_at TIMESTAMPTZ
);
CREATE INDEX settlement_find ON settlement (find_id);
CREATE TABLE settlement_opinion (
    settlement_id UUID NOT NULL REFERENCES settlement (id),
    opinion_id UUID NOT NULL REFERENCES opinion (id),
    stance TEXT NOT NULL,
    PRIMARY KEY (settlement_id, opinion_id)
);
