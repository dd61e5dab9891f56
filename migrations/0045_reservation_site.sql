-- Where the borrower means to observe; empty for the club's usual site.
ALTER TABLE reservation ADD COLUMN site_id INTEGER REFERENCES site (id) ON DELETE SET NULL;
CREATE INDEX reservation_by_site ON reservation (site_id) WHERE site_id IS NOT NULL;
