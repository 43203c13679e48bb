-- Version 9: a list of sessions costs what it shows, however many there are.

CREATE TABLE session_words (  -- what sessions are found by, each text once, with how many go by it
  words    TEXT PRIMARY KEY,
  listed   INTEGER NOT NULL CHECK (listed >= 0),
  removed  INTEGER NOT NULL CHECK (removed >= 0)
) STRICT, WITHOUT ROWID;
INSERT INTO session_words
SELECT words, count(*) - count(removed), count(removed) FROM session GROUP BY words;

CREATE TRIGGER session_is_counted AFTER INSERT ON session
BEGIN
  INSERT INTO session_words VALUES (NEW.words, NEW.removed IS NULL, NEW.removed IS NOT NULL)
  ON CONFLICT (words) DO UPDATE SET listed = listed + excluded.listed, removed = removed + excluded.removed;
END;
CREATE TRIGGER session_is_counted_again AFTER UPDATE OF words, removed ON session
WHEN OLD.words <> NEW.words OR (OLD.removed IS NULL) <> (NEW.removed IS NULL)
BEGIN
  UPDATE session_words
  SET listed = listed - (OLD.removed IS NULL), removed = removed - (OLD.removed IS NOT NULL)
  WHERE words = OLD.words;
  INSERT INTO session_words VALUES (NEW.words, NEW.removed IS NULL, NEW.removed IS NOT NULL)
  ON CONFLICT (words) DO UPDATE SET listed = listed + excluded.listed, removed = removed + excluded.removed;
  DELETE FROM session_words WHERE words = OLD.words AND listed = 0 AND removed = 0;
END;

-- The orders of the list, and one that leads from words to all a list is ordered by but the last change.
CREATE INDEX listed_newest ON session (id DESC) WHERE removed IS NULL;
CREATE INDEX listed_touched ON session (touched DESC, id DESC) WHERE removed IS NULL;
CREATE INDEX listed_printed ON session (printed_at DESC, id DESC) WHERE removed IS NULL;
CREATE INDEX listed_paper ON session (paper COLLATE NOCASE, id DESC) WHERE removed IS NULL;
CREATE INDEX listed_printer ON session (printer COLLATE NOCASE, id DESC) WHERE removed IS NULL;
CREATE INDEX listed_state ON session (state, id DESC) WHERE removed IS NULL;
CREATE INDEX listed_words ON session (words, paper, printer, state, printed_at) WHERE removed IS NULL;
CREATE INDEX removed_last ON session (removed DESC, id DESC) WHERE removed IS NOT NULL;
