-- What an assignment shares of its finds, and what was agreed for it. What was sent before shows what it showed.
ALTER TABLE assignment ADD COLUMN share_images BOOLEAN NOT NULL DEFAULT TRUE;
ALTER TABLE assignment ADD COLUMN share_xrays BOOLEAN NOT NULL DEFAULT TRUE;
ALTER TABLE assignment ADD COLUMN share_conservation BOOLEAN NOT NULL DEFAULT TRUE;
ALTER TABLE assignment ADD COLUMN share_measurements BOOLEAN NOT NULL DEFAULT TRUE;
ALTER TABLE assignment ADD COLUMN share_contexts BOOLEAN NOT NULL DEFAULT TRUE;
ALTER TABLE assignment ADD COLUMN share_restricted BOOLEAN NOT NULL DEFAULT TRUE;
-- the questions of the project that the answer should serve
ALTER TABLE assignment ADD COLUMN aims TEXT NOT NULL DEFAULT '';
ALTER TABLE assignment ADD COLUMN agreed_days DOUBLE PRECISION;
ALTER TABLE assignment ADD COLUMN fee DOUBLE PRECISION;
-- what the fee is for: 'whole' or each 'day'
ALTER TABLE assignment ADD COLUMN fee_for TEXT NOT NULL DEFAULT 'whole';
ALTER TABLE assignment ADD COLUMN currency TEXT NOT NULL DEFAULT '';
-- from then on its finds are out of the specialist's sight; what the specialist wrote stays theirs
ALTER TABLE assignment ADD COLUMN sharing_ended_at TIMESTAMPTZ;

-- What a specialist sees of which find, under which assignment. The only place where this is said.
CREATE VIEW shared_find AS
SELECT a.specialist_id, af.find_id, a.id AS assignment_id, a.made_at, a.closed_at,
    a.share_images AS images, a.share_xrays AS xrays, a.share_conservation AS conservation,
    a.share_measurements AS measurements, a.share_contexts AS contexts
FROM assignment a JOIN assignment_find af ON af.assignment_id = a.id JOIN find f ON f.id = af.find_id
WHERE a.sharing_ended_at IS NULL AND (a.share_restricted OR NOT f.restricted);

CREATE INDEX examination_plate ON examination (plate_image_id) WHERE plate_image_id IS NOT NULL;
