-- The archive, version 1. Applied scripts are never edited; a change is the next script.
-- Moments are UTC, ISO 8601 to the millisecond. JSON is checked for form here and for meaning by the nouns.

PRAGMA application_id = 1685215556;  -- 'drYD'

-- Values: immutable, named by their content ------------------------------------------------------------

CREATE TABLE document (  -- every text or file a session must be able to show again, byte for byte
  digest   TEXT PRIMARY KEY CHECK (length(digest) = 64 AND digest NOT GLOB '*[^0-9a-f]*'),  -- sha256 of what was kept
  kind     TEXT NOT NULL CHECK (kind IN ('sheet', 'settings', 'profile', 'source', 'picture', 'appendix')),
  name     TEXT NOT NULL,
  size     INTEGER NOT NULL CHECK (size >= 0),  -- bytes before compression
  content  BLOB NOT NULL  -- zlib
) STRICT, WITHOUT ROWID;

-- A session is a row plus its entries -------------------------------------------------------------------

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
CREATE INDEX entry_of_session ON entry (session, kind, subject, id);
CREATE INDEX entry_of_action ON entry (session, action);
CREATE INDEX entry_to_redo ON entry (session, undone) WHERE undone > 0;

-- Readings: one run a row; arrays as little-endian float64, row after row -------------------------------

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
CREATE INDEX readings_of_session ON readings (session);

-- Results: a cache that can be thrown away --------------------------------------------------------------

CREATE TABLE weighing (
  session    INTEGER NOT NULL REFERENCES session (id),
  settings   TEXT NOT NULL REFERENCES document (digest),
  revision   INTEGER NOT NULL,  -- of the session when it was weighed: an older one is stale
  engine     TEXT NOT NULL,  -- version of drydown
  at         TEXT NOT NULL,
  disagree   INTEGER NOT NULL CHECK (disagree >= 0),  -- regions where eye and instrument disagree
  result     TEXT NOT NULL CHECK (json_valid(result)),  -- ungated: the gate filters on the way out
  PRIMARY KEY (session, settings)
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

CREATE TABLE habit (  -- what the app remembers for its user: column mappings, the last folder
  subject  TEXT PRIMARY KEY,
  value    TEXT NOT NULL CHECK (json_valid(value))
) STRICT, WITHOUT ROWID;

-- What never changes ------------------------------------------------------------------------------------

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
