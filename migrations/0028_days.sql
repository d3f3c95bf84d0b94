-- Days that a specialist worked for an assignment. An entry is never changed, only withdrawn.
CREATE TABLE worked_day (
    id UUID PRIMARY KEY NOT NULL,
    assignment_id UUID NOT NULL REFERENCES assignment (id),
    worked_on DATE NOT NULL,
    days DOUBLE PRECISION NOT NULL,
    words TEXT NOT NULL,
    entered_at TIMESTAMPTZ NOT NULL,
    withdrawn_at TIMESTAMPTZ
);
CREATE INDEX worked_day_assignment ON worked_day (assignment_id, worked_on);
