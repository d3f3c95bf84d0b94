-- Lists of moulds to compare with; a list is never changed, only withdrawn.
CREATE TABLE mould_list (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    name TEXT NOT NULL,
    -- where the diameters are published, or who measured them
    source TEXT NOT NULL,
    made_by UUID NOT NULL REFERENCES person (id),
    made_at TIMESTAMPTZ NOT NULL,
    withdrawn_at TIMESTAMPTZ
);
CREATE INDEX mould_list_project ON mould_list (project_id);
CREATE TABLE mould (
    list_id UUID NOT NULL REFERENCES mould_list (id),
    position BIGINT NOT NULL,
    name TEXT NOT NULL,
    -- diameters in mm as a list, from the smallest outwards
    rings_mm TEXT NOT NULL,
    PRIMARY KEY (list_id, position)
);

-- Ring diameters measured on a find, once. Never changed: measured again they are another set.
CREATE TABLE ring_set (
    id UUID PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    rings_mm TEXT NOT NULL,
    -- standard uncertainty of each diameter
    u_mm DOUBLE PRECISION NOT NULL,
    -- the ratio of the find to a mould that is expected, and how far it may stray
    scale_mean DOUBLE PRECISION NOT NULL,
    scale_sd DOUBLE PRECISION NOT NULL,
    measured_with TEXT NOT NULL,
    done_by TEXT NOT NULL,
    done_on DATE NOT NULL,
    recorded_by UUID NOT NULL REFERENCES person (id),
    recorded_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX ring_set_find ON ring_set (find_id);
