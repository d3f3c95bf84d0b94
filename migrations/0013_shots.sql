-- When a photograph was taken beside the treatment (before, during, after; empty: nobody said), and the length of the
-- scale in it in mm.
ALTER TABLE image ADD COLUMN moment TEXT NOT NULL DEFAULT '';
ALTER TABLE image ADD COLUMN scale_mm BIGINT;
-- The shots a project expects, as its leads keep them (JSON). Without a row it expects what every project starts with.
CREATE TABLE shot_list (
    project_id UUID PRIMARY KEY NOT NULL REFERENCES project (id),
    rules TEXT NOT NULL,
    revision BIGINT NOT NULL
);
-- PDF and drawings: kept byte for byte, handed out, never opened here.
CREATE TABLE attachment (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    sha256 TEXT NOT NULL,
    file_name TEXT NOT NULL,
    kind TEXT NOT NULL,
    bytes BIGINT NOT NULL,
    title TEXT NOT NULL,
    -- tells where things were found: for those who may know
    findspot BOOLEAN NOT NULL,
    uploaded_by UUID NOT NULL REFERENCES person (id),
    uploaded_at TIMESTAMPTZ NOT NULL,
    withdrawn_at TIMESTAMPTZ,
    withdrawn_reason TEXT NOT NULL
);
CREATE UNIQUE INDEX attachment_sha ON attachment (project_id, sha256);
CREATE TABLE attachment_find (
    attachment_id UUID NOT NULL REFERENCES attachment (id),
    find_id UUID NOT NULL REFERENCES find (id),
    PRIMARY KEY (find_id, attachment_id)
);
CREATE INDEX attachment_find_attachment ON attachment_find (attachment_id);
