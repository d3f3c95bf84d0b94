DROP TRIGGER search_doc_insert;
DROP TRIGGER search_doc_update;
DROP TRIGGER search_doc_delete;
DROP TABLE search_words;
UPDATE search_doc SET opinions = '' WHERE NOT EXISTS (SELECT 1 FROM opinion o WHERE o.find_id = search_doc.find_id);
CREATE VIRTUAL TABLE search_words USING fts5 (
    body, opinions, content='search_doc', content_rowid='doc', tokenize='unicode61 remove_diacritics 2', prefix='2 3'
);
CREATE TRIGGER search_doc_insert AFTER INSERT ON search_doc BEGIN
    INSERT INTO search_words (rowid, body, opinions) VALUES (new.doc, new.body, new.opinions);
END;
CREATE TRIGGER search_doc_update AFTER UPDATE ON search_doc BEGIN
    INSERT INTO search_words (search_words, rowid, body, opinions) VALUES ('delete', old.doc, old.body, old.opinions);
    INSERT INTO search_words (rowid, body, opinions) VALUES (new.doc, new.body, new.opinions);
END;
CREATE TRIGGER search_doc_delete AFTER DELETE ON search_doc BEGIN
    INSERT INTO search_words (search_words, rowid, body, opinions) VALUES ('delete', old.doc, old.body, old.opinions);
END;
INSERT INTO search_words (search_words) VALUES ('rebuild');
