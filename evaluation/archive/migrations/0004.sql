-- Version 4: what an archive holds as tables that people can query. The README describes the views called report_...;
-- their names and columns stay. Sessions off the list are left out of all of them, and so are results that are out
-- of date or damaged. Nothing of a region shows before its grade: whoever begins to look anew makes its weighing old.

ALTER TABLE comparison ADD COLUMN a_inputs TEXT;  -- of the weighings it was made from: with others it is out of date
ALTER TABLE comparison ADD COLUMN b_inputs TEXT;

CREATE TRIGGER comparison_is_kept AFTER INSERT ON comparison
BEGIN
  UPDATE comparison
  SET a_inputs = (SELECT inputs FROM weighing WHERE session = NEW.a AND settings = NEW.settings),
      b_inputs = (SELECT inputs FROM weighing WHERE session = NEW.b AND settings = NEW.settings)
  WHERE a = NEW.a AND b = NEW.b AND settings = NEW.settings;
END;
CREATE TRIGGER comparison_is_made_anew AFTER UPDATE OF inputs ON comparison
BEGIN
  UPDATE comparison
  SET a_inputs = (SELECT inputs FROM weighing WHERE session = NEW.a AND settings = NEW.settings),
      b_inputs = (SELECT inputs FROM weighing WHERE session = NEW.b AND settings = NEW.settings)
  WHERE a = NEW.a AND b = NEW.b AND settings = NEW.settings;
END;

CREATE VIEW standing_weighing AS  -- of each listed session the newest weighing that nothing was said or read since
SELECT session, settings, inputs, at, disagree, result
FROM (
  SELECT w.*, row_number() OVER (PARTITION BY w.session ORDER BY w.at DESC, w.settings) AS place
  FROM weighing AS w JOIN session AS s ON s.id = w.session
  WHERE s.removed IS NULL AND w.revision = s.revision)
WHERE place = 1;

CREATE VIEW report_sessions AS
WITH said AS (
  SELECT session, subject, json_extract(value, '$') AS value
  FROM (
    SELECT session, subject, value, row_number() OVER (PARTITION BY session, subject ORDER BY id DESC) AS place
    FROM entry WHERE kind = 'condition' AND undone = 0)
  WHERE place = 1),
condition AS (
  SELECT
    session,
    max(value) FILTER (WHERE subject = 'inks') AS inks,
    max(value) FILTER (WHERE subject = 'media_setting') AS media_setting,
    max(value) FILTER (WHERE subject = 'quality') AS quality,
    max(value) FILTER (WHERE subject = 'direction') AS direction,
    max(value) FILTER (WHERE subject = 'driver_mode') AS driver_mode,
    max(value) FILTER (WHERE subject = 'profile') AS profile,
    max(value) FILTER (WHERE subject = 'intent') AS intent,
    max(value) FILTER (WHERE subject = 'black_point_compensation') AS black_point_compensation
  FROM said GROUP BY session)
SELECT
  s.id AS session, s.created, s.printed_at, s.printer, c.inks, s.paper, c.media_setting, c.quality, c.direction,
  c.driver_mode, c.profile, c.intent, c.black_point_compensation, s.made_for, s.state,
  v.verdict, w.disagree, w.at AS weighed_at
FROM session AS s
LEFT JOIN condition AS c ON c.session = s.id
LEFT JOIN standing_weighing AS w ON w.session = s.id
LEFT JOIN verdict AS v
  ON v.session = s.id AND v.settings = w.settings AND v.use = coalesce(s.made_for, 'general')
WHERE s.removed IS NULL;

CREATE VIEW report_grades AS
SELECT
  session, viewing, viewing_kind, observer,
  substr(subject, 1, instr(subject, '/') - 1) AS region,
  substr(subject, instr(subject, '/') + 1) AS question,
  json_extract(value, '$.grade') AS grade, at, after_reveal
FROM (
  SELECT
    e.session, g.ordinal AS viewing, g.kind AS viewing_kind, g.observer, e.subject, e.value, e.at, e.after_reveal,
    row_number() OVER (PARTITION BY e.viewing, e.subject ORDER BY e.id DESC) AS place
  FROM entry AS e
  JOIN viewing AS g ON g.id = e.viewing
  JOIN session AS s ON s.id = e.session
  WHERE e.kind = 'answer' AND e.undone = 0 AND s.removed IS NULL)
WHERE place = 1 AND json_extract(value, '$.grade') IS NOT NULL;

CREATE VIEW report_readings AS
SELECT
  t.session, r.id AS run, r.source_name AS file, r.part, r.condition, r.printed_as, r.count AS readings,
  r.spectra IS NOT NULL AS has_spectra, r.device_space,
  json_extract(r.stated, '$.instrument') AS instrument,
  json_extract(r.stated, '$.geometry') AS geometry,
  json_extract(r.stated, '$.backing') AS backing,
  json_extract(r.stated, '$.measured_at') AS measured_at,
  r.added
FROM (
  SELECT
    e.session, CAST(e.subject AS INTEGER) AS run, e.value,
    row_number() OVER (PARTITION BY e.session, e.subject ORDER BY e.id DESC) AS place
  FROM entry AS e JOIN session AS s ON s.id = e.session
  WHERE e.kind = 'readings' AND e.undone = 0 AND s.removed IS NULL) AS t
JOIN readings AS r ON r.id = t.run
WHERE t.place = 1 AND t.value = '"in"';

CREATE VIEW report_findings AS
SELECT
  w.session,
  json_extract(f.value, '$.region') AS region,
  json_extract(f.value, '$.title') AS title,
  json_extract(f.value, '$.eye.grade') AS eye,
  json_extract(f.value, '$.eye.spread') AS eye_spread,
  json_extract(f.value, '$.viewings') AS viewings,
  json_extract(f.value, '$.instrument.grade') AS instrument,
  json_extract(f.value, '$.instrument.spread') AS instrument_spread,
  json_extract(f.value, '$.combined.grade') AS combined,
  json_extract(f.value, '$.combined.spread') AS combined_spread,
  json_extract(f.value, '$.agreement') AS agreement,
  w.at AS weighed_at, w.settings
FROM standing_weighing AS w, json_each(CASE WHEN json_valid(w.result) THEN w.result ELSE '{}' END, '$.findings') AS f;

CREATE VIEW report_comparisons AS
SELECT
  c.a, c.b,
  json_extract(d.value, '$.region') AS region,
  json_extract(d.value, '$.word') AS word,
  json_extract(d.value, '$.difference') AS difference,
  json_extract(d.value, '$.exceeds_repeatability') AS exceeds_repeatability,
  json_extract(d.value, '$.reason') AS reason,
  c.settings
FROM comparison AS c
JOIN standing_weighing AS a ON a.session = c.a AND a.settings = c.settings AND a.inputs = c.a_inputs
JOIN standing_weighing AS b ON b.session = c.b AND b.settings = c.settings AND b.inputs = c.b_inputs,
json_each(CASE WHEN json_valid(c.result) THEN c.result ELSE '[]' END) AS d;
