-- Version 2: comparisons of two prints are kept beside their weighings.

CREATE TABLE comparison (  -- a cache that can be thrown away, as weighings are
  a         INTEGER NOT NULL REFERENCES session (id),
  b         INTEGER NOT NULL REFERENCES session (id),
  settings  TEXT NOT NULL REFERENCES document (digest),
  basis     TEXT NOT NULL,  -- what it rests on: revisions of both, of other sheets, version of drydown
  result    TEXT NOT NULL CHECK (json_valid(result)),
  PRIMARY KEY (a, b, settings),
  CHECK (a < b)  -- one row a pair, whichever of the two is the base
) STRICT, WITHOUT ROWID;
