-- How an import laid contexts upon each other, so that it can be undone: the kind before, NULL where the import made the relation.
CREATE TABLE import_relation (
    run_id UUID NOT NULL REFERENCES import_run (id),
    later_id UUID NOT NULL,
    earlier_id UUID NOT NULL,
    before TEXT,
    PRIMARY KEY (run_id, later_id, earlier_id)
);
