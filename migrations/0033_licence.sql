-- What a licence asks for wherever a find of the material group is handled, as for human remains; empty where there is none.
ALTER TABLE material ADD COLUMN licence TEXT NOT NULL DEFAULT '';
