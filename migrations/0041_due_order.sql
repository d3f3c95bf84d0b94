-- What is overdue in the order of a list: read from one of these, no longer sorted each time.
CREATE INDEX find_due_number ON find
    (project_id, sort_key, id, due_at, headline, stage, material, assignee_id, place_id, held, restricted, void_at, bulk)
    WHERE due_at IS NOT NULL;
CREATE INDEX find_due_waiting ON find
    (project_id, stage_since, id, due_at, headline, stage, material, assignee_id, place_id, held, restricted, void_at, bulk)
    WHERE due_at IS NOT NULL;
CREATE INDEX find_due_newest ON find
    (project_id, id, due_at, headline, stage, material, assignee_id, place_id, held, restricted, void_at, bulk)
    WHERE due_at IS NOT NULL;
