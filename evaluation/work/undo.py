"""What undo and redo turn on a page of the app: only what was entered there, and nothing out of sight.

An action that also changed another page, or more than one row, is offered with a question first.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from evaluation.archive import entries
from evaluation.entry import FACT, Entry
from evaluation.plain_text import listed, shortened
from evaluation.session import ASIDE, Session
from evaluation.telling.entries import told
from evaluation.work import log
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import fields
from evaluation.work.log import Entered

Turn = Literal["undo", "redo"]
Page = Literal["describe", "facts", "prepare", "look", "read", "typed", "weigh", "write_up"]

TITLES: Final[Mapping[Page, str]] = {
    "describe": "Describe",
    "facts": "facts for readers",
    "prepare": "Prepare",
    "look": "Look",
    "read": "Read",
    "typed": "readings typed by hand",
    "weigh": "Weigh",
    "write_up": "Write up",
}
_VERBS: Final[Mapping[Turn, str]] = {"undo": "Undo", "redo": "Redo"}
_ROOM, _QUOTED = 52, 12  # columns of what is quoted and what follows it; at least of what is quoted


@dataclass(frozen=True, slots=True)
class Offer:
    """What comes next to be turned. `question` is "" where the page shows all that would change."""

    entries: tuple[Entry, ...]
    question: str = ""


def offer(
    bench: Bench, session: Session, page: Page, turn: Turn, shows: Callable[[Sequence[Entry]], bool]
) -> Offer | None:
    """The newest action of a page, or None. `shows`: whether the page has in sight what an action changed."""
    found = _next(bench, session, turn, lambda action: _belongs(page, _homes(bench, action)))
    if not found:
        return None
    homes = _homes(bench, found)
    rows = {_row(entry) for entry in found if entry.kind != "again"} or {_row(entry) for entry in found}
    if len(rows) == 1 and all(page in each for each in homes) and _is_drawn(found) and shows(found):
        return Offer(found)
    more = f" and {len(rows) - 1} more" if len(rows) > 1 else ""
    places = listed([title for name, title in TITLES.items() if any(name == each[0] for each in homes)])
    rest = f"{more}, in {places}?"
    first = _words(bench, found[:1], told(found[:1], sheet_of(bench, session)))
    return Offer(found, f"{_VERBS[turn]} “{shortened(first, max(_QUOTED, _ROOM - len(rest)))}”{rest}")


def take(bench: Bench, session_id: int, turn: Turn, offered: Offer) -> Entered | None:
    """Turn what was offered; None when another program did so meanwhile. Raises as `describe.turned`."""
    action = offered.entries[0].action
    verb = log.undo if turn == "undo" else log.redo
    with bench.archive.joined():
        step = verb(bench, session_id, lambda found: found[0].action == action)
        if step is None:
            return None
        step = fields.turned(bench, step)
        return replace(step, words=_words(bench, step.entries, step.words))


def elsewhere(bench: Bench, session: Session, turn: Turn) -> Page | None:
    """The page of the newest action that can be turned at all."""
    found = _next(bench, session, turn, entries.any_action)
    return _homes(bench, found)[0][0] if found else None


def _next(bench: Bench, session: Session, turn: Turn, belongs: entries.Belongs) -> tuple[Entry, ...]:
    viewing = session.viewing.id if session.viewing else None
    look_up = entries.to_undo if turn == "undo" else entries.to_redo
    return look_up(bench.archive, session.id, viewing, belongs)


def _homes(bench: Bench, action: Sequence[Entry]) -> list[tuple[Page, ...]]:
    """For each entry of an action the pages that show it, the one it is entered on first."""
    return [_of_readings(bench, action) if entry.kind == "readings" else _of(entry) for entry in action]


def _belongs(page: Page, homes: Sequence[tuple[Page, ...]]) -> bool:
    """Whether any of it was entered on the page, or all of it can be."""
    return any(page == each[0] for each in homes) or all(page in each for each in homes)


def _words(bench: Bench, action: Sequence[Entry], words: str) -> str:
    """An action in words; readings by the names of their files."""
    if any(entry.kind != "readings" for entry in action):
        return words
    from evaluation.archive import runs  # numpy, which the first steps do without

    heads = runs.heads(bench.archive, [int(entry.subject) for entry in action])
    names = listed(list(dict.fromkeys(head.source_name or "typed by hand" for head in heads)))
    return f"Readings {'taken in' if any(entry.value == 'in' for entry in action) else 'left out'}: {names}"


def _of(entry: Entry) -> tuple[Page, ...]:
    match entry.kind:
        case "condition" if entry.subject.startswith(FACT):
            return ("facts",)
        case "condition":
            return ("look",) if entry.subject == "absent" else ("describe",)
        case "readiness" | "timer":
            return ("prepare",)
        case "again":
            return ("look", "weigh")
        case "remark" if entry.viewing is None:
            found: tuple[Page, ...] = tuple(page for page in TITLES if page == entry.subject)
            return (*found, "typed") if found == ("read",) else found or ("describe",)
        case "remark" if entry.subject == ASIDE:
            return ("weigh",)
        case "written" | "attachment":
            return ("write_up",)
    return ("look",)


def _of_readings(bench: Bench, action: Sequence[Entry]) -> tuple[Page, ...]:
    """A line typed by hand is seen where it was typed; that all of them are left out, in Read as well."""
    from evaluation.archive import runs  # numpy, which the first steps do without

    heads = runs.heads(bench.archive, [int(entry.subject) for entry in action if entry.kind == "readings"])
    if any(head.source is not None for head in heads):
        return ("read",)
    return ("typed",) if any(entry.value == "in" for entry in action) else ("read", "typed")


def _row(entry: Entry) -> tuple[str, ...]:
    """What an entry is about, as a page shows it: one row, one question, one list."""
    match entry.kind:
        case "condition" if entry.subject.startswith("sheet_"):
            return "condition", "sheet_size"
        case "condition":
            return "condition", entry.subject.removesuffix("_digest")
        case "timer":
            return "readiness", "adapted"
        case "fault":
            return "fault", entry.subject.partition("/")[0]
        case "readings":
            return ("readings",)
    return entry.kind, entry.subject


def _is_drawn(action: Sequence[Entry]) -> bool:
    """Whether a page draws it at all: photographs are seen in the appendix alone."""
    return all(entry.kind != "attachment" for entry in action)
