"""Places in a TOML text: the line of a key path, and what `tomllib` did not understand, in plain words.

Standard library only. Paths are written as messages show them: `patch[12].source[1]`, indices from 0.
"""

import re
from bisect import bisect_left
from collections.abc import Mapping

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACES = re.compile(r"[ \t]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_SCALAR = re.compile(r"[^,\]}#\n]*")
_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)")
_SYNTAX = {  # how the parser's sentences begin, and what was found
    "Expected '=' after a key": "a key without an equals sign after it",
    'Expected "\'"': "text without its closing quotation mark",
    "Expected '\"'": "text without its closing quotation mark",
    "Expected ']": "the name of a table without its closing bracket",
    "Expected newline": "more after the end of a value",
    "Invalid initial character": "a key that does not begin with a letter, digit, - or _",
    "Invalid statement": "a line that is neither a key nor a table",
    "Invalid value": "no value, or one without quotation marks",
    "Invalid date": "a date or time that does not exist",
    "Unclosed array": "a list without its closing bracket",
    "Unclosed inline table": "a table without its closing brace",
    "Unterminated string": "text without its closing quotation mark",
    "Unescaped": "a backslash that stands for no character",
    "Illegal character": "a character that may not stand there",
    "Found invalid character": "a character that may not stand there",
    "Cannot": "a name that occurs before",
    "Duplicate": "a name that occurs before",
}


def syntax(problem: str) -> tuple[str, str]:
    """Where (`line 3, column 9`, or the end) and what the parser found that is not TOML, from its sentence.

    >>> syntax("Invalid value (at line 3, column 9)")
    ('line 3, column 9', 'no value, or one without quotation marks')
    """
    at = _PLACE.search(problem)
    place = f"line {at[1]}, column {at[2]}" if at and at[1] else "at its end"
    found = next((words for start, words in _SYNTAX.items() if problem.startswith(start)), "something else")
    return place, found


def lines_of(text: str) -> Mapping[str, int]:
    """The line (from 1) of every key, table and list item, by its path."""
    scan = _Scan(text)
    scan.document()
    return scan.lines


def line_of(lines: Mapping[str, int], path: str) -> int | None:
    """The line of a path, or of the nearest table or list around it, where a missing key belongs."""
    while path:
        if path in lines:
            return lines[path]
        cut = max(path.rfind("."), path.rfind("["))
        path = path[:cut] if cut > 0 else ""
    return None


class _Scan:
    """One walk over the text; it trusts that the text is TOML."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self._ends = [found.start() for found in re.finditer("\n", text)]
        self.lines: dict[str, int] = {}
        self._counts: dict[str, int] = {}  # tables so far in an array of tables, by path

    def document(self) -> None:
        """Note the line of every key, table and list item in `lines`."""
        table = ""
        self._skip(_BLANK)
        while self.at < len(self.text):
            if self.text.startswith("[[", self.at):
                self.at += 2
                path = self._resolved(self._keys())
                self.at += 2
                index = self._counts[path] = self._counts.get(path, -1) + 1
                self._note(path)
                table = f"{path}[{index}]"
                self._note(table)
            elif self.text[self.at] == "[":
                self.at += 1
                table = self._resolved(self._keys())
                self.at += 1
                self._note(table)
            else:
                self._assignment(table)
            self._skip(_BLANK)

    def _assignment(self, table: str) -> None:
        line = self._line()
        path = table
        for key in self._keys():
            path = f"{path}.{key}" if path else key
            self.lines.setdefault(path, line)
        self.at += 1  # the equals sign
        self._skip(_SPACES)
        self._value(path)

    def _value(self, path: str) -> None:
        first = self.text[self.at]
        if first in "\"'":
            self._string()
        elif first == "[":
            self._list(path)
        elif first == "{":
            self._inline(path)
        else:
            self._skip(_SCALAR)

    def _list(self, path: str) -> None:
        self.at += 1
        index = 0
        while True:
            self._skip(_BLANK)
            if self.text[self.at] == "]":
                self.at += 1
                return
            if self.text[self.at] == ",":
                self.at += 1
                continue
            item = f"{path}[{index}]"
            self._note(item)
            self._value(item)
            index += 1

    def _inline(self, path: str) -> None:
        self.at += 1
        while True:
            self._skip(_BLANK)
            if self.text[self.at] == "}":
                self.at += 1
                return
            if self.text[self.at] == ",":
                self.at += 1
                continue
            self._assignment(path)

    def _keys(self) -> list[str]:
        """A dotted key; the scan then stands at what follows it."""
        keys = []
        while True:
            self._skip(_SPACES)
            if self.text[self.at] in "\"'":
                keys.append(self._string())
            else:
                start = self.at
                self._skip(_BARE_KEY)
                keys.append(self.text[start : self.at])
            self._skip(_SPACES)
            if self.text[self.at] != ".":
                return keys
            self.at += 1

    def _resolved(self, keys: list[str]) -> str:
        """A header's path: on its way an array of tables stands for its latest table."""
        path = ""
        for place, key in enumerate(keys):
            path = f"{path}.{key}" if path else key
            if place < len(keys) - 1 and path in self._counts:
                path = f"{path}[{self._counts[path]}]"
        return path

    def _string(self) -> str:
        quote = self.text[self.at]
        if self.text.startswith(quote * 3, self.at):
            return self._long_string(quote)
        start = self.at = self.at + 1
        while self.text[self.at] != quote:
            self.at += 2 if quote == '"' and self.text[self.at] == "\\" else 1
        self.at += 1
        return self.text[start : self.at - 1]

    def _long_string(self, quote: str) -> str:
        start = self.at = self.at + 3
        while not self.text.startswith(quote * 3, self.at):
            self.at += 2 if quote == '"' and self.text[self.at] == "\\" else 1
        while self.text.startswith(quote * 4, self.at):  # up to two quotes may close the text itself
            self.at += 1
        self.at += 3
        return self.text[start : self.at - 3]

    def _skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self.at)
        self.at = found.end() if found else self.at

    def _note(self, path: str) -> None:
        self.lines.setdefault(path, self._line())

    def _line(self) -> int:
        return bisect_left(self._ends, self.at) + 1
