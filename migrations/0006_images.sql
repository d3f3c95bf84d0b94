CREATE TABLE image (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    sha256 TEXT NOT NULL,
    file_name TEXT NOT NULL,
    media_type TEXT NOT NULL,
    bytes BIGINT NOT NULL,
    -- upright
    width_px BIGINT NOT NULL,
    height_px BIGINT NOT NULL,
    -- by the camera, empty where it says nothing: when (its own clock, no zone) and with what
    taken_at TEXT NOT NULL,
    camera TEXT NOT NULL,
    -- whether the file tells where it was taken
    has_position BOOLEAN NOT NULL,
    caption TEXT NOT NULL,
    view TEXT NOT NULL,
    light TEXT NOT NULL,
    credit TEXT NOT NULL,
    uploaded_by UUID NOT NULL REFERENCES person (id),
    uploaded_at TIMESTAMPTZ NOT NULL,
    withdrawn_at TIMESTAMPTZ,
    withdrawn_reason TEXT NOT NULL,
    revision BIGINT NOT NULL
);
CREATE INDEX image_project ON image (project_id, uploaded_at);
CREATE UNIQUE INDEX image_sha ON image (project_id, sha256);
CREATE TABLE image_find (
    image_id UUID NOT NULL REFERENCES image (id),
    find_id UUID NOT NULL REFERENCES find (id),
    position BIGINT NOT NULL,
    PRIMARY KEY (find_id, image_id)
);
CREATE INDEX image_find_image ON image_find (image_id);
CREATE TABLE image_record (
    image_id UUID NOT NULL REFERENCES image (id),
    record_id UUID NOT NULL REFERENCES work_record (id),
    PRIMARY KEY (record_id, image_id)
);
