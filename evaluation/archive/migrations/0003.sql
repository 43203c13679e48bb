-- Version 3: a kept result is found by everything it rests on. What was kept before is worked out anew.

DROP TABLE verdict;
DROP TABLE weighing;
DROP TABLE comparison;

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

CREATE TABLE verdict (  -- what a list shows of a weighing; rewritten with it
  session   INTEGER NOT NULL,
  settings  TEXT NOT NULL,
  use       TEXT NOT NULL,
  verdict   TEXT NOT NULL CHECK (verdict IN (
              'accepted', 'accepted with remarks', 'not accepted', 'undecided', 'incomplete')),
  PRIMARY KEY (session, settings, use),
  FOREIGN KEY (session, settings) REFERENCES weighing (session, settings) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE TABLE comparison (  -- a cache that can be thrown away, as weighings are
  a         INTEGER NOT NULL REFERENCES session (id),
  b         INTEGER NOT NULL REFERENCES session (id),
  settings  TEXT NOT NULL REFERENCES document (digest),
  inputs    TEXT NOT NULL CHECK (length(inputs) = 64),
  result    TEXT NOT NULL CHECK (json_valid(result)),
  sum       TEXT NOT NULL CHECK (length(sum) = 64),
  PRIMARY KEY (a, b, settings),
  CHECK (a < b)  -- one row a pair, whichever of the two is the base
) STRICT, WITHOUT ROWID;
