-- A bundle as version 8 made it: what .dump tells of it, and the numbers it carries.
PRAGMA application_id = 1685215556;
PRAGMA user_version = 8;
BEGIN TRANSACTION;
CREATE TABLE birth (
  origin    TEXT NOT NULL CHECK (length(origin) = 32 AND origin NOT GLOB '*[^0-9a-f]*'),
  sequence  INTEGER NOT NULL CHECK (sequence > 0),  -- without a gap in each origin
  what      TEXT NOT NULL CHECK (what <> ''),  -- name of the table
  number    INTEGER NOT NULL,  -- id in that table, in this archive alone
  PRIMARY KEY (origin, sequence),
  UNIQUE (what, number)
) STRICT, WITHOUT ROWID;
INSERT INTO "birth" VALUES('b1733d43220df4a2c79484419037a881',1,'entry',1);
INSERT INTO "birth" VALUES('b1733d43220df4a2c79484419037a881',2,'viewing',1);
INSERT INTO "birth" VALUES('b1733d43220df4a2c79484419037a881',3,'entry',2);
INSERT INTO "birth" VALUES('b1733d43220df4a2c79484419037a881',4,'viewing',2);
INSERT INTO "birth" VALUES('b1733d43220df4a2c79484419037a881',5,'entry',3);
INSERT INTO "birth" VALUES('b1733d43220df4a2c79484419037a881',6,'readings',1);
INSERT INTO "birth" VALUES('b1733d43220df4a2c79484419037a881',7,'entry',4);
INSERT INTO "birth" VALUES('b1733d43220df4a2c79484419037a881',8,'entry',5);
INSERT INTO "birth" VALUES('b1733d43220df4a2c79484419037a881',9,'round',1);
INSERT INTO "birth" VALUES('b1733d43220df4a2c79484419037a881',10,'judgement',1);
CREATE TABLE bundle (  -- one row: this file is a bundle; none: an archive
  one            INTEGER PRIMARY KEY CHECK (one = 1),
  made           TEXT NOT NULL,
  origin         TEXT NOT NULL CHECK (length(origin) = 32),  -- of the archive it was made in
  drydown        TEXT NOT NULL,
  with_names     INTEGER NOT NULL CHECK (with_names IN (0, 1)),
  with_pictures  INTEGER NOT NULL CHECK (with_pictures IN (0, 1)),
  seal           TEXT NOT NULL CHECK (length(seal) = 64)  -- sha256 over the list of digests and this row
) STRICT;
INSERT INTO "bundle" VALUES(1,'2024-03-02T14:00:00.000+00:00','b1733d43220df4a2c79484419037a881','0.2.0',1,1,'fde8a6f96418208aa28169d5c05128cf9128fe25c8899d51b05819b908583dfb');
CREATE TABLE bundle_digest (
  what    TEXT NOT NULL CHECK (what IN ('session', 'rounds', 'document')),
  name    TEXT NOT NULL,
  digest  TEXT NOT NULL CHECK (length(digest) = 64),
  PRIMARY KEY (what, name)
) STRICT, WITHOUT ROWID;
INSERT INTO "bundle_digest" VALUES('document','303d03f701f0908231d07f2adba99525d62792316f5d4feba788f7a14431427c','303d03f701f0908231d07f2adba99525d62792316f5d4feba788f7a14431427c');
INSERT INTO "bundle_digest" VALUES('document','a1af1bccf46862c1ce45d1064094b00a0808329540e06a44bcedd8c921849f1e','a1af1bccf46862c1ce45d1064094b00a0808329540e06a44bcedd8c921849f1e');
INSERT INTO "bundle_digest" VALUES('rounds','','d16920864283bebd89474ded2c8fa3a0e08a7b3a5707a18f2dac43409f79c784');
INSERT INTO "bundle_digest" VALUES('session','6c2187b41598f2a85d3679f24f696f00','e018528bee4e2b49b0245e3fb6fbef51c1c65b7e6700debb9352cbcb92e9de55');
CREATE TABLE comparison (  -- a cache that can be thrown away, as weighings are
  a         INTEGER NOT NULL REFERENCES session (id),
  b         INTEGER NOT NULL REFERENCES session (id),
  settings  TEXT NOT NULL REFERENCES document (digest),
  inputs    TEXT NOT NULL CHECK (length(inputs) = 64),
  result    TEXT NOT NULL CHECK (json_valid(result)),
  sum       TEXT NOT NULL CHECK (length(sum) = 64), a_inputs TEXT, b_inputs TEXT,
  PRIMARY KEY (a, b, settings),
  CHECK (a < b)  -- one row a pair, whichever of the two is the base
) STRICT, WITHOUT ROWID;
CREATE TABLE document (  -- every text or file a session must be able to show again, byte for byte
  digest   TEXT PRIMARY KEY CHECK (length(digest) = 64 AND digest NOT GLOB '*[^0-9a-f]*'),  -- sha256 of what was kept
  kind     TEXT NOT NULL CHECK (kind IN ('sheet', 'settings', 'profile', 'source', 'picture', 'appendix')),
  name     TEXT NOT NULL,
  size     INTEGER NOT NULL CHECK (size >= 0),  -- bytes before compression
  content  BLOB NOT NULL  -- zlib
) STRICT, WITHOUT ROWID;
INSERT INTO "document" VALUES('303d03f701f0908231d07f2adba99525d62792316f5d4feba788f7a14431427c','source','strip.txt',8,X'78012B4A4D4CC9CC4B2F06000EC4034E');
INSERT INTO "document" VALUES('a1af1bccf46862c1ce45d1064094b00a0808329540e06a44bcedd8c921849f1e','sheet','colour.toml',11,X'78014BCB2FCA4D2C51B05530E4020017EC0342');
CREATE TABLE elsewhere (  -- origins that came by a merge, perhaps not with all of their sequence
  origin  TEXT PRIMARY KEY CHECK (length(origin) = 32)
) STRICT, WITHOUT ROWID;
CREATE TABLE entry (  -- everything a person said, in order
  id            INTEGER PRIMARY KEY AUTOINCREMENT,
  session       INTEGER NOT NULL REFERENCES session (id),
  viewing       INTEGER,  -- NULL outside Look
  kind          TEXT NOT NULL CHECK (kind IN (
                  'condition', 'readiness', 'timer', 'answer', 'fault', 'again', 'remark', 'reveal',
                  'attachment', 'readings', 'written')),
  subject       TEXT NOT NULL,  -- 'paper', 'nozzle_check', 'skin/hue', 'skin', the id of a run
  value         TEXT NOT NULL CHECK (json_valid(value)),  -- null withdraws
  at            TEXT NOT NULL,
  after_reveal  INTEGER NOT NULL DEFAULT 0 CHECK (after_reveal IN (0, 1)),
  action        INTEGER NOT NULL CHECK (action > 0),  -- entries of one key press share it: undone together
  undone        INTEGER NOT NULL DEFAULT 0 CHECK (undone >= -1),  -- 0 live, n the n-th undone, -1 beyond redo
  FOREIGN KEY (viewing, session) REFERENCES viewing (id, session),
  CHECK (kind <> 'reveal' OR undone = 0),  -- what was seen stays seen
  CHECK (viewing IS NOT NULL OR kind NOT IN ('answer', 'fault', 'again')),
  CHECK (viewing IS NULL OR kind NOT IN ('condition', 'readiness', 'timer', 'readings', 'written'))
) STRICT;
INSERT INTO "entry" VALUES(1,1,NULL,'condition','paper','"Rag"','2024-03-02T14:00:00.000+00:00',0,1,0);
INSERT INTO "entry" VALUES(2,1,1,'answer','skin/overall','{"grade":4}','2024-03-02T14:00:00.000+00:00',0,2,0);
INSERT INTO "entry" VALUES(3,1,2,'answer','skin/overall','{"grade":3}','2024-03-02T14:00:00.000+00:00',0,3,0);
INSERT INTO "entry" VALUES(4,1,NULL,'readings','1','"in"','2024-03-02T14:00:00.000+00:00',0,4,0);
INSERT INTO "entry" VALUES(5,1,NULL,'remark','describe','"curls"','2024-03-02T14:00:00.000+00:00',0,5,0);
CREATE TABLE habit (  -- what the app remembers for its user: column mappings, the last folder
  subject  TEXT PRIMARY KEY,
  value    TEXT NOT NULL CHECK (json_valid(value))
) STRICT, WITHOUT ROWID;
CREATE TABLE judgement (  -- only ever added to: the last one of a place counts
  id     INTEGER PRIMARY KEY,
  round  INTEGER NOT NULL REFERENCES round (id),
  place  INTEGER CHECK (place >= 0),  -- in `shown`; NULL: the letters were opened
  named  TEXT CHECK (named IN ('left', 'right', 'none')),  -- NULL: taken back
  at     TEXT NOT NULL,
  CHECK (place IS NOT NULL OR named IS NULL)
) STRICT;
INSERT INTO "judgement" VALUES(1,1,0,'right','2024-03-02T14:00:00.000+00:00');
CREATE TABLE loan_entry (  -- only ever added to
  id          INTEGER PRIMARY KEY,
  loan        TEXT NOT NULL CHECK (length(loan) = 32),  -- its lasting name, drawn at random
  kind        TEXT NOT NULL CHECK (kind IN (
                'about', 'paper', 'minutes', 'took', 'timer', 'session', 'done', 'lost', 'left out', 'question',
                'answer', 'undo')),
  subject     TEXT NOT NULL,  -- of an undo: ''
  value       TEXT NOT NULL CHECK (json_valid(value)),  -- null withdraws
  at          TEXT NOT NULL,
  action      INTEGER NOT NULL CHECK (action > 0),  -- of its loan; entries of one key press share it
  takes_back  INTEGER CHECK (takes_back > 0 AND takes_back < action),  -- an action, which may be an undo itself
  CHECK ((kind = 'undo') = (takes_back IS NOT NULL))
) STRICT;
CREATE TABLE merging (  -- every merge that brought something
  id        INTEGER PRIMARY KEY,
  at        TEXT NOT NULL,
  files     TEXT NOT NULL CHECK (json_valid(files)),
  kept      TEXT NOT NULL,  -- name of the copy beside the archive, as it was before
  standing  TEXT NOT NULL  -- of the archive after it: while it is that, nothing was entered since
) STRICT;
CREATE TABLE origin (  -- of what is written here from now on: drawn at random, and anew for a copy of the file
  one     INTEGER PRIMARY KEY CHECK (one = 1),
  origin  TEXT NOT NULL CHECK (length(origin) = 32 AND origin NOT GLOB '*[^0-9a-f]*'),
  place   TEXT NOT NULL  -- device and number of the file it was drawn for; '' draws anew
) STRICT;
INSERT INTO "origin" VALUES(1,'aaf394a4345434f1929548e0ae6bcc7e','');
CREATE TABLE readings (
  id            INTEGER PRIMARY KEY,
  session       INTEGER NOT NULL REFERENCES session (id),
  added         TEXT NOT NULL,
  source        TEXT REFERENCES document (digest),  -- NULL: typed by hand
  source_name   TEXT NOT NULL,
  part          TEXT NOT NULL,  -- which table of the file
  reader        TEXT NOT NULL,
  condition     TEXT CHECK (condition IN ('M0', 'M1', 'M2', 'M3')),  -- ISO 13655; NULL: not stated
  stated        TEXT NOT NULL CHECK (json_valid(stated)),
  printed_as    TEXT NOT NULL CHECK (printed_as IN ('managed', 'unmanaged', 'not stated')),
  rounding      REAL NOT NULL CHECK (rounding >= 0),
  remarks       TEXT NOT NULL CHECK (json_valid(remarks)),
  count         INTEGER NOT NULL CHECK (count > 0),
  patches       TEXT NOT NULL CHECK (json_valid(patches)),  -- [ids, names, rows]
  device_space  TEXT,
  device        BLOB CHECK (length(device) % (count * 8) = 0),  -- count x channels
  wavelengths   BLOB CHECK (length(wavelengths) % 8 = 0),
  spectra       BLOB,  -- count x bands
  lab           BLOB CHECK (length(lab) = count * 24),
  xyz           BLOB CHECK (length(xyz) = count * 24),
  CHECK (spectra IS NOT NULL OR lab IS NOT NULL OR xyz IS NOT NULL),
  CHECK (spectra IS NULL OR (wavelengths IS NOT NULL AND length(spectra) = count * length(wavelengths)))
) STRICT;
INSERT INTO "readings" VALUES(1,1,'2024-03-02T14:00:00.000+00:00','303d03f701f0908231d07f2adba99525d62792316f5d4feba788f7a14431427c','strip.txt','table 1','iso28178 1','M1','{"illuminant":null,"observer":null,"geometry":null,"backing":null,"instrument":null,"measured_at":null,"made_profile":null,"said_by_user":[]}','managed',0.01,'[]',2,'[["A1","A2"],["paper",""],[1,2],["",""],["",""]]',NULL,NULL,NULL,NULL,X'6666666666C657409A9999999999D93FCDCCCCCCCCCC14C0000000000000494000000000000000000000000000000000',NULL);
CREATE TABLE round (  -- one observer, one region; drawn once, kept
  id        INTEGER PRIMARY KEY,
  started   TEXT NOT NULL,
  observer  TEXT NOT NULL,
  region    TEXT NOT NULL,
  ask       TEXT NOT NULL,
  prints    TEXT NOT NULL CHECK (json_valid(prints)),  -- [[letter, session]]
  shown     TEXT NOT NULL CHECK (json_valid(shown))  -- [[letter on the left, letter on the right]], in order
) STRICT;
INSERT INTO "round" VALUES(1,'2024-03-02T14:00:00.000+00:00','Berta','skin','better','[["K",1],["T",1]]','[["K","T"]]');
CREATE TABLE session (
  id           INTEGER PRIMARY KEY,
  uid          TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),
  sheet        TEXT NOT NULL REFERENCES document (digest),  -- the map it is scored with
  created      TEXT NOT NULL,
  copied_from  INTEGER REFERENCES session (id),
  revision     INTEGER NOT NULL DEFAULT 0,  -- counts every change of what a weighing rests on
  removed      TEXT,  -- when it was taken off the list; NULL: listed
  -- What a list of sessions shows, written together with the entry that changes it:
  touched      TEXT NOT NULL,
  printer      TEXT NOT NULL DEFAULT '',
  paper        TEXT NOT NULL DEFAULT '',
  printed      TEXT NOT NULL DEFAULT '',
  printed_at   TEXT,
  made_for     TEXT,
  state        TEXT NOT NULL DEFAULT 'describing',
  dries_until  TEXT,
  regions      INTEGER NOT NULL DEFAULT 0,
  looked       INTEGER NOT NULL DEFAULT 0,
  again        INTEGER NOT NULL DEFAULT 0,
  words        TEXT NOT NULL DEFAULT ''  -- what it is found by, case folded
) STRICT;
INSERT INTO "session" VALUES(1,'6c2187b41598f2a85d3679f24f696f00','a1af1bccf46862c1ce45d1064094b00a0808329540e06a44bcedd8c921849f1e','2024-03-02T14:00:00.000+00:00',NULL,6,NULL,'2024-03-02T14:00:00.000+00:00','','Rag','',NULL,NULL,'describing',NULL,0,1,0,' rag   describing');
CREATE TABLE sight (
  entry  INTEGER NOT NULL REFERENCES entry (id),
  saw    INTEGER NOT NULL REFERENCES entry (id),
  PRIMARY KEY (entry, saw)
) STRICT, WITHOUT ROWID;
CREATE TABLE turn (  -- every undo and redo, only ever added to; an entry counts when each undo of it was taken back
  id          INTEGER PRIMARY KEY,
  entry       INTEGER NOT NULL REFERENCES entry (id),
  takes_back  INTEGER REFERENCES turn (id)  -- the undo that a redo takes back; NULL: an undo
) STRICT;
CREATE TABLE verdict (  -- what a list shows of a weighing; rewritten with it
  session   INTEGER NOT NULL,
  settings  TEXT NOT NULL,
  use       TEXT NOT NULL,
  verdict   TEXT NOT NULL CHECK (verdict IN (
              'accepted', 'accepted with remarks', 'not accepted', 'undecided', 'incomplete')),
  PRIMARY KEY (session, settings, use),
  FOREIGN KEY (session, settings) REFERENCES weighing (session, settings) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
CREATE TABLE viewing (
  id            INTEGER PRIMARY KEY,
  session       INTEGER NOT NULL REFERENCES session (id),
  ordinal       INTEGER NOT NULL CHECK (ordinal > 0),
  observer      TEXT NOT NULL,
  kind          TEXT NOT NULL CHECK (kind IN ('quick', 'full')),
  region_order  TEXT NOT NULL CHECK (json_valid(region_order)),  -- drawn once, kept
  started       TEXT NOT NULL,
  reference     INTEGER REFERENCES session (id),  -- the session whose accepted print lay beside it
  UNIQUE (session, ordinal),
  UNIQUE (id, session)
) STRICT;
INSERT INTO "viewing" VALUES(1,1,1,'observer 1','full','["skin"]','2024-03-02T14:00:00.000+00:00',NULL);
INSERT INTO "viewing" VALUES(2,1,2,'Berta','full','["skin"]','2024-03-02T15:00:00.000+00:00',NULL);
CREATE TABLE weighing (  -- a cache that can be thrown away: one row for each session and set of tables
  session   INTEGER NOT NULL REFERENCES session (id),
  settings  TEXT NOT NULL REFERENCES document (digest),
  inputs    TEXT NOT NULL CHECK (length(inputs) = 64),  -- sha256 over all it rests on; with any other it is not found
  -- The part of the inputs that a list can look at without working out the rest:
  rules     INTEGER NOT NULL,  -- version of the rules
  revision  INTEGER NOT NULL,  -- of the session when it was weighed
  named     TEXT NOT NULL CHECK (json_valid(named)),  -- [[session, revision, removed]] of others it leans on
  at        TEXT NOT NULL,
  disagree  INTEGER NOT NULL CHECK (disagree >= 0),  -- regions where eye and instrument disagree
  result    TEXT NOT NULL CHECK (json_valid(result)),  -- ungated: the gate filters on the way out
  sum       TEXT NOT NULL CHECK (length(sum) = 64),  -- sha256 of the result: one that does not fit is not found
  PRIMARY KEY (session, settings)
) STRICT;
CREATE INDEX entry_of_session ON entry (session, kind, subject, id);
CREATE INDEX entry_of_action ON entry (session, action);
CREATE INDEX entry_to_redo ON entry (session, undone) WHERE undone > 0;
CREATE INDEX readings_of_session ON readings (session);
CREATE TRIGGER document_is_immutable BEFORE UPDATE ON document
BEGIN SELECT RAISE(ABORT, 'documents are never rewritten'); END;
CREATE TRIGGER document_is_kept BEFORE DELETE ON document
BEGIN SELECT RAISE(ABORT, 'documents are never deleted'); END;
CREATE TRIGGER session_keeps_its_name BEFORE UPDATE OF id, uid, created, copied_from ON session
BEGIN SELECT RAISE(ABORT, 'a session keeps its number, its name and its origin'); END;
CREATE TRIGGER session_is_kept BEFORE DELETE ON session
BEGIN SELECT RAISE(ABORT, 'sessions are never deleted'); END;
CREATE TRIGGER revision_only_rises BEFORE UPDATE OF revision ON session WHEN NEW.revision < OLD.revision
BEGIN SELECT RAISE(ABORT, 'a revision never goes back'); END;
CREATE TRIGGER sheet_of_session_is_fixed BEFORE UPDATE OF sheet ON session
WHEN EXISTS (SELECT 1 FROM entry WHERE session = OLD.id AND undone = 0
             AND kind IN ('answer', 'fault', 'reveal', 'readings'))
BEGIN SELECT RAISE(ABORT, 'the sheet is fixed once something was graded or measured'); END;
CREATE TRIGGER viewing_is_immutable BEFORE UPDATE ON viewing
BEGIN SELECT RAISE(ABORT, 'viewings are never rewritten'); END;
CREATE TRIGGER viewing_is_kept BEFORE DELETE ON viewing
BEGIN SELECT RAISE(ABORT, 'viewings are never deleted'); END;
CREATE TRIGGER entry_is_immutable
BEFORE UPDATE OF id, session, viewing, kind, subject, value, at, after_reveal, action ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never rewritten'); END;
CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER overtaken_entry_stays_undone BEFORE UPDATE OF undone ON entry
WHEN OLD.undone = -1 AND NEW.undone <> -1
BEGIN SELECT RAISE(ABORT, 'an overtaken entry is never redone'); END;
CREATE TRIGGER readings_are_immutable BEFORE UPDATE ON readings
BEGIN SELECT RAISE(ABORT, 'readings are never rewritten'); END;
CREATE TRIGGER readings_are_kept BEFORE DELETE ON readings
BEGIN SELECT RAISE(ABORT, 'readings are never deleted'); END;
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
CREATE TRIGGER viewing_is_born AFTER INSERT ON viewing
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'viewing' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'viewing', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER readings_are_born AFTER INSERT ON readings
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'readings' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'readings', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER entry_is_undone AFTER UPDATE OF undone ON entry WHEN OLD.undone = 0 AND NEW.undone <> 0
BEGIN INSERT INTO turn (entry) VALUES (NEW.id); END;
CREATE INDEX judgement_of_round ON judgement (round, id);
CREATE TRIGGER round_is_born AFTER INSERT ON round
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'round' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'round', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER judgement_is_born AFTER INSERT ON judgement
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'judgement' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'judgement', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER round_is_immutable BEFORE UPDATE ON round
BEGIN SELECT RAISE(ABORT, 'rounds are never rewritten'); END;
CREATE TRIGGER round_is_kept BEFORE DELETE ON round
BEGIN SELECT RAISE(ABORT, 'rounds are never deleted'); END;
CREATE TRIGGER judgement_is_immutable BEFORE UPDATE ON judgement
BEGIN SELECT RAISE(ABORT, 'judgements are never rewritten'); END;
CREATE TRIGGER judgement_is_kept BEFORE DELETE ON judgement
BEGIN SELECT RAISE(ABORT, 'judgements are never deleted'); END;
CREATE INDEX loan_entry_of_loan ON loan_entry (loan, id);
CREATE TRIGGER birth_is_immutable BEFORE UPDATE ON birth
BEGIN SELECT RAISE(ABORT, 'births are never rewritten'); END;
CREATE TRIGGER birth_is_kept BEFORE DELETE ON birth
BEGIN SELECT RAISE(ABORT, 'births are never deleted'); END;
CREATE TRIGGER loan_entry_is_born AFTER INSERT ON loan_entry
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'loan_entry' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'loan_entry', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER loan_entry_is_immutable BEFORE UPDATE ON loan_entry
BEGIN SELECT RAISE(ABORT, 'entries of a loan are never rewritten'); END;
CREATE TRIGGER loan_entry_is_kept BEFORE DELETE ON loan_entry
BEGIN SELECT RAISE(ABORT, 'entries of a loan are never deleted'); END;
CREATE INDEX sight_saw ON sight (saw);
CREATE TRIGGER entry_is_born AFTER INSERT ON entry
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'entry' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'entry', NEW.id
  FROM origin AS o;
  INSERT INTO sight
  SELECT NEW.id, saw FROM (
    SELECT e.id AS saw, max(b.sequence)
    FROM entry AS e JOIN birth AS b ON b.what = 'entry' AND b.number = e.id
    WHERE e.session = NEW.session AND e.kind = NEW.kind AND e.subject = NEW.subject AND e.viewing IS NEW.viewing
      AND e.id <> NEW.id AND b.origin <> (SELECT origin FROM origin)
    GROUP BY b.origin);
END;
CREATE TRIGGER sight_is_immutable BEFORE UPDATE ON sight
BEGIN SELECT RAISE(ABORT, 'what was in sight is never rewritten'); END;
CREATE TRIGGER sight_is_kept BEFORE DELETE ON sight
BEGIN SELECT RAISE(ABORT, 'what was in sight is never deleted'); END;
CREATE INDEX turn_of_entry ON turn (entry);
CREATE INDEX turn_taken_back ON turn (takes_back) WHERE takes_back IS NOT NULL;
CREATE TRIGGER turn_is_immutable BEFORE UPDATE ON turn
BEGIN SELECT RAISE(ABORT, 'turns are never rewritten'); END;
CREATE TRIGGER turn_is_kept BEFORE DELETE ON turn
BEGIN SELECT RAISE(ABORT, 'turns are never deleted'); END;
CREATE TRIGGER turn_is_born AFTER INSERT ON turn
WHEN NOT EXISTS (SELECT 1 FROM birth WHERE what = 'turn' AND number = NEW.id)
BEGIN
  INSERT INTO birth
  SELECT o.origin, 1 + coalesce((SELECT max(sequence) FROM birth WHERE origin = o.origin), 0), 'turn', NEW.id
  FROM origin AS o;
END;
CREATE TRIGGER entry_is_redone AFTER UPDATE OF undone ON entry WHEN OLD.undone <> 0 AND NEW.undone = 0
BEGIN
  INSERT INTO turn (entry, takes_back)
  SELECT NEW.id, id FROM turn AS t
  WHERE t.entry = NEW.id AND t.takes_back IS NULL
    AND NOT EXISTS (SELECT 1 FROM turn AS r WHERE r.takes_back = t.id);
END;
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('entry',5);
COMMIT;
