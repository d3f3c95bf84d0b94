-- Boxes are places; what lies in them, and how they were sealed.
CREATE TABLE packed (
    id UUID PRIMARY KEY NOT NULL,
    place_id UUID NOT NULL REFERENCES place (id),
    find_id UUID NOT NULL REFERENCES find (id),
    -- pieces of a bulk find; empty where all of it is there
    quantity BIGINT,
    record_id UUID NOT NULL REFERENCES work_record (id),
    since TIMESTAMPTZ NOT NULL,
    left_at TIMESTAMPTZ
);
CREATE INDEX packed_place ON packed (place_id, left_at);
CREATE INDEX packed_find ON packed (find_id, left_at);
CREATE INDEX packed_record ON packed (record_id);

-- Never changed: a box that is opened is sealed anew.
CREATE TABLE sealing (
    id UUID PRIMARY KEY NOT NULL,
    place_id UUID NOT NULL REFERENCES place (id),
    sealed_on DATE NOT NULL,
    done_by TEXT NOT NULL,
    container TEXT NOT NULL,
    materials TEXT NOT NULL,
    -- the band of the table of climates by its name; empty where no climate is aimed at
    band TEXT NOT NULL,
    volume_l DOUBLE PRECISION,
    -- changes of air a day, and whether that was assumed or measured, in words
    air_per_day DOUBLE PRECISION,
    air_words TEXT NOT NULL,
    sorbent TEXT NOT NULL,
    sorbent_g DOUBLE PRECISION,
    -- g per kg and % relative humidity, and where it is from
    reservoir DOUBLE PRECISION,
    reservoir_words TEXT NOT NULL,
    -- relative humidity, %, in the box when sealed and around it; temperature, °C
    start_pct DOUBLE PRECISION,
    outside_pct DOUBLE PRECISION,
    t_c DOUBLE PRECISION,
    gross_kg DOUBLE PRECISION,
    next_check_on DATE,
    recorded_by UUID NOT NULL REFERENCES person (id),
    recorded_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX sealing_place ON sealing (place_id, sealed_on);
