-- What opened a settlement again; it stays printed until it is settled anew. Made anew: nothing was ever written to it.
DROP TABLE settlement_reopening;
CREATE TABLE settlement_reopening (
    id UUID PRIMARY KEY NOT NULL,
    settlement_id UUID NOT NULL REFERENCES settlement (id),
    cause TEXT NOT NULL,
    words TEXT NOT NULL,
    -- nobody where a register was imported from the command line
    caused_by UUID REFERENCES person (id),
    happened_at TIMESTAMPTZ NOT NULL,
    -- when the authors were written to
    told_at TIMESTAMPTZ
);
CREATE INDEX settlement_reopening_settlement ON settlement_reopening (settlement_id);
CREATE INDEX settlement_reopening_untold ON settlement_reopening (happened_at) WHERE told_at IS NULL;
