-- Every letter has a kind; what waits from before is sent whatever its reader wishes.
ALTER TABLE letter ADD COLUMN kind TEXT NOT NULL DEFAULT 'invitation';
ALTER TABLE letter ADD COLUMN person_id UUID REFERENCES person (id);
CREATE INDEX letter_sent ON letter (sent_at) WHERE sent_at IS NOT NULL;

-- Which kinds a person does without. The token is the link at the foot of the letters of that kind: whoever holds it can
-- stop these letters or have them again, and nothing else.
CREATE TABLE letter_wish (
    person_id UUID NOT NULL REFERENCES person (id),
    kind TEXT NOT NULL,
    token TEXT UNIQUE,
    stopped_at TIMESTAMPTZ,
    PRIMARY KEY (person_id, kind)
);
INSERT INTO letter_wish (person_id, kind, stopped_at) SELECT id, 'digest', created_at FROM person WHERE NOT wants_daily;
ALTER TABLE person DROP COLUMN wants_daily;

-- When the daily letter comes: nothing said is the hour of the installation, no zone is universal time.
ALTER TABLE person ADD COLUMN daily_hour BIGINT;
ALTER TABLE person ADD COLUMN time_zone TEXT NOT NULL DEFAULT '';

-- Of which day an assignment a specialist was reminded: once before it and once after.
CREATE TABLE assignment_reminder (
    assignment_id UUID NOT NULL REFERENCES assignment (id),
    kind TEXT NOT NULL,
    due_on DATE NOT NULL,
    queued_at TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (assignment_id, kind, due_on)
);
