-- The log: acts, their entries, and one table for each kind of fact. Nothing here is ever changed or removed.
-- Days are the grower's own calendar, ISO 8601; instants are UTC, RFC 3339. Lengths mm, volumes ml, temperatures C.
-- An entry's id is also the id of what it made: a place, bench, lot, container, batch or part.

-- The letters `thpb`, with the tables or not at all.
PRAGMA application_id = 0x74687062;

CREATE TABLE device (
  id INTEGER PRIMARY KEY,
  uuid BLOB NOT NULL UNIQUE CHECK (length(uuid) = 16)
) STRICT;

CREATE TABLE act (
  id INTEGER PRIMARY KEY,
  uuid BLOB NOT NULL UNIQUE CHECK (length(uuid) = 16),
  device INTEGER NOT NULL REFERENCES device (id),
  verb TEXT NOT NULL,
  happened TEXT NOT NULL,
  recorded TEXT NOT NULL,
  digest BLOB NOT NULL CHECK (length(digest) = 32)
) STRICT;
CREATE INDEX act_by_device ON act (device, uuid);
CREATE INDEX act_by_day ON act (happened);

-- A word on earlier acts: undone, or restored. The latest word on an act wins.
CREATE TABLE verdict (
  id INTEGER PRIMARY KEY,
  act INTEGER NOT NULL REFERENCES act (id),
  target INTEGER NOT NULL REFERENCES act (id),
  ruling TEXT NOT NULL CHECK (ruling IN ('undone', 'restored')),
  UNIQUE (act, target)
) STRICT;
CREATE INDEX verdict_by_target ON verdict (target);

CREATE TABLE kind (id INTEGER PRIMARY KEY, word TEXT NOT NULL UNIQUE) STRICT;
INSERT INTO kind (id, word) VALUES
  (1, 'place added'), (2, 'bench added'), (3, 'bench resized'), (4, 'lot added'), (5, 'container stood'),
  (6, 'batch begun'), (7, 'part filled'), (8, 'counted'), (9, 'staged'), (10, 'departed'), (11, 'cleared'),
  (12, 'moved'), (13, 'went out'), (14, 'came in'), (15, 'identified'), (16, 'relabelled'), (17, 'noted'),
  (18, 'read'), (19, 'forecast'), (20, 'covered'), (21, 'put away'),
  (22, 'container measured'), (23, 'container owned');

CREATE TABLE entry (
  id INTEGER PRIMARY KEY,
  act INTEGER NOT NULL REFERENCES act (id),
  sequence INTEGER NOT NULL,
  kind INTEGER NOT NULL REFERENCES kind (id),
  happened TEXT NOT NULL,
  batch INTEGER REFERENCES entry (id),
  container INTEGER REFERENCES entry (id),
  UNIQUE (act, sequence)
) STRICT;
CREATE INDEX entry_by_batch ON entry (batch, kind) WHERE batch IS NOT NULL;
CREATE INDEX entry_by_container ON entry (container, kind) WHERE container IS NOT NULL;
CREATE INDEX entry_by_day ON entry (kind, happened) WHERE batch IS NULL AND container IS NULL;

CREATE TABLE place_added (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  name TEXT NOT NULL,
  kind TEXT NOT NULL,
  heated_to_c REAL,
  light TEXT NOT NULL CHECK (light IN ('low', 'fair', 'full'))
) STRICT;

CREATE TABLE bench_added (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  place INTEGER NOT NULL REFERENCES place_added (entry),
  name TEXT NOT NULL,
  length_mm INTEGER NOT NULL CHECK (length_mm > 0),
  width_mm INTEGER NOT NULL CHECK (width_mm > 0),
  headroom_back_mm INTEGER CHECK (headroom_back_mm > 0),
  headroom_front_mm INTEGER CHECK (headroom_front_mm > 0)
) STRICT;

CREATE TABLE bench_resized (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  bench INTEGER NOT NULL REFERENCES bench_added (entry),
  length_mm INTEGER NOT NULL CHECK (length_mm > 0),
  width_mm INTEGER NOT NULL CHECK (width_mm > 0),
  headroom_back_mm INTEGER CHECK (headroom_back_mm > 0),
  headroom_front_mm INTEGER CHECK (headroom_front_mm > 0)
) STRICT;

CREATE TABLE lot_added (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  crop TEXT NOT NULL,
  variety TEXT NOT NULL,
  packed INTEGER,
  stated REAL CHECK (stated BETWEEN 0 AND 1),
  seeds INTEGER CHECK (seeds >= 0),
  home_saved INTEGER NOT NULL CHECK (home_saved IN (0, 1))
) STRICT;
-- The entry stands last in every index, so the newest lots of a crop are found without sorting.
CREATE INDEX lot_by_crop ON lot_added (crop);

-- A container filled and set down, with its own sizes, on a bench, in a place or on a carrier.
CREATE TABLE stood (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  name TEXT NOT NULL,
  class TEXT NOT NULL CHECK (class IN ('tray', 'cell tray', 'pot', 'carrier', 'paper')),
  length_mm INTEGER,
  width_mm INTEGER,
  height_mm INTEGER,
  cells INTEGER,
  volume_ml INTEGER,
  pots INTEGER NOT NULL CHECK (pots > 0),
  called TEXT,
  bench INTEGER REFERENCES bench_added (entry),
  place INTEGER REFERENCES place_added (entry),
  carrier INTEGER REFERENCES stood (entry),
  x_mm INTEGER,
  y_mm INTEGER,
  turned INTEGER CHECK (turned IN (0, 1)),
  pinned INTEGER CHECK (pinned IN (0, 1)),
  CHECK ((bench IS NOT NULL) + (place IS NOT NULL) + (carrier IS NOT NULL) = 1),
  CHECK ((x_mm IS NULL) = (y_mm IS NULL) AND (x_mm IS NULL) = (turned IS NULL) AND (x_mm IS NULL) = (pinned IS NULL))
) STRICT;
CREATE INDEX stood_by_carrier ON stood (carrier) WHERE carrier IS NOT NULL;

CREATE TABLE begun (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  year INTEGER NOT NULL,
  number INTEGER NOT NULL CHECK (number > 0),
  lot INTEGER NOT NULL REFERENCES lot_added (entry),
  beginning TEXT NOT NULL CHECK (beginning IN ('sown', 'received')),
  unit TEXT CHECK (unit IN ('seed', 'cluster', 'pinch')),
  treatment TEXT,
  depth_mm INTEGER,
  CHECK ((beginning = 'sown') = (unit IS NOT NULL) AND (unit IS NULL) = (treatment IS NULL))
) STRICT;
CREATE INDEX begun_by_lot ON begun (lot);

CREATE TABLE filled (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  batch INTEGER NOT NULL REFERENCES begun (entry),
  letter INTEGER NOT NULL,
  container INTEGER NOT NULL REFERENCES stood (entry),
  source TEXT NOT NULL CHECK (source IN ('sown', 'received', 'pricked out', 'potted on', 'parted')),
  number INTEGER NOT NULL CHECK (number > 0),
  per_cell INTEGER,
  from_part INTEGER REFERENCES filled (entry),
  CHECK ((from_part IS NULL) = (source IN ('sown', 'received')))
) STRICT;
CREATE INDEX filled_by_batch ON filled (batch);
CREATE INDEX filled_by_container ON filled (container);

CREATE TABLE counted (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  part INTEGER NOT NULL REFERENCES filled (entry),
  up INTEGER,
  standing INTEGER,
  gaps INTEGER,
  doubles INTEGER NOT NULL CHECK (doubles IN (0, 1))
) STRICT;

CREATE TABLE staged (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  part INTEGER NOT NULL REFERENCES filled (entry),
  leaves INTEGER,
  height_mm INTEGER,
  leggy INTEGER NOT NULL CHECK (leggy IN (0, 1)),
  roots INTEGER NOT NULL CHECK (roots IN (0, 1))
) STRICT;

CREATE TABLE departed (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  part INTEGER NOT NULL REFERENCES filled (entry),
  plants INTEGER NOT NULL CHECK (plants > 0),
  how TEXT NOT NULL CHECK (how IN ('lost', 'thinned', 'discarded', 'given away', 'planted out')),
  cause TEXT,
  remark TEXT,
  CHECK ((how = 'lost') = (cause IS NOT NULL))
) STRICT;

CREATE TABLE cleared (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  part INTEGER NOT NULL REFERENCES filled (entry)
) STRICT;

CREATE TABLE moved (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  container INTEGER NOT NULL REFERENCES stood (entry),
  bench INTEGER REFERENCES bench_added (entry),
  place INTEGER REFERENCES place_added (entry),
  carrier INTEGER REFERENCES stood (entry),
  x_mm INTEGER,
  y_mm INTEGER,
  turned INTEGER CHECK (turned IN (0, 1)),
  pinned INTEGER CHECK (pinned IN (0, 1)),
  CHECK ((bench IS NOT NULL) + (place IS NOT NULL) + (carrier IS NOT NULL) = 1),
  CHECK ((x_mm IS NULL) = (y_mm IS NULL) AND (x_mm IS NULL) = (turned IS NULL) AND (x_mm IS NULL) = (pinned IS NULL))
) STRICT;
CREATE INDEX moved_by_carrier ON moved (carrier) WHERE carrier IS NOT NULL;

CREATE TABLE went_out (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  container INTEGER NOT NULL REFERENCES stood (entry),
  place INTEGER NOT NULL REFERENCES place_added (entry)
) STRICT;

CREATE TABLE came_in (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  container INTEGER NOT NULL REFERENCES stood (entry)
) STRICT;

CREATE TABLE put_away (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  container INTEGER NOT NULL REFERENCES stood (entry)
) STRICT;

CREATE TABLE container_measured (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  name TEXT NOT NULL,
  length_mm INTEGER NOT NULL CHECK (length_mm > 0),
  width_mm INTEGER NOT NULL CHECK (width_mm > 0),
  height_mm INTEGER CHECK (height_mm > 0)
) STRICT;

CREATE TABLE container_owned (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  name TEXT NOT NULL,
  count INTEGER NOT NULL CHECK (count >= 0)
) STRICT;

CREATE TABLE identified (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  batch INTEGER NOT NULL REFERENCES begun (entry),
  lot INTEGER NOT NULL REFERENCES lot_added (entry)
) STRICT;
CREATE INDEX identified_by_lot ON identified (lot);

CREATE TABLE relabelled (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  batch INTEGER NOT NULL REFERENCES begun (entry),
  year INTEGER NOT NULL,
  number INTEGER NOT NULL CHECK (number > 0)
) STRICT;

CREATE TABLE noted (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  batch INTEGER REFERENCES begun (entry),
  place INTEGER REFERENCES place_added (entry),
  remark TEXT NOT NULL,
  CHECK ((batch IS NULL) <> (place IS NULL))
) STRICT;

CREATE TABLE reading (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  place INTEGER NOT NULL REFERENCES place_added (entry),
  what TEXT NOT NULL CHECK (what IN ('min', 'max', 'now', 'compost', 'soil')),
  celsius REAL NOT NULL
) STRICT;

CREATE TABLE forecast (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  day TEXT NOT NULL,
  low_c REAL NOT NULL,
  high_c REAL NOT NULL
) STRICT;

CREATE TABLE covered (
  entry INTEGER PRIMARY KEY REFERENCES entry (id),
  place INTEGER NOT NULL REFERENCES place_added (entry),
  covered INTEGER NOT NULL CHECK (covered IN (0, 1))
) STRICT;

-- The log only grows. The insert guards are for INSERT OR REPLACE, which runs no delete trigger.
CREATE TRIGGER kind_keeps BEFORE UPDATE ON kind BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER kind_stays BEFORE DELETE ON kind BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER kind_grows BEFORE INSERT ON kind BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER device_keeps BEFORE UPDATE ON device BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER device_stays BEFORE DELETE ON device BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER device_grows BEFORE INSERT ON device WHEN EXISTS (SELECT 1 FROM device WHERE id = NEW.id OR uuid = NEW.uuid)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER act_keeps BEFORE UPDATE ON act BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER act_stays BEFORE DELETE ON act BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER act_grows BEFORE INSERT ON act WHEN EXISTS (SELECT 1 FROM act WHERE id = NEW.id OR uuid = NEW.uuid)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER verdict_keeps BEFORE UPDATE ON verdict BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER verdict_stays BEFORE DELETE ON verdict BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER verdict_grows BEFORE INSERT ON verdict WHEN EXISTS (SELECT 1 FROM verdict WHERE id = NEW.id OR (act = NEW.act AND target = NEW.target))
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER entry_keeps BEFORE UPDATE ON entry BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER entry_grows BEFORE INSERT ON entry WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id OR (act = NEW.act AND sequence = NEW.sequence))
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER place_added_keeps BEFORE UPDATE ON place_added BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER place_added_stays BEFORE DELETE ON place_added BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER place_added_grows BEFORE INSERT ON place_added WHEN EXISTS (SELECT 1 FROM place_added WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER bench_added_keeps BEFORE UPDATE ON bench_added BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER bench_added_stays BEFORE DELETE ON bench_added BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER bench_added_grows BEFORE INSERT ON bench_added WHEN EXISTS (SELECT 1 FROM bench_added WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER bench_resized_keeps BEFORE UPDATE ON bench_resized BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER bench_resized_stays BEFORE DELETE ON bench_resized BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER bench_resized_grows BEFORE INSERT ON bench_resized WHEN EXISTS (SELECT 1 FROM bench_resized WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER lot_added_keeps BEFORE UPDATE ON lot_added BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER lot_added_stays BEFORE DELETE ON lot_added BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER lot_added_grows BEFORE INSERT ON lot_added WHEN EXISTS (SELECT 1 FROM lot_added WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER stood_keeps BEFORE UPDATE ON stood BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER stood_stays BEFORE DELETE ON stood BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER stood_grows BEFORE INSERT ON stood WHEN EXISTS (SELECT 1 FROM stood WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER begun_keeps BEFORE UPDATE ON begun BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER begun_stays BEFORE DELETE ON begun BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER begun_grows BEFORE INSERT ON begun WHEN EXISTS (SELECT 1 FROM begun WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER filled_keeps BEFORE UPDATE ON filled BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER filled_stays BEFORE DELETE ON filled BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER filled_grows BEFORE INSERT ON filled WHEN EXISTS (SELECT 1 FROM filled WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER counted_keeps BEFORE UPDATE ON counted BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER counted_stays BEFORE DELETE ON counted BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER counted_grows BEFORE INSERT ON counted WHEN EXISTS (SELECT 1 FROM counted WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER staged_keeps BEFORE UPDATE ON staged BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER staged_stays BEFORE DELETE ON staged BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER staged_grows BEFORE INSERT ON staged WHEN EXISTS (SELECT 1 FROM staged WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER departed_keeps BEFORE UPDATE ON departed BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER departed_stays BEFORE DELETE ON departed BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER departed_grows BEFORE INSERT ON departed WHEN EXISTS (SELECT 1 FROM departed WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER cleared_keeps BEFORE UPDATE ON cleared BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER cleared_stays BEFORE DELETE ON cleared BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER cleared_grows BEFORE INSERT ON cleared WHEN EXISTS (SELECT 1 FROM cleared WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER moved_keeps BEFORE UPDATE ON moved BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER moved_stays BEFORE DELETE ON moved BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER moved_grows BEFORE INSERT ON moved WHEN EXISTS (SELECT 1 FROM moved WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER went_out_keeps BEFORE UPDATE ON went_out BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER went_out_stays BEFORE DELETE ON went_out BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER went_out_grows BEFORE INSERT ON went_out WHEN EXISTS (SELECT 1 FROM went_out WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER came_in_keeps BEFORE UPDATE ON came_in BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER came_in_stays BEFORE DELETE ON came_in BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER came_in_grows BEFORE INSERT ON came_in WHEN EXISTS (SELECT 1 FROM came_in WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER put_away_keeps BEFORE UPDATE ON put_away BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER put_away_stays BEFORE DELETE ON put_away BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER put_away_grows BEFORE INSERT ON put_away WHEN EXISTS (SELECT 1 FROM put_away WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER container_measured_keeps BEFORE UPDATE ON container_measured BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER container_measured_stays BEFORE DELETE ON container_measured BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER container_measured_grows BEFORE INSERT ON container_measured WHEN EXISTS (SELECT 1 FROM container_measured WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER container_owned_keeps BEFORE UPDATE ON container_owned BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER container_owned_stays BEFORE DELETE ON container_owned BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER container_owned_grows BEFORE INSERT ON container_owned WHEN EXISTS (SELECT 1 FROM container_owned WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER identified_keeps BEFORE UPDATE ON identified BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER identified_stays BEFORE DELETE ON identified BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER identified_grows BEFORE INSERT ON identified WHEN EXISTS (SELECT 1 FROM identified WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER relabelled_keeps BEFORE UPDATE ON relabelled BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER relabelled_stays BEFORE DELETE ON relabelled BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER relabelled_grows BEFORE INSERT ON relabelled WHEN EXISTS (SELECT 1 FROM relabelled WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER noted_keeps BEFORE UPDATE ON noted BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER noted_stays BEFORE DELETE ON noted BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER noted_grows BEFORE INSERT ON noted WHEN EXISTS (SELECT 1 FROM noted WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER reading_keeps BEFORE UPDATE ON reading BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER reading_stays BEFORE DELETE ON reading BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER reading_grows BEFORE INSERT ON reading WHEN EXISTS (SELECT 1 FROM reading WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER forecast_keeps BEFORE UPDATE ON forecast BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER forecast_stays BEFORE DELETE ON forecast BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER forecast_grows BEFORE INSERT ON forecast WHEN EXISTS (SELECT 1 FROM forecast WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;
CREATE TRIGGER covered_keeps BEFORE UPDATE ON covered BEGIN SELECT RAISE (ABORT, 'the log is never changed'); END;
CREATE TRIGGER covered_stays BEFORE DELETE ON covered BEGIN SELECT RAISE (ABORT, 'the log is never shortened'); END;
CREATE TRIGGER covered_grows BEFORE INSERT ON covered WHEN EXISTS (SELECT 1 FROM covered WHERE entry = NEW.entry)
  BEGIN SELECT RAISE (ABORT, 'the log is never overwritten'); END;

-- Derived: rewritten for the touched batches with every act, and dropped, refolded and compared by `check`.

CREATE TABLE undone (act INTEGER PRIMARY KEY REFERENCES act (id)) STRICT;

-- One row a batch, whatever became of it.
CREATE TABLE outcome (
  batch INTEGER PRIMARY KEY REFERENCES begun (entry),
  year INTEGER NOT NULL,
  number INTEGER NOT NULL,
  lot INTEGER NOT NULL REFERENCES lot_added (entry),
  crop TEXT NOT NULL,
  variety TEXT NOT NULL,
  begun TEXT NOT NULL,
  beginning TEXT NOT NULL,
  live INTEGER NOT NULL CHECK (live IN (0, 1)),
  sown INTEGER NOT NULL,
  gained INTEGER NOT NULL,
  not_up INTEGER NOT NULL,
  standing INTEGER NOT NULL,
  lost INTEGER NOT NULL,
  thinned INTEGER NOT NULL,
  discarded INTEGER NOT NULL,
  planted_out INTEGER NOT NULL,
  given_away INTEGER NOT NULL,
  CHECK (sown + gained = not_up + standing + lost + thinned + discarded + planted_out + given_away)
) STRICT;
CREATE INDEX outcome_live ON outcome (number, year) WHERE live = 1;
CREATE INDEX outcome_by_year ON outcome (year, number);
CREATE INDEX outcome_by_number ON outcome (number, year);
CREATE INDEX outcome_by_crop ON outcome (crop, begun);
CREATE INDEX outcome_by_lot ON outcome (lot);

-- One row a part of every live batch.
CREATE TABLE standing (
  part INTEGER PRIMARY KEY REFERENCES filled (entry),
  batch INTEGER NOT NULL REFERENCES begun (entry),
  letter TEXT NOT NULL,
  container INTEGER NOT NULL REFERENCES stood (entry),
  place INTEGER REFERENCES place_added (entry),
  bench INTEGER REFERENCES bench_added (entry),
  sown INTEGER NOT NULL,
  up INTEGER NOT NULL,
  standing INTEGER NOT NULL,
  cleared TEXT
) STRICT;
CREATE INDEX standing_by_batch ON standing (batch);

-- Carriers still in use.
CREATE TABLE carrier (
  container INTEGER PRIMARY KEY REFERENCES stood (entry),
  called TEXT
) STRICT;

-- For reading with any SQLite tool.

CREATE VIEW batches AS
SELECT o.year || '/' || o.number AS batch, o.crop, o.variety, o.begun, o.beginning, o.live, o.sown, o.gained,
       o.sown - o.not_up AS up, o.not_up, o.standing, o.lost, o.thinned, o.discarded, o.planted_out, o.given_away
FROM outcome o ORDER BY o.year, o.number;

CREATE VIEW parts_standing AS
SELECT o.year || '/' || o.number || s.letter AS part, o.crop, o.variety, c.name AS container, p.name AS place,
       b.name AS bench, s.sown, s.up, s.standing, s.cleared
FROM standing s
JOIN outcome o ON o.batch = s.batch
JOIN stood c ON c.entry = s.container
LEFT JOIN place_added p ON p.entry = s.place
LEFT JOIN bench_added b ON b.entry = s.bench
ORDER BY o.year, o.number, s.part;

CREATE VIEW journal AS
SELECT e.happened AS day, k.word AS what, o.year || '/' || o.number AS batch, a.verb, a.recorded,
       EXISTS (SELECT 1 FROM undone u WHERE u.act = a.id) AS undone, e.id AS entry, a.id AS act
FROM entry e
JOIN act a ON a.id = e.act
JOIN kind k ON k.id = e.kind
LEFT JOIN outcome o ON o.batch = e.batch
ORDER BY e.happened, a.uuid, e.sequence;
