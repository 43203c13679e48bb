"""A loan: a printer that is here for some weeks, and what is to be done with it. Standard library only.

A loan is the fold of its entries, as a session is of its own; what is entered is never rewritten.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any, Final, Literal

from evaluation.session import Use

LoanKind = Literal[
    "about",  # subject: field of About; value: text, number, true/false, list of numbers
    "paper",  # subject: its name; value: {"settings", "made_for", "maker_profile"}; null takes it off
    "minutes",  # subject: step; value: minutes as its user thinks
    "took",  # subject: step; value: minutes as they were timed; each one counts
    "timer",  # subject: "running"; value: {"step", "since"}
    "session",  # subject: paper and setting; value: the lasting name (uid) of its session
    "done",  # subject: paper, setting and step; value: when, where no session says so itself
    "lost",  # subject: a day; value: true
    "left out",  # subject: paper and setting; value: true
    "question",  # subject: its number; value: {"text", "who", "paper", "region"}
    "answer",  # subject: number of the question; value: {"text", "appendix"}
]
ENOUGH_TIMERS: Final = 3  # from which on the median of one's own counts; own


@dataclass(frozen=True, slots=True)
class LoanDraft:
    """An entry about to be made; `value` is plain JSON, None withdraws what stood there."""

    kind: LoanKind
    subject: str
    value: Any


@dataclass(frozen=True, slots=True)
class LoanEntry:
    """An entry as the archive keeps it. Entries of one key press share `action`."""

    id: int
    kind: LoanKind
    subject: str
    value: Any
    at: datetime
    action: int


@dataclass(frozen=True, slots=True)
class About:
    """What stands fast before the first print. Days of the week are 0 (Monday) to 6."""

    printer: str = ""
    inks: str = ""
    first: date | None = None
    last: date | None = None
    opens: time = time(9)
    closes: time = time(17)
    days: tuple[int, ...] = (0, 1, 2, 3, 4)
    second_viewings: bool = False
    full_list: bool = True


@dataclass(frozen=True, slots=True)
class WantedPaper:
    """A paper and the quality settings wanted on it; `maker_profile`: one may stand in for own charts."""

    name: str
    settings: tuple[str, ...]
    made_for: Use = "general"
    maker_profile: bool = False


@dataclass(frozen=True, slots=True)
class ReaderQuestion:
    """What a reader asked while the printer is here. `appendix` names the file that the answer is in."""

    number: int
    text: str
    asked: datetime
    who: str = ""
    paper: str = ""
    region: str = ""
    answer: str = ""
    answered: datetime | None = None
    appendix: str = ""


@dataclass(frozen=True, slots=True)
class Loan:
    """One loan as its live entries make it. `number` counts the loans of an archive, `uid` lasts."""

    uid: str
    number: int
    begun: datetime
    newest: datetime  # when the last entry was made
    about: About = About()
    papers: tuple[WantedPaper, ...] = ()
    minutes: Mapping[str, float] = field(default_factory=dict)
    took: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    timer: tuple[str, datetime] | None = None
    sessions: Mapping[tuple[str, str], str] = field(default_factory=dict)
    done: Mapping[tuple[str, str, str], datetime] = field(default_factory=dict)
    lost: frozenset[date] = frozenset()
    left_out: frozenset[tuple[str, str]] = frozenset()
    questions: tuple[ReaderQuestion, ...] = ()


def place(*names: str) -> str:
    """The subject of an entry on a paper and a setting, and on one of its steps.

    >>> place("Rag 293", "fine")
    '["Rag 293", "fine"]'
    """
    return json.dumps(names, ensure_ascii=False)


def folded(uid: str, number: int, entries: Sequence[LoanEntry]) -> Loan:
    """The loan that its live entries make, one at least, oldest first.

    Raises ValueError, TypeError or KeyError for nonsense.
    """
    newest: dict[tuple[LoanKind, str], LoanEntry] = {}
    took: dict[str, list[float]] = {}
    for entry in entries:
        if entry.kind == "took":
            took.setdefault(entry.subject, []).append(float(entry.value))
        elif entry.value is None:
            newest.pop((entry.kind, entry.subject), None)
        else:  # a paper that is named again stays where it stood
            newest[entry.kind, entry.subject] = entry
    found = _Found(newest.values())
    running = found.of("timer").get("running")
    return Loan(
        uid,
        number,
        entries[0].at,
        max(entry.at for entry in entries),
        About(**{name: _field(name, one.value) for name, one in found.of("about").items()}),
        tuple(_paper(name, one.value) for name, one in found.of("paper").items()),
        {step: float(one.value) for step, one in found.of("minutes").items()},
        {step: tuple(many) for step, many in took.items()},
        None if running is None else (running.value["step"], datetime.fromisoformat(running.value["since"])),
        {_two(name): str(one.value) for name, one in found.of("session").items()},
        {_three(name): datetime.fromisoformat(one.value) for name, one in found.of("done").items()},
        frozenset(map(date.fromisoformat, found.of("lost"))),
        frozenset(map(_two, found.of("left out"))),
        _questions(found),
    )


class _Found:
    """The entries that count, by kind and subject."""

    def __init__(self, entries: Iterable[LoanEntry]) -> None:
        self._of: dict[LoanKind, dict[str, LoanEntry]] = {}
        for entry in entries:
            self._of.setdefault(entry.kind, {})[entry.subject] = entry

    def of(self, kind: LoanKind) -> Mapping[str, LoanEntry]:
        return self._of.get(kind, {})


def _field(name: str, value: Any) -> Any:
    match name:
        case "first" | "last":
            return date.fromisoformat(value)
        case "opens" | "closes":
            return time.fromisoformat(value)
        case "days":
            return tuple(int(day) for day in value)
        case "second_viewings" | "full_list":
            return bool(value)
        case "printer" | "inks":
            return str(value)
    raise ValueError(f"no field of a loan: {name}")


def _paper(name: str, value: Mapping[str, Any]) -> WantedPaper:
    settings = tuple(map(str, value["settings"]))
    return WantedPaper(name, settings, value["made_for"], bool(value["maker_profile"]))


def _questions(found: _Found) -> tuple[ReaderQuestion, ...]:
    answers = found.of("answer")
    asked = []
    for number, one in found.of("question").items():
        said = answers.get(number)
        answer = {} if said is None else said.value
        asked.append(
            ReaderQuestion(
                int(number),
                _text(one.value, "text"),
                one.at,
                _text(one.value, "who"),
                _text(one.value, "paper"),
                _text(one.value, "region"),
                _text(answer, "text"),
                None if said is None else said.at,
                _text(answer, "appendix"),
            )
        )
    return tuple(asked)


def _text(value: Mapping[str, Any], key: str) -> str:
    """A text of a value; "" where it has none."""
    return str(value.get(key, ""))


def _two(name: str) -> tuple[str, str]:
    first, second = json.loads(name)
    return str(first), str(second)


def _three(name: str) -> tuple[str, str, str]:
    first, second, third = json.loads(name)
    return str(first), str(second), str(third)
