"""A comparison in words: which prints can be told apart for a use, in groups, and what would part the rest.

Told apart means by eye: some region that the use weighs differs visibly. Groups are not ranks, and a print
that lies between two others stands in a group with each.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, Literal

from evaluation.judgement.compare import Difference
from evaluation.plain_text import listed
from evaluation.session import for_use
from evaluation.work.compare_matrix import Column, Matrix, pair

Standing = Literal["apart", "tied", "open", "unknown"]

LEGEND: Final = (
    "Alike: within repeats of both. Measured: beyond them, not seen. Visible: large enough to see."
)
_OTHERWISE: Final = (
    "alike in all that this sheet shows; only another sheet, or pictures of your own, would part them"
)
_SPREAD_UNKNOWN: Final = "Three copies of each would tell smaller differences from the spread of sheets."
# What to do about a region that could not be compared, by how its reason begins.
_REMEDIES: Final = (
    ("eye and readings disagree", "settle {region} of session {session} in Weigh first"),
    ("not graded", "grade {region} of session {session}"),
    ("looked at in another light", "look at {region} of both in one light"),
    ("measurement condition not stated", "say under which condition each was read"),
    ("read with another instrument", "read both with one instrument"),
    ("another sheet", "print both from one sheet"),
    ("no colour in the mode", ""),  # nothing would make a ring-around of greys tell
)
_MOST_NAMED: Final = 4
_COVERED: Final = 0.8  # share of the use's weight that must have been compared, as for a verdict


@dataclass(frozen=True, slots=True)
class Between:
    """Two prints for one use: regions by title, as far as the use weighs them.

    standing  apart: told apart by eye; tied: not; open: not, but something could not be compared; unknown:
              too little could
    """

    a: int
    b: int
    standing: Standing
    visible: tuple[str, ...]
    measured: tuple[str, ...]
    uncompared: tuple[Difference, ...]


def between(matrix: Matrix, a: int, b: int, use: str) -> Between | None:
    """How two prints stand to each other; None where they were not compared yet."""
    weights = matrix.weights.get(use, {})
    weighed = {row.id: row.title for row in matrix.rows if weights.get(row.kind, 0) > 0}
    found = matrix.differences.get(pair(a, b))
    if found is None:
        return None
    counted = [one for one in found if one.region in weighed]
    visible, measured = (
        tuple(lower(weighed[one.region]) for one in counted if one.word == word)
        for word in ("visible", "measured")
    )
    uncompared = tuple(one for one in counted if one.word == "not comparable")
    share = {row.id: weights.get(row.kind, 0.0) for row in matrix.rows}
    compared = sum(share[one.region] for one in counted if one.word != "not comparable")
    standing: Standing = "tied"
    if visible:
        standing = "apart"
    elif compared < _COVERED * sum(weights.values()):
        standing = "unknown"
    elif uncompared:
        standing = "open"
    return Between(a, b, standing, visible, measured, uncompared)


def groups(matrix: Matrix, use: str) -> tuple[tuple[int, ...], ...] | None:
    """Largest sets of prints in which no two can be told apart; None unless all were compared with all."""
    ids = [column.session for column in matrix.columns]
    near: dict[int, set[int]] = {one: set() for one in ids}
    for a, b in combinations(ids, 2):
        found = between(matrix, a, b, use)
        if found is None:
            return None
        if found.standing in ("tied", "open"):
            near[a].add(b)
            near[b].add(a)
    place = {one: k for k, one in enumerate(ids)}
    sets = [tuple(sorted(each, key=place.__getitem__)) for each in _cliques(set(), set(ids), set(), near)]
    return tuple(sorted(sets, key=lambda each: [place[one] for one in each]))


def sentences(matrix: Matrix, use: str) -> tuple[str, ...]:
    """What can be told apart for a use, a sentence or two for each group."""
    found = groups(matrix, use)
    if found is None:
        return _against_base(matrix, use)
    words = []
    for group in found:
        if len(group) > 1:
            words.append(_tied(matrix, group, use))
    unknown = [column.session for column in matrix.columns if _not_compared(matrix, column.session, use)]
    alone = [group[0] for group in found if len(group) == 1 and group[0] not in unknown]
    if alone and len(alone) == len(matrix.columns):
        words.append(f"All of them can be told apart by eye {for_use(use)}.")
    elif alone:
        words.append(_alone(matrix, alone, use))
    if unknown:
        words.append(f"{_sessions([str(one) for one in unknown])}: too little could be compared with others.")
    return tuple(words)


def review(matrix: Matrix, use: str) -> str:
    """The sentence for the review: as `sentences`, with the papers' names in place of bare numbers."""
    named = ", ".join(f"{name(matrix, column)} (session {column.session})" for column in matrix.columns)
    return f"Compared: {named}. {' '.join(sentences(matrix, use))}"


def separators(matrix: Matrix, use: str) -> tuple[str, ...]:
    """What would part the prints that cannot be told apart: each step once, with the pairs it is for."""
    steps: dict[str, list[str]] = {}
    titles = {row.id: lower(row.title) for row in matrix.rows}
    for a, b in combinations([column.session for column in matrix.columns], 2):
        found = between(matrix, a, b, use)
        if found is None or found.standing == "apart":
            continue
        steps_to_take = (_remedy(one, titles[one.region]) for one in found.uncompared)
        todo = list(dict.fromkeys(step for step in steps_to_take if step))
        if found.measured:
            where = ", ".join(found.measured[:_MOST_NAMED])
            todo.append(f"{where} in the readings only; both prints side by side would show it or not")
        for step in todo[:_MOST_NAMED] or [_OTHERWISE]:
            steps.setdefault(step, []).append(f"{a} and {b}")
    told = [f"{_few(pairs)}: {step}." for step, pairs in steps.items()]
    if told and any("sheet to sheet" in caveat for caveat in matrix.caveats):
        told.append(_SPREAD_UNKNOWN)
    return tuple(told)


def _few(pairs: Sequence[str]) -> str:
    """
    >>> _few(["1 and 2"]), _few(["1 and 2", "1 and 3", "1 and 4", "2 and 3", "2 and 4"])
    ('1 and 2', '1 and 2; 1 and 3; 1 and 4; 2 and 3; 1 more pair')
    """
    left = len(pairs) - _MOST_NAMED
    more = [f"{left} more pair{'s' if left > 1 else ''}"] if left > 0 else []
    return "; ".join([*pairs[:_MOST_NAMED], *more])


def name(matrix: Matrix, column: Column) -> str:
    """A print by its paper, and by what else it takes to tell it from the others by name."""
    shown = column.condition.paper or "paper not named"
    same = [other for other in matrix.columns if other.condition.paper == column.condition.paper]
    for field, label in (("quality", "quality "), ("driver_mode", ""), ("printer", ""), ("profile", "")):
        own = getattr(column.condition, field)
        if own and len({getattr(other.condition, field) for other in same}) > 1:
            return f"{shown}, {label}{own}"
    return shown


def reason(found: Difference, title: str) -> str:
    """One cell in a sentence: the word, and why."""
    against = f"{title}, session {found.b} against {found.a}"
    match found.word:
        case "alike":
            return f"{against}: alike{', by eye alone' if found.reason else ', within repeats'}."
        case "not comparable":
            return f"{against}: not comparable, {found.reason}."
    how = "by eye alone" if found.reason == "by eye alone" else f"most in {found.reason}"
    return f"{against}: {found.word}, {how}."


def lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _not_compared(matrix: Matrix, session: int, use: str) -> bool:
    """Whether it could be compared with none of the others for this use."""
    others = [column.session for column in matrix.columns if column.session != session]
    found = [one for other in others if (one := between(matrix, session, other, use))]
    return bool(found) and all(one.standing == "unknown" for one in found)


def _against_base(matrix: Matrix, use: str) -> tuple[str, ...]:
    """Before all were compared with all: each against the base."""
    base = matrix.base
    others = [column.session for column in matrix.columns if column.session != base]
    found = [one for other in others if (one := between(matrix, base, other, use))]
    words = []
    if same := [str(one.b) for one in found if one.standing in ("tied", "open")]:
        words.append(f"{_sessions(same)} cannot be told apart from {base} by eye {for_use(use)}.")
    if apart := [str(one.b) for one in found if one.standing == "apart"]:
        words.append(f"{_sessions(apart)} can be told apart from {base}.")
    if unknown := [str(one.b) for one in found if one.standing == "unknown"]:
        words.append(f"{_sessions(unknown)}: too little could be compared with {base}.")
    return tuple(words)


def _tied(matrix: Matrix, group: Sequence[int], use: str) -> str:
    pairs = [one for a, b in combinations(group, 2) if (one := between(matrix, a, b, use))]
    words = f"{_sessions([str(one) for one in group])} cannot be told apart by eye {for_use(use)}"
    if changed := _one_change(matrix, group):
        words += f"; they differ in {changed}"
    words += "."
    if measured := _titles(one.measured for one in pairs):
        words += f" In the readings only: {', '.join(measured)}."
    titles = {row.id: lower(row.title) for row in matrix.rows}
    if left := _titles((titles[cell.region] for cell in one.uncompared) for one in pairs):
        words += f" Not compared: {', '.join(left)}."
    return words


def _alone(matrix: Matrix, alone: Sequence[int], use: str) -> str:
    """Prints that differ visibly from every other they could be compared with, and where."""
    ids = [column.session for column in matrix.columns]
    parts, all_known = [], True
    for one in alone:
        found = [it for other in ids if other != one and (it := between(matrix, one, other, use))]
        apart = [set(it.visible) for it in found if it.standing == "apart"]
        all_known = all_known and len(apart) == len(found)
        shared = [lower(row.title) for row in matrix.rows if all(lower(row.title) in each for each in apart)]
        parts.append(f"{one}" + (f" in {', '.join(shared[:_MOST_NAMED])}" if apart and shared else ""))
    every = "every other" if all_known else "every other it could be compared with"
    if len(parts) == 1:
        return f"Session {parts[0]} can be told apart from {every}."
    return f"Told apart from {every}: {'; '.join(parts)}."


def _one_change(matrix: Matrix, group: Sequence[int]) -> str:
    """What alone was changed between the prints of a group, where it was one thing."""
    conditions = [matrix.column(one).condition for one in group]
    changed = [
        (words, dict.fromkeys(getattr(condition, field) for condition in conditions))
        for field, words in (
            ("printer", "the printer"),
            ("paper", "the paper"),
            ("quality", "the quality setting"),
            ("driver_mode", "the driver's mode"),
            ("intent", "the intent"),
        )
        if len({getattr(condition, field) for condition in conditions}) > 1
    ]
    if len(changed) != 1:
        return ""
    words, values = changed[0]
    return f"{words} ({', '.join(str(value or 'not said') for value in values)})"


def _remedy(found: Difference, title: str) -> str:
    at = found.reason.rpartition(" ")[2]
    for begins, step in _REMEDIES:
        if found.reason.startswith(begins):
            return step.format(region=title, session=at)
    return f"read {title} of both under one condition"


def _titles(found: Iterable[Iterable[str]]) -> list[str]:
    return list(dict.fromkeys(title for titles in found for title in titles))


def _sessions(numbers: Sequence[str]) -> str:
    return f"Session{'s' if len(numbers) > 1 else ''} {listed(numbers)}"


def _cliques(
    chosen: set[int], possible: set[int], used: set[int], near: dict[int, set[int]]
) -> list[set[int]]:
    """Maximal sets of neighbours, by Bron and Kerbosch's algorithm 457 (1973) with a pivot."""
    if not possible and not used:
        return [chosen]
    pivot = max(possible | used, key=lambda one: (len(near[one] & possible), -one))
    found = []
    for one in sorted(possible - near[pivot]):
        found += _cliques(chosen | {one}, possible & near[one], used & near[one], near)
        possible = possible - {one}
        used = used | {one}
    return found
