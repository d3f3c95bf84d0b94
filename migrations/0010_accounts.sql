-- When a person last used the program, kept apart from sessions, which go.
ALTER TABLE person ADD COLUMN last_here_at TIMESTAMPTZ;
-- Two leads may edit the same group of materials.
ALTER TABLE material ADD COLUMN revision BIGINT NOT NULL DEFAULT 1;
CREATE INDEX mail_link_person ON mail_link (person_id);
