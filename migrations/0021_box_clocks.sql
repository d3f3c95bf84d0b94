-- The clock of an indicator reads the box a find is packed in: the clocks of one box are one look on a round.
ALTER TABLE clock ADD COLUMN box_id UUID REFERENCES place (id);
CREATE INDEX clock_box ON clock (box_id) WHERE box_id IS NOT NULL;
UPDATE clock SET box_id = (
    SELECT k.place_id FROM packed k WHERE k.find_id = clock.find_id AND k.left_at IS NULL ORDER BY k.since DESC, k.id DESC LIMIT 1)
WHERE kind = 'indicator' AND stopped_at IS NULL;
-- what was looked at apart so far is looked at together from now on, on the earliest of its days
UPDATE clock SET next_check_at = (
    SELECT MIN(o.next_check_at) FROM clock o WHERE o.box_id = clock.box_id AND o.stopped_at IS NULL)
WHERE box_id IS NOT NULL AND stopped_at IS NULL;
UPDATE find SET due_at = (
    SELECT MIN(CASE WHEN c.next_check_at IS NOT NULL AND (c.limit_at IS NULL OR c.next_check_at < c.limit_at)
                    THEN c.next_check_at ELSE c.limit_at END)
    FROM clock c WHERE c.find_id = find.id AND c.stopped_at IS NULL)
WHERE id IN (SELECT c.find_id FROM clock c WHERE c.box_id IS NOT NULL AND c.stopped_at IS NULL);
