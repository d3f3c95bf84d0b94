-- A page of the list is found in one index alone, whatever is asked for and in whichever order: after what narrows the list comes
-- what orders it, then what else may be asked for. What is due, in one place or in one context is little: sorted when asked for.
DROP INDEX find_order;
DROP INDEX find_since;
DROP INDEX find_newest;
DROP INDEX find_headline;
DROP INDEX find_stage_order;
DROP INDEX find_material;
DROP INDEX find_context;
DROP INDEX find_place;
DROP INDEX find_assignee;
DROP INDEX find_held;
DROP INDEX find_due;
DROP INDEX find_due_order;
DROP INDEX find_due_material;
CREATE INDEX find_number ON find (project_id, sort_key, id, restricted, void_at, bulk);
CREATE INDEX find_waiting ON find (project_id, stage_since, id, restricted, void_at, bulk);
CREATE INDEX find_newest ON find (project_id, id, restricted, void_at, bulk);
CREATE INDEX find_headline_number ON find (project_id, headline, sort_key, id, stage, material, restricted, void_at, bulk);
CREATE INDEX find_headline_waiting ON find (project_id, headline, stage_since, id, stage, material, restricted, void_at, bulk);
CREATE INDEX find_headline_newest ON find (project_id, headline, id, stage, material, restricted, void_at, bulk);
CREATE INDEX find_stage_number ON find (project_id, stage, sort_key, id, headline, material, restricted, void_at, bulk);
CREATE INDEX find_stage_waiting ON find (project_id, stage, stage_since, id, headline, material, restricted, void_at, bulk);
CREATE INDEX find_stage_newest ON find (project_id, stage, id, headline, material, restricted, void_at, bulk);
CREATE INDEX find_material_number ON find (project_id, material, sort_key, id, headline, stage, restricted, void_at, bulk);
CREATE INDEX find_material_waiting ON find (project_id, material, stage_since, id, headline, stage, restricted, void_at, bulk);
CREATE INDEX find_material_newest ON find (project_id, material, id, headline, stage, restricted, void_at, bulk);
CREATE INDEX find_context ON find (context_id, sort_key, id, stage_since, project_id, headline, stage, material, restricted, void_at, bulk);
CREATE INDEX find_place ON find (place_id, sort_key, id, stage_since, project_id, headline, stage, material, restricted, void_at, bulk)
    WHERE place_id IS NOT NULL;
CREATE INDEX find_assignee_number ON find
    (assignee_id, project_id, sort_key, id, headline, stage, material, place_id, due_at, held, restricted, void_at, bulk)
    WHERE assignee_id IS NOT NULL;
CREATE INDEX find_assignee_waiting ON find
    (assignee_id, project_id, stage_since, id, headline, stage, material, place_id, due_at, held, restricted, void_at, bulk)
    WHERE assignee_id IS NOT NULL;
CREATE INDEX find_assignee_newest ON find
    (assignee_id, project_id, id, headline, stage, material, place_id, due_at, held, restricted, void_at, bulk)
    WHERE assignee_id IS NOT NULL;
CREATE INDEX find_held_number ON find
    (project_id, sort_key, id, headline, stage, material, assignee_id, place_id, due_at, held, restricted, void_at, bulk)
    WHERE held;
CREATE INDEX find_held_waiting ON find
    (project_id, stage_since, id, headline, stage, material, assignee_id, place_id, due_at, held, restricted, void_at, bulk)
    WHERE held;
CREATE INDEX find_held_newest ON find
    (project_id, id, headline, stage, material, assignee_id, place_id, due_at, held, restricted, void_at, bulk)
    WHERE held;
CREATE INDEX find_due ON find
    (project_id, due_at, sort_key, id, stage_since, headline, stage, material, assignee_id, place_id, held, restricted, void_at, bulk)
    WHERE due_at IS NOT NULL;
