-- The log for reading with any SQLite tool, with the parts spoken of, the plants or units counted or moved, and the
-- words on earlier acts. `number` of a count is what was up, or else what stood, or else the gaps with a minus sign.
DROP VIEW journal;

CREATE VIEW journal AS
SELECT day, what, batch, part, number, verb, recorded, undone, entry, act, ruled_on FROM (
  SELECT e.happened AS day, k.word AS what, o.year || '/' || o.number AS batch,
         -- Letters go on after z with aa, ab.
         o.year || '/' || o.number || CASE WHEN p.letter > 25 THEN char(96 + p.letter / 26) ELSE '' END
           || char(97 + p.letter % 26) AS part,
         coalesce(f.number, d.plants, c.up, c.standing, -c.gaps) AS number,
         a.verb, a.recorded, EXISTS (SELECT 1 FROM undone u WHERE u.act = a.id) AS undone,
         e.id AS entry, a.id AS act, NULL AS ruled_on, a.uuid, e.sequence
  FROM entry e
  JOIN act a ON a.id = e.act
  JOIN kind k ON k.id = e.kind
  LEFT JOIN outcome o ON o.batch = e.batch
  LEFT JOIN filled f ON f.entry = e.id
  LEFT JOIN counted c ON c.entry = e.id
  LEFT JOIN staged s ON s.entry = e.id
  LEFT JOIN departed d ON d.entry = e.id
  LEFT JOIN cleared x ON x.entry = e.id
  LEFT JOIN filled p ON p.entry = coalesce(f.entry, c.part, s.part, d.part, x.part)
  UNION ALL
  SELECT a.happened, v.ruling, NULL, NULL, NULL, a.verb, a.recorded, 0, NULL, a.id, v.target, a.uuid, 0
  FROM verdict v
  JOIN act a ON a.id = v.act
)
ORDER BY day, uuid, sequence;
