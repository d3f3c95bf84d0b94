CREATE TABLE project (
    id UUID PRIMARY KEY NOT NULL,
    code TEXT NOT NULL UNIQUE,
    name TEXT NOT NULL,
    site TEXT NOT NULL,
    client TEXT NOT NULL,
    summary TEXT NOT NULL,
    number_pattern TEXT NOT NULL,
    date_convention TEXT NOT NULL,
    created_at TIMESTAMPTZ NOT NULL,
    revision BIGINT NOT NULL
);

CREATE TABLE membership (
    project_id UUID NOT NULL REFERENCES project (id),
    person_id UUID NOT NULL REFERENCES person (id),
    role TEXT NOT NULL,
    PRIMARY KEY (project_id, person_id, role)
);
CREATE INDEX membership_person ON membership (person_id);

-- Permission for restricted material and exact findspots is given to a person, apart from the roles.
CREATE TABLE clearance (
    project_id UUID NOT NULL REFERENCES project (id),
    person_id UUID NOT NULL REFERENCES person (id),
    kind TEXT NOT NULL,
    PRIMARY KEY (project_id, person_id, kind)
);

CREATE TABLE material (
    project_id UUID NOT NULL REFERENCES project (id),
    code TEXT NOT NULL,
    name TEXT NOT NULL,
    words TEXT NOT NULL,
    caution TEXT NOT NULL,
    position BIGINT NOT NULL,
    PRIMARY KEY (project_id, code)
);

-- The default way of a material group through the lab. Gates are words, separated by spaces.
CREATE TABLE route_stage (
    project_id UUID NOT NULL REFERENCES project (id),
    material TEXT NOT NULL,
    stage TEXT NOT NULL,
    position BIGINT NOT NULL,
    gates TEXT NOT NULL,
    PRIMARY KEY (project_id, material, stage)
);

CREATE TABLE place (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    parent_id UUID REFERENCES place (id),
    kind TEXT NOT NULL,
    name TEXT NOT NULL,
    path TEXT NOT NULL,
    sort_key TEXT NOT NULL,
    revision BIGINT NOT NULL
);
CREATE INDEX place_project ON place (project_id, sort_key);
CREATE UNIQUE INDEX place_path ON place (project_id, path);

CREATE TABLE context (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    number TEXT NOT NULL,
    sort_key TEXT NOT NULL,
    kind TEXT NOT NULL,
    area TEXT NOT NULL,
    phase TEXT NOT NULL,
    interpretation TEXT NOT NULL,
    description TEXT NOT NULL,
    soil TEXT NOT NULL,
    spot_date TEXT NOT NULL,
    revision BIGINT NOT NULL,
    created_at TIMESTAMPTZ NOT NULL,
    UNIQUE (project_id, number)
);
CREATE INDEX context_order ON context (project_id, sort_key, id);

-- later lies above or cuts earlier; same_as joins two numbers of one context.
CREATE TABLE context_relation (
    project_id UUID NOT NULL REFERENCES project (id),
    later_id UUID NOT NULL REFERENCES context (id),
    earlier_id UUID NOT NULL REFERENCES context (id),
    kind TEXT NOT NULL,
    PRIMARY KEY (later_id, earlier_id)
);
CREATE INDEX context_relation_earlier ON context_relation (earlier_id);
CREATE INDEX context_relation_project ON context_relation (project_id);
