"""A comparison in words: which prints differ for a use, in what and how surely, and what would settle more.

Only rounds under letters tell prints apart by eye, and what they say stands last. All other words are made of
readings held against their repeats, and of grades held against what viewings vary by. Groups are not ranks,
and a print that lies between two others stands in a group with each.
"""

from collections.abc import Iterable, Sequence
from itertools import combinations
from typing import Final

from evaluation.judgement.matrix import Matrix, PrintColumn
from evaluation.judgement.standing import Between, better, between, groups, ranked
from evaluation.judgement.two_prints import Difference, Word
from evaluation.plain_text import capital, listed, lower_first
from evaluation.session import for_use

LEGEND: Final = (
    "Alike: within repeats, and graded alike. Measured: beyond repeats; large: and large enough to be seen. "
    "By grade: graded further apart than viewings vary, the readings alike. Apart: both. Contradict: both, "
    "the other way round. Open, and the question mark among the eye's grades: graded apart by no more than "
    "viewings vary. No word is a judgement of two prints side by side."
)
NOBODY: Final = "Nobody has looked at them side by side."
_DIFFER: Final[dict[Word, str]] = {  # how a sentence says the words that keep two prints apart
    "large": "measurably, by enough to be seen, in {}",
    "apart": "to eye and readings in {}",
    "by grade": "by grade alone in {}",
    "contradict": "in {}, where eye and readings contradict each other",
}
_SMALLER: Final[dict[Word, str]] = {
    "measured": "Measured",
    "open": "Graded apart by no more than viewings vary",
}
_OTHERWISE: Final = (
    "alike in all that this sheet shows; only another sheet, or pictures of your own, would show more"
)
_SPREAD_UNKNOWN: Final = "Three copies of each would separate smaller differences from the spread of sheets."
# What to do about a region that could not be compared, by how its reason begins; "" where nothing would help.
_REMEDIES: Final = (
    ("eye and readings disagree", "settle {region} of session {session} in Weigh first"),
    ("not graded", "grade {region} of session {session}"),
    ("graded under another light", "grade {region} of both under one light"),
    (
        "one was graded beside another print",
        "grade {region} of both alike, each by itself or each beside a print",
    ),
    ("measurement condition not stated", "state the condition under which each was read"),
    ("read with another instrument", "read both with one instrument"),
    ("another sheet", "print both from one sheet"),
    ("no colour in the mode", ""),
)
_NOT_ON_SHEET: Final = "their sheets have too little of what this use weighs"
_MOST_NAMED: Final = 4
_Step = tuple[str, str]  # words, with a place for regions, and the region they are for


def sentences(matrix: Matrix, use: str) -> tuple[str, ...]:
    """What differs for a use: a sentence or two for each group, for the prints alone, for what is unknown."""
    words, unknown = differing(matrix, use)
    return (*words, *unknown, _side_by_side(matrix)) if words or unknown else ()


def differing(matrix: Matrix, use: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The sentences on what differs and what does not, and those on what could not be compared."""
    ids = [column.session for column in matrix.columns]
    base = matrix.base
    found = groups(matrix, use)
    if found is None:  # before all were compared with all: each against the base
        pairs = [one for other in ids if other != base and (one := between(matrix, base, other, use))]
        near = [one for one in pairs if one.standing in ("near", "open")]
        words = [_near(matrix, (base, one.b), [one], use) for one in near]
    else:
        pairs = [one for a, b in combinations(ids, 2) if (one := between(matrix, a, b, use))]
        words = [
            _near(matrix, group, [one for one in pairs if {one.a, one.b} <= set(group)], use)
            for group in found
            if len(group) > 1
        ]
    apart = [one for one in pairs if one.standing == "apart"]
    words += _apart(matrix, apart, use)
    return tuple(words), tuple(_unknown(matrix, pairs, use))


def _side_by_side(matrix: Matrix) -> str:
    """What came of rounds under letters; else which prints were graded with another beside them: that is a
    grade, and no comparison.
    """
    if matrix.beside:
        return f"Side by side under letters: {' '.join(matrix.beside)}"
    ids = {column.session for column in matrix.columns}
    beside = [
        f"session {column.session} was graded with {listed([str(one) for one in sorted(others)])} beside it"
        for column in matrix.columns
        if (others := column.beside & ids)
    ]
    told = f"{'; '.join(beside)}; no other was looked at side by side."
    return capital(told) if beside else NOBODY


def review(matrix: Matrix, use: str) -> str:
    """The sentence for the review: as `sentences`, with the papers' names in place of bare numbers."""
    named = ", ".join(f"{name(matrix, column)} (session {column.session})" for column in matrix.columns)
    return f"Compared: {named}. {' '.join(sentences(matrix, use))}"


def in_order(matrix: Matrix, use: str) -> str:
    """The prints in order for a use, where grades give one, else why they give none; "" before all were
    compared with all.
    """
    found = ranked(matrix, use)
    if found is None:
        return ""
    if len(found) > 1:
        told = [listed([str(one) for one in group]) for group in found]
        return f"In order {for_use(use)}: {', then '.join(told)}.{_within(found)}"
    return f"No order {for_use(use)}: {_no_order(matrix, use)}."


def _within(found: Sequence[Sequence[int]]) -> str:
    several = [listed([str(one) for one in group]) for group in found if len(group) > 1]
    return f" No order within {' or within '.join(several)}." if several else ""


def _no_order(matrix: Matrix, use: str) -> str:
    """Why there is no order: better here and worse there, too little known, or no difference."""
    for a, b in combinations([column.session for column in matrix.columns], 2):
        found = better(matrix, a, b, use)
        if found is None:
            return f"too little is known of {a} and {b}"
        if found[0] and found[1]:
            return f"{a} is better in {_named(found[0])}, {b} in {_named(found[1])}"
    return "no print is better than all others by enough"


def separators(matrix: Matrix, use: str) -> tuple[str, ...]:
    """What would settle more: each step once, with the pairs it is for."""
    steps: dict[_Step, list[str]] = {}
    titles = {row.id: lower_first(row.title) for row in matrix.rows}
    for a, b in combinations([column.session for column in matrix.columns], 2):
        found = between(matrix, a, b, use)
        if found is None or found.standing == "apart":
            continue
        remedies = (_remedy(one, titles[one.region]) for one in found.uncompared)
        todo = list(dict.fromkeys(step for step in remedies if step[0]))
        if look := (*found.titles("measured"), *found.titles("open")):
            todo.append((f"look at {listed(look[:_MOST_NAMED])} of both side by side", ""))
        for step in todo or [(_OTHERWISE, "")]:
            steps.setdefault(step, []).append(f"{a} and {b}")
    joined: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for (step_words, region), pairs in steps.items():
        # What concerns one session says so itself, whichever others it is held against.
        joined.setdefault((step_words, () if " of session " in step_words else tuple(pairs)), []).append(
            region
        )
    told = []
    for (step_words, whose), regions in joined.items():
        what = f"{step_words.replace('{region}', _named(regions))}."
        told.append(f"{_few(whose)}: {what}" if whose else capital(what))
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


def name(matrix: Matrix, column: PrintColumn) -> str:
    """A print by its paper, and by what else it takes to tell it from the others by name."""
    shown = column.condition.paper or "paper not named"
    same = [other for other in matrix.columns if other.condition.paper == column.condition.paper]
    for field, label in (("quality", "quality "), ("driver_mode", ""), ("printer", ""), ("profile", "")):
        own = getattr(column.condition, field)
        if own and len({getattr(other.condition, field) for other in same}) > 1:
            return f"{shown}, {label}{own}"
    return shown


def _near(matrix: Matrix, group: Sequence[int], pairs: Sequence[Between], use: str) -> str:
    """Prints of which nothing is known that differs by enough, with all that differs by less."""
    who = _sessions([str(one) for one in group])
    smaller = {word: _titles(one.titles(word) for one in pairs) for word in _SMALLER}
    titles = {row.id: lower_first(row.title) for row in matrix.rows}
    left = _titles((titles[cell.region] for cell in one.uncompared) for one in pairs)
    how_far = _how_far(pairs)
    if any(smaller.values()) or left:
        words = f"{who} show no difference large enough to be seen {for_use(use)}, {how_far}"
    else:
        words = f"{who} are alike {for_use(use)}, {how_far}"
    if changed := _one_change(matrix, group):
        words += f"; printed with another {changed}"
    words += "."
    for word, said in _SMALLER.items():
        if smaller[word]:
            words += f" {said}: {', '.join(smaller[word])}."
    if left:
        words += f" Not compared: {', '.join(left)}."
    return words


def _how_far(pairs: Sequence[Between]) -> str:
    """On what a likeness rests; of several pairs, on what all of them rest."""
    read, graded = all(one.read for one in pairs), all(one.graded for one in pairs)
    if read and graded:
        return "as far as looked and read"
    return "as far as read" if read else "as far as looked" if graded else "as far as looked or read"


def _apart(matrix: Matrix, pairs: Sequence[Between], use: str) -> list[str]:
    """Pairs that differ, in the words of what they differ in; a shared list of regions once."""
    by_words: dict[str, list[str]] = {}
    for one in pairs:
        parts = [said.format(_named(one.titles(word))) for word, said in _DIFFER.items() if one.titles(word)]
        by_words.setdefault(listed(parts), []).append(f"{one.a} and {one.b}")
    return [
        f"{_few(who)} differ {for_use(use)} {words}." if k == 0 else f"{_few(who)} differ {words}."
        for k, (words, who) in enumerate(by_words.items())
    ]


def _named(titles: Sequence[str]) -> str:
    """
    >>> _named(["a", "b", "c", "d", "e", "f"])
    'a, b, c, d and 2 more'
    """
    left = len(titles) - _MOST_NAMED
    return f"{', '.join(titles[:_MOST_NAMED])} and {left} more" if left > 0 else listed(titles)


def _unknown(matrix: Matrix, pairs: Sequence[Between], use: str) -> list[str]:
    """Pairs of which too little could be compared, by the obstacle to most of the use's weight."""
    weights = matrix.weights.get(use, {})
    share = {row.id: weights.get(row.kind, 0.0) for row in matrix.rows}
    by_reason: dict[tuple[str, str], list[str]] = {}
    for one in pairs:
        if one.standing == "unknown":
            in_the_way = {_NOT_ON_SHEET: sum(weights.values()) - one.weight}
            for cell in one.uncompared:
                in_the_way[cell.reason] = in_the_way.get(cell.reason, 0.0) + share[cell.region]
            partly = any(word != "not comparable" for word in one.by_word)
            words = "Too little could be compared" if partly else "Not comparable"
            most = max(in_the_way, key=lambda reason: in_the_way[reason])
            by_reason.setdefault((words, most), []).append(f"{one.a} and {one.b}")
    return [f"{words}: {_few(who)} ({why})." for (words, why), who in by_reason.items()]


def _one_change(matrix: Matrix, group: Sequence[int]) -> str:
    """What alone was changed between the prints of a group, where it was one thing."""
    conditions = [matrix.column(one).condition for one in group]
    changed = [
        (words, dict.fromkeys(getattr(condition, field) for condition in conditions))
        for field, words in (
            ("printer", "printer"),
            ("paper", "paper"),
            ("quality", "quality setting"),
            ("driver_mode", "driver's mode"),
            ("intent", "intent"),
        )
        if len({getattr(condition, field) for condition in conditions}) > 1
    ]
    if len(changed) != 1:
        return ""
    words, values = changed[0]
    return f"{words} ({', '.join(str(value or 'not said') for value in values)})"


def _remedy(found: Difference, title: str) -> _Step:
    """What to do, with the region's title where the words name it; "" where nothing would help."""
    at = found.reason.rpartition(" ")[2]
    for begins, step in _REMEDIES:
        if found.reason.startswith(begins):
            step = step.replace("{session}", at)
            return step, title if "{region}" in step else ""
    return "read {region} of both under one condition", title


def _titles(found: Iterable[Iterable[str]]) -> list[str]:
    return list(dict.fromkeys(title for titles in found for title in titles))


def _sessions(numbers: Sequence[str]) -> str:
    return f"Session{'s' if len(numbers) > 1 else ''} {listed(numbers)}"
