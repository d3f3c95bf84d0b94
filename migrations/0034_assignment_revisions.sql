-- An assignment may be changed while it is open; two people at once are told apart by its revision.
ALTER TABLE assignment ADD COLUMN revision BIGINT NOT NULL DEFAULT 1;
