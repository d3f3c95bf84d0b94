CREATE VIRTUAL TABLE search_words USING fts5 (
    body, content='search_doc', content_rowid='doc', tokenize='unicode61 remove_diacritics 2', prefix='2 3'
);
CREATE TRIGGER search_doc_insert AFTER INSERT ON search_doc BEGIN
    INSERT INTO search_words (rowid, body) VALUES (new.doc, new.body);
END;
CREATE TRIGGER search_doc_update AFTER UPDATE ON search_doc BEGIN
    INSERT INTO search_words (search_words, rowid, body) VALUES ('delete', old.doc, old.body);
    INSERT INTO search_words (rowid, body) VALUES (new.doc, new.body);
END;
CREATE TRIGGER search_doc_delete AFTER DELETE ON search_doc BEGIN
    INSERT INTO search_words (search_words, rowid, body) VALUES ('delete', old.doc, old.body);
END;
