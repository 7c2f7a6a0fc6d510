-- Cells: which cells of a tray, or pots of a set, a count or a departure was about, as '1-12,15' or 'none'.
-- A count by cells has its numbers in them: one plant to a cell, two to a doubled one.

ALTER TABLE counted ADD COLUMN cells TEXT;
ALTER TABLE counted ADD COLUMN doubled_cells TEXT CHECK (doubled_cells IS NULL OR cells IS NOT NULL);
ALTER TABLE departed ADD COLUMN cells TEXT;
ALTER TABLE filled ADD COLUMN from_cells TEXT CHECK (from_cells IS NULL OR from_part IS NOT NULL);
-- Washing: so many of a kind of container, emptied before, that were washed and are clean to use again.

CREATE TABLE container_washed (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  name TEXT NOT NULL,
  count INTEGER NOT NULL CHECK (count > 0)
) STRICT;
CREATE TRIGGER container_washed_keeps BEFORE UPDATE ON container_washed BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER container_washed_stays BEFORE DELETE ON container_washed BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER container_washed_grows BEFORE INSERT ON container_washed WHEN EXISTS (SELECT 1 FROM container_washed WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;

DROP TRIGGER kind_grows;
INSERT INTO kind (id, word) VALUES (24, 'container washed');
CREATE TRIGGER kind_grows BEFORE INSERT ON kind BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;

-- What was emptied or put away since a day is found by these: it stood before, and is to be washed after.
CREATE INDEX entry_cleared_by_day ON entry (happened) WHERE kind = 11;
CREATE INDEX entry_put_away_by_day ON entry (happened) WHERE kind = 21;
