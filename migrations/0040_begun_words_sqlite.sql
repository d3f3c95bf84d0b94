-- The words of all documents in order, kept by nobody: read from the index of search_words itself.
CREATE VIRTUAL TABLE search_term USING fts5vocab(search_words, instance);
