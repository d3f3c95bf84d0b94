-- What is overdue in the order of the list, alone and of one material: else the whole list is read until a page of it is found.
CREATE INDEX find_due_order ON find (project_id, sort_key, id, due_at) WHERE due_at IS NOT NULL;
CREATE INDEX find_due_material ON find (project_id, material, sort_key, id, due_at) WHERE due_at IS NOT NULL;
