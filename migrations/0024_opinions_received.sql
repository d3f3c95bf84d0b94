-- An opinion that came by letter, e-mail, PDF or spreadsheet: the original, and the draft of whoever enters it.
CREATE TABLE received_opinion (
    id UUID PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    author_id UUID NOT NULL REFERENCES person (id),
    came_as TEXT NOT NULL,
    came_on DATE NOT NULL,
    sha256 TEXT NOT NULL,
    file_name TEXT NOT NULL,
    bytes BIGINT NOT NULL,
    kept_by UUID NOT NULL REFERENCES person (id),
    kept_at TIMESTAMPTZ NOT NULL,
    -- the draft as typed; empty once the opinion is entered
    fields TEXT NOT NULL,
    entered_at TIMESTAMPTZ
);
CREATE INDEX received_opinion_find ON received_opinion (find_id);
CREATE INDEX received_opinion_open ON received_opinion (kept_by) WHERE entered_at IS NULL;

-- Entered for its author; until it is confirmed it supersedes nothing of the author's and cannot be final.
ALTER TABLE opinion ADD COLUMN received_id UUID REFERENCES received_opinion (id);
ALTER TABLE opinion ADD COLUMN confirmed_at TIMESTAMPTZ;
CREATE INDEX opinion_received ON opinion (received_id) WHERE received_id IS NOT NULL;

-- The single-use link by which the author confirms or corrects; only the hash of its token is kept.
CREATE TABLE confirmation_link (
    token_hash BYTEA PRIMARY KEY NOT NULL,
    received_id UUID NOT NULL REFERENCES received_opinion (id),
    expires_at TIMESTAMPTZ NOT NULL,
    used_at TIMESTAMPTZ,
    created_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX confirmation_link_received ON confirmation_link (received_id);

-- What happened after a settlement that opens it again; it stays printed until it is settled anew.
CREATE TABLE settlement_reopening (
    id UUID PRIMARY KEY NOT NULL,
    settlement_id UUID NOT NULL REFERENCES settlement (id),
    cause TEXT NOT NULL,
    words TEXT NOT NULL,
    caused_by UUID NOT NULL REFERENCES person (id),
    happened_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX settlement_reopening_settlement ON settlement_reopening (settlement_id);
