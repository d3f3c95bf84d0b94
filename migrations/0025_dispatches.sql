-- Objects that leave the house with a note, and what came back.
CREATE TABLE dispatch (
    id UUID PRIMARY KEY NOT NULL,
    project_id UUID NOT NULL REFERENCES project (id),
    -- counted within the project
    serial BIGINT NOT NULL,
    -- the recipient by account where there is one, always by name
    recipient_id UUID REFERENCES person (id),
    recipient TEXT NOT NULL,
    address TEXT NOT NULL,
    purpose TEXT NOT NULL,
    packing TEXT NOT NULL,
    carrier TEXT NOT NULL,
    insurer TEXT NOT NULL,
    -- what may be sampled; empty: nothing
    sampling TEXT NOT NULL,
    -- why it went although something was lacking; empty where nothing was
    lifted TEXT NOT NULL,
    sent_on DATE NOT NULL,
    due_on DATE NOT NULL,
    sent_by TEXT NOT NULL,
    recorded_by UUID NOT NULL REFERENCES person (id),
    recorded_at TIMESTAMPTZ NOT NULL,
    -- nothing more is to come back
    complete_at TIMESTAMPTZ,
    -- and every difference is explained
    settled_at TIMESTAMPTZ,
    UNIQUE (project_id, serial)
);
CREATE INDEX dispatch_recipient ON dispatch (recipient_id);
CREATE INDEX dispatch_open ON dispatch (project_id, due_on) WHERE settled_at IS NULL;

CREATE TABLE dispatch_item (
    id UUID PRIMARY KEY NOT NULL,
    dispatch_id UUID NOT NULL REFERENCES dispatch (id),
    find_id UUID NOT NULL REFERENCES find (id),
    -- pieces as sent; 0 for a bulk find that is only weighed, and for a piece that was taken out of another on its way
    quantity BIGINT NOT NULL,
    mass_g DOUBLE PRECISION,
    condition TEXT NOT NULL,
    UNIQUE (dispatch_id, find_id)
);
CREATE INDEX dispatch_item_find ON dispatch_item (find_id);

-- What was counted and weighed at either end. Never changed: a wrong one is superseded.
CREATE TABLE receipt (
    id UUID PRIMARY KEY NOT NULL,
    dispatch_id UUID NOT NULL REFERENCES dispatch (id),
    way TEXT NOT NULL,
    received_on DATE NOT NULL,
    received_by TEXT NOT NULL,
    note TEXT NOT NULL,
    recorded_by UUID NOT NULL REFERENCES person (id),
    recorded_at TIMESTAMPTZ NOT NULL,
    superseded_at TIMESTAMPTZ
);
CREATE INDEX receipt_dispatch ON receipt (dispatch_id, recorded_at);
CREATE TABLE receipt_item (
    receipt_id UUID NOT NULL REFERENCES receipt (id),
    item_id UUID NOT NULL REFERENCES dispatch_item (id),
    quantity BIGINT NOT NULL,
    mass_g DOUBLE PRECISION,
    condition TEXT NOT NULL,
    PRIMARY KEY (receipt_id, item_id)
);
CREATE INDEX receipt_item_item ON receipt_item (item_id);

-- An event that befell pieces that were out belongs to their line of the dispatch, so that both tell the same.
ALTER TABLE quantity_event_find ADD COLUMN dispatch_item_id UUID REFERENCES dispatch_item (id);
ALTER TABLE quantity_event_find ADD COLUMN on_the_way_there BOOLEAN NOT NULL DEFAULT FALSE;
CREATE INDEX quantity_event_find_item ON quantity_event_find (dispatch_item_id) WHERE dispatch_item_id IS NOT NULL;

-- The sums behind one line of a dispatch, in one place.
CREATE VIEW dispatch_account AS
SELECT i.id AS item_id, i.dispatch_id, i.find_id,
    COALESCE((SELECT CAST(SUM(e.quantity_after - e.quantity_before) AS BIGINT) FROM quantity_event_find e
        WHERE e.dispatch_item_id = i.id), 0) AS changed,
    COALESCE((SELECT CAST(SUM(COALESCE(e.weight_after_g, 0.0) - COALESCE(e.weight_before_g, 0.0)) AS DOUBLE PRECISION)
        FROM quantity_event_find e WHERE e.dispatch_item_id = i.id), 0.0) AS changed_g,
    COALESCE((SELECT CAST(SUM(e.quantity_after - e.quantity_before) AS BIGINT) FROM quantity_event_find e
        WHERE e.dispatch_item_id = i.id AND e.on_the_way_there), 0) AS changed_there,
    COALESCE((SELECT CAST(SUM(COALESCE(e.weight_after_g, 0.0) - COALESCE(e.weight_before_g, 0.0)) AS DOUBLE PRECISION)
        FROM quantity_event_find e WHERE e.dispatch_item_id = i.id AND e.on_the_way_there), 0.0) AS changed_there_g,
    (SELECT CAST(SUM(r.quantity) AS BIGINT) FROM receipt_item r JOIN receipt c ON c.id = r.receipt_id
        WHERE r.item_id = i.id AND c.way = 'there' AND c.superseded_at IS NULL) AS arrived,
    (SELECT CASE WHEN COUNT(*) = COUNT(r.mass_g) THEN CAST(SUM(r.mass_g) AS DOUBLE PRECISION) END FROM receipt_item r JOIN receipt c ON c.id = r.receipt_id
        WHERE r.item_id = i.id AND c.way = 'there' AND c.superseded_at IS NULL) AS arrived_g,
    (SELECT CAST(SUM(r.quantity) AS BIGINT) FROM receipt_item r JOIN receipt c ON c.id = r.receipt_id
        WHERE r.item_id = i.id AND c.way = 'back' AND c.superseded_at IS NULL) AS back,
    (SELECT CASE WHEN COUNT(*) = COUNT(r.mass_g) THEN CAST(SUM(r.mass_g) AS DOUBLE PRECISION) END FROM receipt_item r JOIN receipt c ON c.id = r.receipt_id
        WHERE r.item_id = i.id AND c.way = 'back' AND c.superseded_at IS NULL) AS back_g
FROM dispatch_item i;
