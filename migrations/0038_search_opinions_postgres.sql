UPDATE search_doc SET opinions = '' WHERE NOT EXISTS (SELECT 1 FROM opinion o WHERE o.find_id = search_doc.find_id);
ALTER TABLE search_doc DROP COLUMN words;
ALTER TABLE search_doc ADD COLUMN words tsvector GENERATED ALWAYS AS
    (setweight(to_tsvector('simple', body), 'A') || setweight(to_tsvector('simple', COALESCE(opinions, '')), 'B')) STORED;
CREATE INDEX search_doc_words ON search_doc USING gin (words);
