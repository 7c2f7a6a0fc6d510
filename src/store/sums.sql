-- The log added up in SQL, by another road than the fold: what differs from `outcome`, as (batch, what).
-- What a count says is told in src/journal/count.rs; here it is said again in another language.
WITH RECURSIVE
force AS (
  SELECT e.id, e.happened, a.uuid, e.sequence
  FROM entry e JOIN act a ON a.id = e.act
  WHERE e.act NOT IN (SELECT act FROM undone) AND e.id NOT IN (SELECT entry FROM temp.set_aside)
),
part AS (
  SELECT f.entry AS part, f.batch, f.source = 'sown' AS sown, f.source = 'received' AS received, f.number, b.unit,
    coalesce(f.per_cell, 1) AS to_each
  FROM filled f JOIN force ON force.id = f.entry JOIN begun b ON b.entry = f.batch
),
-- Everything that took plants from a part, with its place in the order.
leaving AS (
  SELECT d.part, d.plants, d.how, force.happened, force.uuid, force.sequence
  FROM departed d JOIN force ON force.id = d.entry
  UNION ALL
  SELECT f.from_part, f.number, f.source, force.happened, force.uuid, force.sequence
  FROM filled f JOIN force ON force.id = f.entry WHERE f.from_part IS NOT NULL
),
-- Cells ticked, and those of them doubled, run by run: '1-12,15' is thirteen cells.
ticks AS (
  SELECT c.entry,
    (SELECT coalesce(sum(1 + CASE WHEN instr(value, '-')
        THEN substr(value, instr(value, '-') + 1) - substr(value, 1, instr(value, '-') - 1) ELSE 0 END), 0)
      FROM json_each('["' || replace(c.cells, ',', '","') || '"]') WHERE value <> 'none') AS ticked,
    (SELECT coalesce(sum(1 + CASE WHEN instr(value, '-')
        THEN substr(value, instr(value, '-') + 1) - substr(value, 1, instr(value, '-') - 1) ELSE 0 END), 0)
      FROM json_each('["' || replace(c.doubled_cells, ',', '","') || '"]')) AS doubled
  FROM counted c WHERE c.cells IS NOT NULL
),
-- Every count with what had left before it, and what had been parted with its pots.
seen AS (
  SELECT c.part, c.up, c.standing, c.gaps, c.doubles, t.ticked, t.doubled, force.happened, force.uuid, force.sequence,
    coalesce(sum(l.plants), 0) AS gone, coalesce(sum(l.plants) FILTER (WHERE l.how = 'parted'), 0) AS parted
  FROM counted c JOIN force ON force.id = c.entry LEFT JOIN ticks t ON t.entry = c.entry
  LEFT JOIN leaving l ON l.part = c.part
    AND (l.happened, l.uuid, l.sequence) < (force.happened, force.uuid, force.sequence)
  GROUP BY c.entry
),
-- Gaps tell the clusters up where clusters were sown, and else the plants standing; ticks tell both.
look AS (
  SELECT s.part, s.doubles, s.gone, s.ticked, s.doubled,
    min(p.number, s.ticked - s.doubled + min(2 * s.doubled, s.doubled * p.to_each)) AS units,
    row_number() OVER (PARTITION BY s.part ORDER BY s.happened, s.uuid, s.sequence) AS turn,
    CASE WHEN p.sown AND p.unit = 'cluster' THEN coalesce(s.up, p.number - s.parted - s.gaps) ELSE s.up END AS up,
    CASE WHEN s.ticked IS NOT NULL AND NOT (p.sown AND p.unit = 'cluster') THEN s.ticked + s.doubled
         WHEN s.gaps IS NULL OR p.sown AND p.unit = 'cluster' THEN s.standing
         ELSE p.number - s.parted - s.gaps END + s.gone AS ever
  FROM seen s JOIN part p ON p.part = s.part
),
-- Units up, and plants in all, count by count.
step (part, turn, up, ever) AS (
  SELECT part, 0, 0, 0 FROM part WHERE sown
  UNION ALL
  SELECT s.part, look.turn,
    CASE
      WHEN p.unit = 'pinch' THEN min(max(coalesce(look.ever, 0), coalesce(look.up, 0)), p.number)
      WHEN look.ticked IS NOT NULL AND p.unit = 'cluster'
        THEN min(max(look.ticked, iif(look.gone > 0, s.up, 0)), p.number, coalesce(look.ever, 8 * look.ticked + look.gone))
      WHEN look.ticked IS NOT NULL
        THEN max(look.units, min(max(s.up, look.ever - (s.ever - s.up)), look.units + look.gone, p.number))
      WHEN look.up IS NOT NULL THEN min(look.up, p.number)
      WHEN (look.doubles OR p.unit = 'cluster') AND s.up > 0 THEN min(max(s.up, (look.ever + 7) / 8), p.number, look.ever)
      ELSE min(max(s.up, look.ever - (s.ever - s.up)), p.number, look.ever)
    END,
    CASE
      WHEN p.unit = 'pinch' THEN max(coalesce(look.ever, 0), coalesce(look.up, 0))
      WHEN look.ticked IS NOT NULL AND p.unit = 'cluster' AND look.ever IS NULL
        THEN max(look.ticked + look.doubled + look.gone, min(8 * look.ticked + look.gone,
                 min(max(look.ticked, iif(look.gone > 0, s.up, 0)), p.number)
                 + min(s.ever - s.up, 7 * min(max(look.ticked, iif(look.gone > 0, s.up, 0)), p.number))))
      WHEN look.up IS NULL THEN look.ever
      WHEN look.ever IS NOT NULL THEN max(look.ever, min(look.up, p.number))
      WHEN look.up > p.number THEN look.up
      ELSE look.up + max(min(s.ever - s.up, 7 * look.up), CASE WHEN p.unit = 'cluster' THEN look.gone - look.up ELSE 0 END)
    END
  FROM step s CROSS JOIN look ON look.part = s.part AND look.turn = s.turn + 1 CROSS JOIN part p ON p.part = s.part
),
last AS (
  SELECT part, up, ever, max(turn) FROM step GROUP BY part
  UNION ALL
  SELECT p.part, 0, coalesce(l.ever, l.up, p.number), max(l.turn)
  FROM part p LEFT JOIN look l ON l.part = p.part WHERE NOT p.sown GROUP BY p.part
),
had AS (
  SELECT p.batch, total(p.number) FILTER (WHERE p.sown) AS sown, total(p.number) FILTER (WHERE p.received) AS received,
    total(last.ever) AS ever, total(p.number - last.up) FILTER (WHERE p.sown) AS not_up,
    total(last.ever - last.up) FILTER (WHERE p.sown)
      + total(max(last.ever - p.number, 0)) FILTER (WHERE NOT p.sown) AS gained,
    total(max(p.number - last.ever, 0)) FILTER (WHERE NOT p.sown) AS short
  FROM part p JOIN last ON last.part = p.part GROUP BY p.batch
),
gone AS (
  SELECT p.batch, total(l.plants) AS plants, total(l.plants) FILTER (WHERE l.how = 'lost') AS lost,
    total(l.plants) FILTER (WHERE l.how = 'thinned') AS thinned,
    total(l.plants) FILTER (WHERE l.how = 'discarded') AS discarded,
    total(l.plants) FILTER (WHERE l.how = 'planted out') AS planted_out,
    total(l.plants) FILTER (WHERE l.how = 'given away') AS given_away
  FROM leaving l JOIN part p ON p.part = l.part GROUP BY p.batch
)
SELECT o.year || '/' || o.number,
  CASE
    -- A batch has no part when all were set aside after a merge.
    WHEN coalesce(h.sown, 0) IS NOT o.sown THEN 'sown'
    WHEN coalesce(h.received + h.gained - min(h.gained, h.short), 0) IS NOT o.gained THEN 'gained'
    WHEN coalesce(h.not_up + h.short - min(h.gained, h.short), 0) IS NOT o.not_up THEN 'not up'
    WHEN coalesce(h.ever, 0) - coalesce(g.plants, 0) IS NOT o.standing THEN 'standing'
    WHEN coalesce(g.lost, 0) IS NOT o.lost THEN 'lost'
    WHEN coalesce(g.thinned, 0) IS NOT o.thinned THEN 'thinned'
    WHEN coalesce(g.discarded, 0) IS NOT o.discarded THEN 'discarded'
    WHEN coalesce(g.planted_out, 0) IS NOT o.planted_out THEN 'planted out'
    WHEN coalesce(g.given_away, 0) IS NOT o.given_away THEN 'given away'
  END AS what
FROM outcome o LEFT JOIN had h ON h.batch = o.batch LEFT JOIN gone g ON g.batch = o.batch
WHERE what IS NOT NULL;
