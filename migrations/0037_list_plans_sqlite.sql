-- SQLite chooses among the indexes of a list by how many finds it expects of each. Measured by itself the expectation changes
-- with the site and with it the choice, at worst to reading every find of a project; so it is told what a large site is like:
-- how many finds in all, of one project, of one value. Few are on a bench, held, due or in one context.
ANALYZE sqlite_schema;
DELETE FROM sqlite_stat1;
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES
    ('find', 'sqlite_autoindex_find_1', '200000 1'),
    ('find', 'sqlite_autoindex_find_2', '200000 200000 1'),
    ('find', 'find_number', '200000 200000 1 1 1 1 1'),
    ('find', 'find_waiting', '200000 200000 2 1 1 1 1'),
    ('find', 'find_newest', '200000 200000 1 1 1 1'),
    ('find', 'find_headline_number', '200000 200000 28000 1 1 1 1 1 1 1'),
    ('find', 'find_headline_waiting', '200000 200000 28000 2 1 1 1 1 1 1'),
    ('find', 'find_headline_newest', '200000 200000 28000 1 1 1 1 1 1'),
    ('find', 'find_oldest', '200000 200000 28000 2400 1'),
    ('find', 'find_stage_number', '200000 200000 12000 1 1 1 1 1 1 1'),
    ('find', 'find_stage_waiting', '200000 200000 12000 2 1 1 1 1 1 1'),
    ('find', 'find_stage_newest', '200000 200000 12000 1 1 1 1 1 1'),
    ('find', 'find_material_number', '200000 200000 17000 1 1 1 1 1 1 1'),
    ('find', 'find_material_waiting', '200000 200000 17000 2 1 1 1 1 1 1'),
    ('find', 'find_material_newest', '200000 200000 17000 1 1 1 1 1 1'),
    ('find', 'find_context', '200000 40 1 1 1 1 1 1 1 1 1 1'),
    ('find', 'find_place', '200000 5000 1 1 1 1 1 1 1 1 1 1'),
    ('find', 'find_assignee_number', '10000 1000 1000 1 1 1 1 1 1 1 1 1 1 1'),
    ('find', 'find_assignee_waiting', '10000 1000 1000 1 1 1 1 1 1 1 1 1 1 1'),
    ('find', 'find_assignee_newest', '10000 1000 1000 1 1 1 1 1 1 1 1 1 1'),
    ('find', 'find_held_number', '2000 2000 1 1 1 1 1 1 1 1 1 1 1 1'),
    ('find', 'find_held_waiting', '2000 2000 1 1 1 1 1 1 1 1 1 1 1 1'),
    ('find', 'find_held_newest', '2000 2000 1 1 1 1 1 1 1 1 1 1 1'),
    ('find', 'find_due', '2000 2000 10 1 1 1 1 1 1 1 1 1 1 1 1'),
    ('find', 'find_restricted', '2000 2000 300 25');
ANALYZE sqlite_schema;
