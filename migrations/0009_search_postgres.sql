ALTER TABLE search_doc ADD COLUMN words tsvector GENERATED ALWAYS AS (to_tsvector('simple', body)) STORED;
CREATE INDEX search_doc_words ON search_doc USING gin (words);
