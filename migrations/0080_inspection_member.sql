-- Who noted an inspection that came in as a table: the members come along, their accounts do not.
ALTER TABLE inspection ADD COLUMN noted_by_member INTEGER REFERENCES member (id);
CREATE INDEX inspection_by_member ON inspection (noted_by_member)
    WHERE noted_by_member IS NOT NULL;
