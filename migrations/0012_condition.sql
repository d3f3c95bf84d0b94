-- The words of a project for a scale, as its leads keep them: one a line, its meaning after a colon. Without a row the
-- scale has the words every project starts with.
CREATE TABLE vocabulary (
    project_id UUID NOT NULL REFERENCES project (id),
    scale TEXT NOT NULL,
    words TEXT NOT NULL,
    revision BIGINT NOT NULL,
    PRIMARY KEY (project_id, scale)
);
-- What an assessment adds to its record of work. Words are kept with the meaning they had on that day.
CREATE TABLE assessment (
    record_id UUID PRIMARY KEY NOT NULL REFERENCES work_record (id),
    reason TEXT NOT NULL,
    light TEXT NOT NULL,
    extent TEXT NOT NULL,
    unaltered BOOLEAN NOT NULL,
    condition_word TEXT NOT NULL,
    condition_meaning TEXT NOT NULL,
    stability_word TEXT NOT NULL,
    stability_meaning TEXT NOT NULL,
    past_treatment TEXT NOT NULL,
    risk TEXT NOT NULL,
    recommendation TEXT NOT NULL,
    review_on DATE
);
-- What is seen, and apart from it what is presumed to have caused it.
CREATE TABLE alteration (
    record_id UUID NOT NULL REFERENCES work_record (id),
    position BIGINT NOT NULL,
    word TEXT NOT NULL,
    place TEXT NOT NULL,
    extent_pct DOUBLE PRECISION,
    cause TEXT NOT NULL,
    PRIMARY KEY (record_id, position)
);

-- An examination and its answer; measures in the units of the names.
CREATE TABLE examination (
    record_id UUID PRIMARY KEY NOT NULL REFERENCES work_record (id),
    method TEXT NOT NULL,
    question TEXT NOT NULL,
    area TEXT NOT NULL,
    result TEXT NOT NULL,
    seen TEXT NOT NULL,
    azimuth_deg DOUBLE PRECISION,
    elevation_deg DOUBLE PRECISION,
    wavelength_nm DOUBLE PRECISION,
    filter TEXT NOT NULL,
    colour TEXT NOT NULL,
    intensity TEXT NOT NULL,
    magnification DOUBLE PRECISION,
    scale_um DOUBLE PRECISION,
    plate_number TEXT NOT NULL,
    tube_kv DOUBLE PRECISION,
    tube_ma DOUBLE PRECISION,
    exposure_s DOUBLE PRECISION,
    exposure_mas DOUBLE PRECISION,
    distance_mm DOUBLE PRECISION,
    view_angle TEXT NOT NULL,
    plate_image_id UUID REFERENCES image (id),
    setup_image_id UUID REFERENCES image (id)
);
-- Where a find lies on the picture, in hundredths of its sides from the upper left corner.
CREATE TABLE plate_region (
    record_id UUID NOT NULL REFERENCES work_record (id),
    find_id UUID NOT NULL REFERENCES find (id),
    left_pct DOUBLE PRECISION NOT NULL,
    top_pct DOUBLE PRECISION NOT NULL,
    width_pct DOUBLE PRECISION NOT NULL,
    height_pct DOUBLE PRECISION NOT NULL,
    seen TEXT NOT NULL,
    PRIMARY KEY (record_id, find_id)
);
