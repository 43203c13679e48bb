-- Version 11: the view of grades says which viewings a person set aside, so that no average takes them in unseen.

DROP VIEW report_grades;
CREATE VIEW report_grades AS
SELECT
  session, viewing, viewing_kind, observer,
  substr(subject, 1, instr(subject, '/') - 1) AS region,
  substr(subject, instr(subject, '/') + 1) AS question,
  json_extract(value, '$.grade') AS grade, at, after_reveal, set_aside
FROM (
  SELECT
    e.session, g.ordinal AS viewing, g.kind AS viewing_kind,
    CASE WHEN f.number IS NULL OR g.observer NOT GLOB 'observer [0-9]*' THEN g.observer
         WHEN f.number = 1 THEN g.observer || ' (elsewhere)'
         ELSE g.observer || ' (elsewhere ' || f.number || ')' END AS observer,
    e.subject, e.value, e.at, e.after_reveal, coalesce(a.value, 'null') <> 'null' AS set_aside,
    row_number() OVER (PARTITION BY e.viewing, e.subject ORDER BY e.id DESC) AS place
  FROM entry AS e
  JOIN viewing AS g ON g.id = e.viewing
  JOIN session AS s ON s.id = e.session
  LEFT JOIN other_family AS f ON f.family = g.family
  LEFT JOIN (
    SELECT viewing, value, max(id) FROM entry  -- the value of the newest
    WHERE kind = 'remark' AND subject = 'viewing/aside' AND undone = 0 GROUP BY viewing) AS a ON a.viewing = g.id
  WHERE e.kind = 'answer' AND e.undone = 0 AND s.removed IS NULL)
WHERE place = 1 AND json_extract(value, '$.grade') IS NOT NULL;
