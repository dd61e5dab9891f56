-- How wide a telescope's tube is where a solar filter goes over it: held against what the filter
-- was made for.
ALTER TABLE telescope ADD COLUMN tube_outer_diameter_mm REAL
    CONSTRAINT telescope_tube CHECK (tube_outer_diameter_mm BETWEEN 20 AND 4000);
