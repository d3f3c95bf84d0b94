-- A PIN opens the bench on a shared tablet and nothing else; after too many wrong ones it is closed until it is set anew.
ALTER TABLE person ADD COLUMN pin_hash TEXT;
ALTER TABLE person ADD COLUMN pin_failures BIGINT NOT NULL DEFAULT 0;

-- A browser that several people share at the bench.
CREATE TABLE tablet (
    id UUID PRIMARY KEY NOT NULL,
    token_hash BYTEA NOT NULL UNIQUE,
    name TEXT NOT NULL,
    set_by UUID NOT NULL REFERENCES person (id),
    set_at TIMESTAMPTZ NOT NULL,
    ended_at TIMESTAMPTZ
);
CREATE INDEX tablet_set_by ON tablet (set_by);

-- A session on a shared tablet locks when it idles; one opened by a PIN reaches the bench only.
ALTER TABLE session ADD COLUMN tablet_id UUID REFERENCES tablet (id);
ALTER TABLE session ADD COLUMN bench_only BOOLEAN NOT NULL DEFAULT FALSE;

-- What a person has laid together to be treated in one entry.
CREATE TABLE tray_find (
    person_id UUID NOT NULL REFERENCES person (id),
    find_id UUID NOT NULL REFERENCES find (id),
    added_at TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (person_id, find_id)
);
CREATE INDEX tray_find_find ON tray_find (find_id);
