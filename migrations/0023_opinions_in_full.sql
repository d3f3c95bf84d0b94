-- Opinions in full. What was submitted before stands as it is: the kind of its date was not asked then, a date without more
-- is that of making (common practice, no source).
ALTER TABLE opinion ADD COLUMN confidence TEXT NOT NULL DEFAULT '';
ALTER TABLE opinion ADD COLUMN origin TEXT NOT NULL DEFAULT '';
ALTER TABLE opinion ADD COLUMN negative_findings TEXT NOT NULL DEFAULT '';
ALTER TABLE opinion ADD COLUMN significance TEXT NOT NULL DEFAULT '';
ALTER TABLE opinion ADD COLUMN parallels_none BOOLEAN NOT NULL DEFAULT FALSE;
-- the same on all finds that one opinion covers; each find keeps its own row, version and settlement
ALTER TABLE opinion ADD COLUMN covering UUID;
CREATE INDEX opinion_covering ON opinion (covering) WHERE covering IS NOT NULL;
-- several ways of seeing, parted by a blank
UPDATE opinion SET seen_as = 'object image' WHERE seen_as = 'both';

-- Who stands behind an opinion besides the one who submitted it, with or without an account.
CREATE TABLE opinion_joint (
    opinion_id UUID NOT NULL REFERENCES opinion (id),
    position BIGINT NOT NULL,
    person_id UUID REFERENCES person (id),
    name TEXT NOT NULL,
    qualification TEXT NOT NULL,
    PRIMARY KEY (opinion_id, position)
);
CREATE INDEX opinion_joint_person ON opinion_joint (person_id) WHERE person_id IS NOT NULL;

-- Every range an opinion gives. Words that hold several ranges make several rows of one statement. `opinion.date_lo` and
-- `date_hi` hold the span of the leading kind, which counts for the context.
CREATE TABLE opinion_date (
    opinion_id UUID NOT NULL REFERENCES opinion (id),
    position BIGINT NOT NULL,
    statement BIGINT NOT NULL,
    words TEXT NOT NULL,
    kind TEXT NOT NULL,
    likelihood TEXT NOT NULL,
    date_lo BIGINT,
    date_hi BIGINT,
    rule TEXT NOT NULL,
    PRIMARY KEY (opinion_id, position)
);
INSERT INTO opinion_date (opinion_id, position, statement, words, kind, likelihood, date_lo, date_hi, rule)
    SELECT id, 1, 1, date_words, 'manufacture', 'unsaid', date_lo, date_hi, date_rule FROM opinion WHERE date_words <> '';

CREATE TABLE opinion_parallel (
    opinion_id UUID NOT NULL REFERENCES opinion (id),
    position BIGINT NOT NULL,
    citation TEXT NOT NULL,
    -- page, number, figure
    at_place TEXT NOT NULL,
    -- form, fabric, style, context, parted by blanks
    likeness TEXT NOT NULL,
    date_words TEXT NOT NULL,
    -- what the date of the parallel itself rests on
    date_basis TEXT NOT NULL,
    PRIMARY KEY (opinion_id, position)
);
INSERT INTO opinion_parallel (opinion_id, position, citation, at_place, likeness, date_words, date_basis)
    SELECT id, 1, parallels, '', '', '', '' FROM opinion
    WHERE parallels <> '' AND lower(parallels) NOT LIKE 'none found%';
-- `opinion.parallels` is from now on what is said of the search: where was looked, what exactly was not found
UPDATE opinion SET parallels_none = TRUE WHERE lower(parallels) LIKE 'none found%';
UPDATE opinion SET parallels = '' WHERE NOT parallels_none OR lower(parallels) = 'none found';

CREATE TABLE opinion_recommendation (
    opinion_id UUID NOT NULL REFERENCES opinion (id),
    position BIGINT NOT NULL,
    action TEXT NOT NULL,
    reason TEXT NOT NULL,
    days DOUBLE PRECISION,
    -- in the currency of the project
    cost DOUBLE PRECISION,
    PRIMARY KEY (opinion_id, position)
);

-- Colleagues' opinions show to the specialist only once the own one is in.
ALTER TABLE assignment ADD COLUMN blind BOOLEAN NOT NULL DEFAULT TRUE;
