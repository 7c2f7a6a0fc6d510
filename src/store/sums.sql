-- The log added up in SQL, by another road than the fold: what differs from `outcome`, as (batch, what).
WITH RECURSIVE
force AS (
  SELECT e.id, e.happened, a.uuid, e.sequence
  FROM entry e JOIN act a ON a.id = e.act
  WHERE e.act NOT IN (SELECT act FROM undone)
),
part AS (
  SELECT f.entry AS part, f.batch, f.source, f.number, b.unit
  FROM filled f JOIN force ON force.id = f.entry JOIN begun b ON b.entry = f.batch
),
-- Everything that took plants from a part, with its place in the order.
leaving AS (
  SELECT d.part, d.plants, d.how, force.happened, force.uuid, force.sequence
  FROM departed d JOIN force ON force.id = d.entry
  UNION ALL
  SELECT f.from_part, f.number, 'moved on', force.happened, force.uuid, force.sequence
  FROM filled f JOIN force ON force.id = f.entry WHERE f.from_part IS NOT NULL
),
look AS (
  SELECT c.part, row_number() OVER (PARTITION BY c.part ORDER BY force.happened, force.uuid, force.sequence) AS turn,
         c.up,
         CASE WHEN c.gaps IS NOT NULL THEN part.number - c.gaps ELSE c.standing END
           + coalesce((SELECT sum(l.plants) FROM leaving l WHERE l.part = c.part
                       AND (l.happened, l.uuid, l.sequence) < (force.happened, force.uuid, force.sequence)), 0) AS ever
  FROM counted c JOIN force ON force.id = c.entry JOIN part ON part.part = c.part
),
-- Units up and plants gained, count by count.
step (part, turn, up, gained) AS (
  SELECT part, 0, 0, 0 FROM part WHERE source = 'sown'
  UNION ALL
  SELECT p.part, look.turn,
    CASE
      WHEN look.up IS NOT NULL THEN min(look.up, p.number)
      WHEN p.unit = 'cluster' AND s.up > 0 THEN min(s.up, look.ever)
      WHEN look.ever > s.up + s.gained THEN min(look.ever - s.gained, p.number)
      WHEN s.up > 0 THEN min(s.up, look.ever)
      ELSE min(look.ever, p.number)
    END,
    CASE
      WHEN look.up IS NOT NULL AND look.ever IS NOT NULL THEN max(look.ever - min(look.up, p.number), 0)
      WHEN look.up > p.number THEN look.up - p.number
      WHEN look.up IS NOT NULL THEN s.gained
      WHEN p.unit = 'cluster' AND s.up > 0 THEN look.ever - min(s.up, look.ever)
      WHEN look.ever > s.up + s.gained THEN look.ever - min(look.ever - s.gained, p.number)
      WHEN s.up > 0 THEN look.ever - min(s.up, look.ever)
      ELSE look.ever - min(look.ever, p.number)
    END
  FROM step s JOIN look ON look.part = s.part AND look.turn = s.turn + 1 JOIN part p ON p.part = s.part
),
had AS (
  SELECT p.part, p.batch,
    CASE p.source
      WHEN 'sown' THEN (SELECT s.up + s.gained FROM step s WHERE s.part = p.part ORDER BY s.turn DESC LIMIT 1)
      ELSE coalesce((SELECT coalesce(l.ever, l.up) FROM look l WHERE l.part = p.part ORDER BY l.turn DESC LIMIT 1), p.number)
    END AS ever
  FROM part p
),
rolled AS (
  SELECT h.batch,
    (SELECT total(p.number) FROM part p WHERE p.batch = h.batch AND p.source = 'sown') AS sown,
    sum(h.ever) - (SELECT total(l.plants) FROM leaving l JOIN part p ON p.part = l.part WHERE p.batch = h.batch) AS standing,
    (SELECT total(l.plants) FROM leaving l JOIN part p ON p.part = l.part WHERE p.batch = h.batch AND l.how = 'lost') AS lost,
    (SELECT total(l.plants) FROM leaving l JOIN part p ON p.part = l.part WHERE p.batch = h.batch AND l.how = 'thinned') AS thinned,
    (SELECT total(l.plants) FROM leaving l JOIN part p ON p.part = l.part WHERE p.batch = h.batch AND l.how = 'discarded') AS discarded,
    (SELECT total(l.plants) FROM leaving l JOIN part p ON p.part = l.part WHERE p.batch = h.batch AND l.how = 'planted out') AS planted_out,
    (SELECT total(l.plants) FROM leaving l JOIN part p ON p.part = l.part WHERE p.batch = h.batch AND l.how = 'given away') AS given_away
  FROM had h GROUP BY h.batch
)
SELECT o.year || '/' || o.number,
  CASE
    WHEN r.sown IS NOT o.sown THEN 'sown'
    WHEN r.standing IS NOT o.standing THEN 'standing'
    WHEN r.lost IS NOT o.lost THEN 'lost'
    WHEN r.thinned IS NOT o.thinned THEN 'thinned'
    WHEN r.discarded IS NOT o.discarded THEN 'discarded'
    WHEN r.planted_out IS NOT o.planted_out THEN 'planted out'
    ELSE 'given away'
  END
FROM outcome o LEFT JOIN rolled r ON r.batch = o.batch
WHERE r.sown IS NOT o.sown OR r.standing IS NOT o.standing OR r.lost IS NOT o.lost OR r.thinned IS NOT o.thinned
   OR r.discarded IS NOT o.discarded OR r.planted_out IS NOT o.planted_out OR r.given_away IS NOT o.given_away;
