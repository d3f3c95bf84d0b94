-- The words of a find that can be searched, folded once in Rust; doc orders the answers as registered.
CREATE TABLE search_doc (
    doc BIGINT PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL UNIQUE REFERENCES find (id),
    project_id UUID NOT NULL REFERENCES project (id),
    body TEXT NOT NULL
);
