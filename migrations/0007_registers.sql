CREATE TABLE import_run (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    kind TEXT NOT NULL,
    file_name TEXT NOT NULL,
    sha256 TEXT NOT NULL,
    settings TEXT NOT NULL,
    uploaded_by UUID REFERENCES person (id),
    uploaded_at TIMESTAMPTZ NOT NULL,
    applied_at TIMESTAMPTZ,
    undone_at TIMESTAMPTZ,
    added BIGINT NOT NULL,
    changed BIGINT NOT NULL
);
CREATE INDEX import_run_project ON import_run (project_id, uploaded_at);
-- What a run changed, record by record: before is NULL where it was added.
CREATE TABLE import_change (
    run_id UUID NOT NULL REFERENCES import_run (id),
    record_id UUID NOT NULL,
    before TEXT,
    revision BIGINT NOT NULL,
    PRIMARY KEY (run_id, record_id)
);
CREATE TABLE column_match (
    project_id UUID NOT NULL REFERENCES project (id),
    kind TEXT NOT NULL,
    header TEXT NOT NULL,
    field TEXT NOT NULL,
    PRIMARY KEY (project_id, kind, header)
);
CREATE TABLE saved_filter (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    person_id UUID NOT NULL REFERENCES person (id),
    name TEXT NOT NULL,
    query TEXT NOT NULL,
    UNIQUE (project_id, person_id, name)
);
