-- Cells: which cells of a tray, or pots of a set, a count or a departure was about, as '1-12,15' or 'none'.
-- A count by cells has its numbers in them: one plant to a cell, two to a doubled one.

ALTER TABLE counted ADD COLUMN cells TEXT;
ALTER TABLE counted ADD COLUMN doubled_cells TEXT CHECK (doubled_cells IS NULL OR cells IS NOT NULL);
ALTER TABLE departed ADD COLUMN cells TEXT;
ALTER TABLE filled ADD COLUMN from_cells TEXT CHECK (from_cells IS NULL OR from_part IS NOT NULL);
