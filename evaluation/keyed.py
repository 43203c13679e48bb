"""TOML read key by key: every mistake is collected with its key path and reported in one problem.

Used for all files that people write: maps, conditions, grades, settings. Standard library only.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any, NoReturn, TypeVar

from evaluation.errors import SheetProblem
from evaluation.plain_text import shortened
from evaluation.toml_guard import values

T = TypeVar("T", bound=str)

_KINDS = {str: "text", bool: "true or false", int: "a whole number", float: "a number", dict: "a table"}
_YES = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}
_MOST_SHOWN = 12
_FIRST_YEAR, _LAST_YEAR = 1990, 2100  # of a print or a reading; far ends overflow with a change of zone


def parsed(text: str, where: str, *, what: str, form: bool = False) -> "Keyed":
    """The top table of a TOML text; `where` is what messages call the file, `what` the outcome of a mistake.

    In a `form` an empty text is a blank: its key is known and has no value. Numbers, times, yes and no, and
    lists may be written there between the quotation marks.

    Raises SheetProblem, with the line, for text that is not TOML.
    """
    return Keyed(values(text, where, what), "", _Mistakes(where, what, text, form))


class _Mistakes:
    """The mistakes found so far in one file."""

    def __init__(self, where: str, what: str, text: str, form: bool) -> None:
        self.where = where
        self.what = what
        self.text = text
        self.form = form
        self.found: list[tuple[str, str]] = []  # key path, sentence
        self.known: set[tuple[str, str]] = set()  # noun and list of known names, listed once

    def stop(self) -> NoReturn:
        """Raise SheetProblem with the first mistakes, each with its line and key path."""
        from evaluation.toml_lines import line_of, lines_of  # only for a mistake

        lines = lines_of(self.text)
        shown = []
        for path, sentence in self.found[:_MOST_SHOWN]:
            line = line_of(lines, path)
            shown.append(f"line {line}, {path}: {sentence}" if line else f"{path}: {sentence}")
        rest = len(self.found) - len(shown)
        more = f" And {rest} more." if rest else ""
        what = f"{'; '.join(shown)}.{more} {self.what}"
        raise SheetProblem(what, where=self.where, remedy="Correct the file and try again.")


class Keyed:
    """One table of a TOML file. Getters return a harmless default after noting a mistake; `finish` raises."""

    def __init__(self, table: Mapping[str, Any], path: str, mistakes: _Mistakes) -> None:
        self._table = table
        self._path = path
        self._mistakes = mistakes
        self._read: set[str] = set()

    def path(self, key: str) -> str:
        """The path of a key from the top of the file: `thresholds.flare`."""
        return f"{self._path}.{key}" if self._path else key

    def wrong(self, key: str, expected: str, found: object) -> None:
        """Note a mistake at a key: what was expected there, and what was found."""
        self.note(key, f"expected {expected}, found {_shown(found)}")

    def note(self, key: str, sentence: str) -> None:
        """Note a mistake at a key in words of the caller, a clause without capital and full stop."""
        self._mistakes.found.append((self.path(key), sentence))

    def finish(self) -> None:
        """Raise SheetProblem for what was noted anywhere in the file; call it on the top table at the end."""
        if self._mistakes.found:
            self._mistakes.stop()

    def names(self) -> tuple[str, ...]:
        """The keys of the table, in the order of the file."""
        return tuple(self._table)

    def has(self, key: str) -> bool:
        """Whether the key has a value, which a blank in a form is not; the key is known from then on."""
        self._read.add(key)
        return key in self._table and not self._blank(self._table[key])

    def _blank(self, value: object) -> bool:
        return self._mistakes.form and isinstance(value, str) and not value.strip()

    def only(self, *known: str) -> None:
        """Note every key that was neither read nor is in `known`."""
        for key in self._table:
            if key not in self._read and key not in known:
                self.unknown(key, "key", sorted(self._read | set(known)))

    def unknown(self, key: str, noun: str, known: Iterable[str]) -> None:
        """Note a name that means nothing here; the first of its kind lists the known ones."""
        names = ", ".join(known)
        known_before = (noun, names) in self._mistakes.known
        self._mistakes.known.add((noun, names))
        self.note(key, f"unknown {noun}" if known_before else f"unknown {noun} (known here: {names})")

    def text(self, key: str, default: str | None = None) -> str:
        """A text; without a default the key is required, and so for all getters below."""
        return str(self._get(key, str, default if default is not None else _Required, ""))

    def number(self, key: str, default: float | None = None, *, low: float, high: float) -> float:
        """A number from `low` to `high`; `low` where it is wrong."""
        value = self._get(key, (float, int), default if default is not None else _Required, low)
        return self._within(key, value, low, high)

    def maybe_number(self, key: str, *, low: float, high: float) -> float | None:
        """A number from `low` to `high`; None where the key is absent or blank."""
        return self.number(key, low=low, high=high) if self.has(key) else None

    def whole(self, key: str, default: int | None = None, *, low: int, high: int) -> int:
        """A whole number from `low` to `high`; `low` where it is wrong."""
        value = self._get(key, int, default if default is not None else _Required, low)
        return int(self._within(key, value, low, high))

    def yes(self, key: str, default: bool | None = None) -> bool:
        """true or false; False where it is wrong."""
        return bool(self._get(key, bool, default if default is not None else _Required, False))

    def time(self, key: str) -> datetime | None:
        """A TOML date and time; one without an offset is local time. None where the key is absent."""
        value = self._get(key, datetime, None, None)
        if not isinstance(value, datetime):
            return None
        if not _FIRST_YEAR <= value.year <= _LAST_YEAR:
            self.wrong(key, f"a year from {_FIRST_YEAR} to {_LAST_YEAR}", value)
            return None
        return value.astimezone()

    def one_of(self, key: str, allowed: Sequence[T], default: T | None = None) -> T:
        """One of the allowed words; the first of them where it is wrong."""
        value = self._get(key, str, default if default is not None else _Required, allowed[0])
        if value not in allowed:
            self.wrong(key, "one of " + ", ".join(f"“{word}”" for word in allowed), value)
            return allowed[0]
        return value  # type: ignore[no-any-return]

    def numbers(self, key: str, length: int, *, low: float, high: float) -> tuple[float, ...] | None:
        """A list of `length` numbers within limits; None where the key is absent or wrong."""
        values = self._get(key, list, None, None)
        if not isinstance(values, list):
            return None
        if len(values) != length:
            self.wrong(key, f"a list of {length} numbers", values)
            return None
        for index, value in enumerate(values):
            if isinstance(value, bool) or not isinstance(value, (int, float)):
                self.wrong(f"{key}[{index}]", "a number", value)
                return None
            if not low <= value <= high:
                self.wrong(f"{key}[{index}]", f"a number from {low:g} to {high:g}", value)
                return None
        return tuple(float(value) for value in values)

    def texts(self, key: str, default: Sequence[str] = ()) -> tuple[str, ...]:
        """A list of texts."""
        values = self._get(key, list, list(default), list(default))
        for index, value in enumerate(values):
            if not isinstance(value, str):
                self.wrong(f"{key}[{index}]", "text", value)
                return tuple(default)
        return tuple(values)

    def table(self, key: str) -> "Keyed":
        """A sub-table; empty where absent."""
        return self.inside(key, self._get(key, dict, {}, {}))

    def tables(self, key: str) -> Iterator["Keyed"]:
        """An array of tables, each with its index (from 0) in its path."""
        values = self._get(key, list, [], [])
        for index, value in enumerate(values):
            if isinstance(value, dict):
                yield self.inside(f"{key}[{index}]", value)
            else:
                self.wrong(f"{key}[{index}]", "a table", value)

    def inside(self, key: str, table: Mapping[str, Any]) -> "Keyed":
        """A table found inside the value of a key, such as `faults[2]`."""
        return Keyed(table, self.path(key), self._mistakes)

    def any(self, key: str) -> Any:
        """The value as written, None where absent or blank; the caller checks it."""
        return self._table[key] if self.has(key) else None

    def _get(self, key: str, kind: Any, default: Any, harmless: Any) -> Any:
        if not self.has(key):
            if default is _Required:
                self.note(key, "missing")
                return harmless
            return default
        value = self._table[key]
        if self._mistakes.form and isinstance(value, str):
            value = _filled_in(value, kind)
        if not isinstance(value, kind) or (isinstance(value, bool) and kind is not bool):
            self.wrong(key, _kind_words(kind), value)
            return harmless
        return value

    def _within(self, key: str, value: Any, low: float, high: float) -> float:
        if not low <= value <= high:
            self.wrong(key, f"a number from {low:g} to {high:g}", value)
            return low
        return float(value)


class _Required:
    """Marks a key that must be there."""


def _filled_in(text: str, kind: Any) -> Any:
    """Text from a form as the kind that is expected; unchanged where it cannot be read as that kind."""
    if kind is bool:
        return _YES.get(text.strip().casefold(), text)
    if kind is list:
        return [part.strip() for part in text.split(",")]
    try:
        if kind is datetime:
            return datetime.fromisoformat(text.strip())
        if kind in (int, (float, int)):
            return int(text) if text.strip().isdecimal() else float(text.replace(",", "."))
    except ValueError:
        pass
    return text


def _kind_words(kind: Any) -> str:
    if isinstance(kind, tuple):
        return "a number"
    return {list: "a list", datetime: "a date and time"}.get(kind) or _KINDS[kind]


def _shown(found: object) -> str:
    return shortened(f"“{found}”" if isinstance(found, str) else _toml(found), 40)


def _toml(found: object) -> str:
    if isinstance(found, bool):
        return "true" if found else "false"
    return "a table" if isinstance(found, dict) else str(found)
