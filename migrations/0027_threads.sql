-- Questions and answers on a find, one thread for each specialist. A line is never changed.
CREATE TABLE thread_line (
    id UUID PRIMARY KEY NOT NULL,
    find_id UUID NOT NULL REFERENCES find (id),
    specialist_id UUID NOT NULL REFERENCES person (id),
    -- a question, a request for a measurement or a further image, or the word of the project's people
    kind TEXT NOT NULL,
    words TEXT NOT NULL,
    -- the photograph that an answer brings
    image_id UUID REFERENCES image (id),
    -- the line that it answers
    answers_id UUID REFERENCES thread_line (id),
    written_by UUID NOT NULL REFERENCES person (id),
    written_at TIMESTAMPTZ NOT NULL,
    answered_at TIMESTAMPTZ
);
CREATE INDEX thread_line_find ON thread_line (find_id, written_at, id);
CREATE INDEX thread_line_specialist ON thread_line (specialist_id, find_id);
CREATE INDEX thread_line_open ON thread_line (find_id) WHERE answered_at IS NULL AND kind <> 'word';
