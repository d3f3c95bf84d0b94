CREATE TABLE person (
    id UUID PRIMARY KEY NOT NULL,
    email TEXT NOT NULL UNIQUE,
    name TEXT NOT NULL,
    qualification TEXT NOT NULL,
    password_hash TEXT,
    administrator BOOLEAN NOT NULL,
    disabled_at TIMESTAMPTZ,
    created_at TIMESTAMPTZ NOT NULL,
    revision BIGINT NOT NULL
);

CREATE TABLE session (
    token_hash BYTEA PRIMARY KEY NOT NULL,
    person_id UUID NOT NULL REFERENCES person (id),
    form_token TEXT NOT NULL,
    created_at TIMESTAMPTZ NOT NULL,
    last_seen_at TIMESTAMPTZ NOT NULL,
    expires_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX session_person ON session (person_id);

-- Single-use links sent by mail: an invitation or a password reset.
CREATE TABLE mail_link (
    token_hash BYTEA PRIMARY KEY NOT NULL,
    person_id UUID NOT NULL REFERENCES person (id),
    purpose TEXT NOT NULL,
    expires_at TIMESTAMPTZ NOT NULL,
    used_at TIMESTAMPTZ,
    created_at TIMESTAMPTZ NOT NULL
);

-- Letters wait here, written in the same transaction as the event they tell of.
CREATE TABLE letter (
    id UUID PRIMARY KEY NOT NULL,
    to_address TEXT NOT NULL,
    to_name TEXT NOT NULL,
    subject TEXT NOT NULL,
    body TEXT NOT NULL,
    queued_at TIMESTAMPTZ NOT NULL,
    next_attempt_at TIMESTAMPTZ NOT NULL,
    attempts BIGINT NOT NULL,
    sent_at TIMESTAMPTZ,
    given_up_at TIMESTAMPTZ,
    last_error TEXT
);
CREATE INDEX letter_waiting ON letter (next_attempt_at) WHERE sent_at IS NULL AND given_up_at IS NULL;

-- The same form sent twice is one record: the second sending gets the first one's reply.
CREATE TABLE submission (
    id UUID PRIMARY KEY NOT NULL,
    person_id UUID NOT NULL REFERENCES person (id),
    reply TEXT NOT NULL,
    made_at TIMESTAMPTZ NOT NULL
);
