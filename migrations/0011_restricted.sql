CREATE INDEX find_restricted ON find (project_id, headline, material) WHERE restricted;
