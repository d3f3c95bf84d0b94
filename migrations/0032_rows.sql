-- Rows of specialists: columns of a discipline as a project keeps them, drafts as typed, lists as submitted.

-- A discipline whose columns a project has changed or added; those the program brings need no row here.
CREATE TABLE discipline (
    project_id UUID NOT NULL REFERENCES project (id),
    code TEXT NOT NULL,
    name TEXT NOT NULL,
    -- the columns in their order, as JSON
    column_list TEXT NOT NULL,
    revision BIGINT NOT NULL DEFAULT 1,
    withdrawn_at TIMESTAMPTZ,
    PRIMARY KEY (project_id, code)
);

-- What the specialist has typed so far, right or wrong, as JSON. Only the specialist sees it.
CREATE TABLE row_draft (
    assignment_id UUID NOT NULL REFERENCES assignment (id),
    discipline TEXT NOT NULL,
    typed TEXT NOT NULL,
    note TEXT NOT NULL,
    kept_at TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (assignment_id, discipline)
);

-- Rows as submitted. Never changed: a revision is the next version, with the columns as they were then.
CREATE TABLE row_list (
    id UUID PRIMARY KEY NOT NULL,
    assignment_id UUID NOT NULL REFERENCES assignment (id),
    discipline TEXT NOT NULL,
    discipline_name TEXT NOT NULL,
    column_list TEXT NOT NULL,
    version BIGINT NOT NULL,
    -- why count or mass differ from the register; empty where they do not
    note TEXT NOT NULL,
    submitted_at TIMESTAMPTZ NOT NULL,
    superseded_at TIMESTAMPTZ,
    UNIQUE (assignment_id, discipline, version)
);
CREATE TABLE row_line (
    list_id UUID NOT NULL REFERENCES row_list (id),
    position BIGINT NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    -- which part of the find; empty for the whole
    sub_number TEXT NOT NULL,
    -- what stands in each column of the list, as JSON
    cells TEXT NOT NULL,
    PRIMARY KEY (list_id, position)
);
CREATE INDEX row_line_find ON row_line (find_id);
