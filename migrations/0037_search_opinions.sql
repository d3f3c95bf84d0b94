-- What specialists said is searched apart from the register's words, since not everybody who lists finds may read it. NULL until
-- the two are parted, which the program does when it brings the tables up to date.
ALTER TABLE search_doc ADD COLUMN opinions TEXT;
CREATE INDEX search_doc_unparted ON search_doc (doc) WHERE opinions IS NULL;
