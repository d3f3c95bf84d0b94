-- What stands in a place is asked for with every list of it.
CREATE INDEX place_parent ON place (parent_id);
