"""The article of several prints: what differs in words, their numbers, curves at one scale, each in a row."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Final

from evaluation.appendix.case import Case
from evaluation.appendix.comparison import Alongside, Comparison, names_of
from evaluation.appendix.document import Block, Multiples, Paragraph, Points, Section
from evaluation.appendix.paper_and_black import in_cells
from evaluation.judgement.two_prints import Difference
from evaluation.plain_text import DIFFERENCES, difference, listed, lower_first
from evaluation.telling import article, several
from evaluation.telling.comparison import LEGEND
from evaluation.telling.curves import at_one_scale
from evaluation.telling.figure import Figure
from evaluation.telling.numbers import GRADE_DIGITS, NOTHING, grade, minus, number
from evaluation.telling.table import Table
from evaluation.telling.wording import folded, sentence

MOST_DRAWN: Final = 8  # prints whose curves the article shows; project's own choice
_ACROSS: Final = 4  # prints beside the base in one table
_GREYS: Final = ("neutral", "mono_neutral")
_LEGEND: Final = f"{LEGEND} A difference is the grade of the print minus that of the base. {DIFFERENCES}"
Figures = Mapping[int, Mapping[str, tuple[Figure, ...]]]  # by session and region


def article_of(
    cases: tuple[Case, ...], comparison: Comparison, figures: Figures, beside: tuple[Section, ...] = ()
) -> Iterator[Section]:
    """What differs in words, the prints in numbers and curves, `beside`, and a row for each session."""
    names = names_of(cases, comparison)
    if comparison:
        yield Section("comparison", "What differs, in words", tuple(_in_words(cases, comparison, names)))
    blocks: list[Block] = list(_numbers(cases, names, figures))
    if len(cases) <= MOST_DRAWN:
        blocks += curves(cases, names, figures)
    if blocks:
        yield Section("papers", "The prints in numbers", tuple(blocks))
    yield from beside
    yield Section("sessions", "Session by session", (_sessions(cases, names),))


def _in_words(cases: tuple[Case, ...], comparison: Comparison, names: Mapping[int, str]) -> Iterator[Block]:
    by_id = {case.session.id: case for case in cases}
    told: list[several.PrintsRow] = []
    for one in comparison:
        prints = [by_id[session] for session in one.sessions if by_id[session].session.viewings]
        if len(prints) < 2:
            prints = [by_id[session] for session in one.sessions]
        places = [one.sessions.index(case.session.id) for case in prints]
        base = next((k for k, place in enumerate(places) if one.sessions[place] == one.base), 0)
        rows = [
            several.PrintsRow(
                row.title,
                tuple(
                    next((f for f in case.weighing.findings if f.region == row.region), None)
                    for case in prints
                ),
                tuple(row.region in case.shown for case in prints),
                tuple(row.differences[place] for place in places),
            )
            for row in one.rows
        ]
        told += rows
        shown = [k for k in range(len(prints)) if k != base]
        for start in range(0, len(shown), _ACROSS):
            kept = [base, *shown[start : start + _ACROSS]]
            cut = [_only(row, kept) for row in rows]
            table = several.in_words(cut, [names[prints[k].session.id] for k in kept], 0)
            yield Table(
                f"Sessions {listed([str(prints[k].session.id) for k in kept])}: the eye leads",
                table.heads,
                table.rows,
            )
    if means := several.meanings(told):
        yield Paragraph(means, "note")
    parting = tuple(sentence(each) for one in comparison for each in one.would_part)
    if parting:
        yield Points("What would settle more", tuple(dict.fromkeys(parting)))
    caveats = dict.fromkeys(article.set_units(sentence(each)) for one in comparison for each in one.caveats)
    yield from (Paragraph(each, "caution") for each in caveats)


def _only(row: several.PrintsRow, kept: Sequence[int]) -> several.PrintsRow:
    return several.PrintsRow(
        row.title,
        tuple(row.found[k] for k in kept),
        tuple(row.shown[k] for k in kept),
        tuple(row.differences[k] for k in kept),
    )


def _numbers(cases: tuple[Case, ...], names: Mapping[int, str], figures: Figures) -> Iterator[Table]:
    """Paper, black, skins and greys of each print in a row; columns that nothing fills are left out."""
    heads = (
        "print",
        "deepest black, D",
        "in a lit room¹",
        "above the paper",
        "whitener, b*",
        "skins, ΔCh",
        f"b* of the greys, ±{at_one_scale.SPARK:g}",
    )
    rows, sparks = [], []
    for case in cases:
        drawn = next((at_one_scale.spark(figure) for figure in _of_kind(case, figures, _GREYS)), None)
        cells = (*in_cells(case), _skins(case), drawn[0] if drawn else NOTHING)
        if {*cells} != {NOTHING}:
            rows.append((names[case.session.id], *cells))
            sparks.append(drawn[1] if drawn else None)
    filled = [k for k in range(len(heads)) if any(row[k] != NOTHING for row in rows)]
    if len(filled) > 1:
        yield Table(
            "Black: visual density. Skins: change with the light, beyond real skin. None of it is graded.",
            tuple(heads[k] for k in filled),
            tuple(tuple(row[k] for k in filled) for row in rows),
            right=tuple(range(1, len(filled))),
            sparks=tuple(sparks) if any(sparks) else (),
        )


def _skins(case: Case) -> str:
    found = (m for each in case.looked for m in each.metrics if m.name == "skin_light_excess")
    return next((number(metric.value, 1) for metric in found), NOTHING)


def _of_kind(case: Case, figures: Figures, kinds: tuple[str, ...]) -> Iterator[Figure]:
    """The first figure of each region of these kinds."""
    for region in case.sheet.regions:
        found = figures[case.session.id].get(region.id, ())
        if region.kind in kinds and found:
            yield found[0]


def curves(cases: tuple[Case, ...], names: Mapping[int, str], figures: Figures) -> Iterator[Multiples]:
    """Greys and saturated colours, a figure a print, all at one scale."""
    yield from tracks(cases, names, figures)
    yield from _multiples(cases, names, figures, ("saturation",), at_one_scale.planes)


def tracks(cases: tuple[Case, ...], names: Mapping[int, str], figures: Figures) -> Iterator[Multiples]:
    """The greys, a figure a print, at one scale."""
    yield from _multiples(cases, names, figures, _GREYS, at_one_scale.greys)


def _multiples(
    cases: tuple[Case, ...],
    names: Mapping[int, str],
    figures: Figures,
    kinds: tuple[str, ...],
    scaled: Callable[[Sequence[at_one_scale.Named]], tuple[str, tuple[Figure, ...]]],
) -> Iterator[Multiples]:
    found = [(names[case.session.id], f) for case in cases for f in _of_kind(case, figures, kinds)]
    if len(found) > 1:
        yield Multiples(*scaled(found))


def _sessions(cases: tuple[Case, ...], names: Mapping[int, str]) -> Table:
    rows = []
    for case in cases:
        eye, readings = (
            f"{claim} {evidence}".strip()
            for claim, evidence in article.reasons(case.session, case.weighing, case.shown)[:2]
        )
        cause = next(iter(case.weighing.causes), None)
        told = "" if cause is None else f" May be: {lower_first(article.cause(cause))}"
        rows.append((names[case.session.id], eye, readings + told))
    return Table("What carries each verdict", ("print", "by eye", "by readings"), tuple(rows))


def in_grades(comparison: Comparison) -> Section:
    """For the annexe: combined grades, differences in grades, and why some could not be compared."""
    blocks: list[Block] = []
    for one in comparison:
        others = [
            place
            for place, session in enumerate(one.sessions)
            if session != one.base and any(_comparable(row.differences[place]) for row in one.rows)
        ]
        for start in range(0, len(others), _ACROSS):
            blocks.append(_table(one, others[start : start + _ACROSS]))
    blocks.append(Paragraph(_LEGEND, "note"))
    if reasons := _reasons(comparison):
        blocks.append(Points("Why some could not be compared", reasons))
    return Section("compared-in-grades", "Compared in grades", tuple(blocks))


def _comparable(found: Difference | None) -> bool:
    return found is not None and found.word != "not comparable"


def _table(one: Alongside, places: list[int]) -> Table:
    """The base and some of the others: as many as stand beside each other on a page."""
    base = one.sessions.index(one.base)
    shown = [base, *places]
    names = [f"{one.sessions[place]}, {folded(one.names[place])}" for place in shown]
    return Table(
        f"Combined grades, and differences from session {one.base}",
        ("region", f"{names[0]} (base)", *names[1:]),
        tuple(
            (folded(row.title), *(_cell(row.grades[place], row.differences[place]) for place in shown))
            for row in one.rows
            if any(row.grades[place] is not None or row.differences[place] for place in shown)
        ),
    )


def _cell(value: float | None, found: Difference | None) -> str:
    shown = NOTHING if value is None else grade(value)
    if found is None:
        return shown
    change = "" if found.difference is None else f" ({minus(difference(found.difference, GRADE_DIGITS))})"
    return f"{shown}{change}, {found.word}"


def _reasons(comparison: Comparison) -> tuple[str, ...]:
    """Each reason once, with the regions it holds for."""
    found: dict[str, dict[str, None]] = {}
    for row in (row for each in comparison for row in each.rows):
        for one in row.differences:
            if one is not None and one.word == "not comparable" and one.reason:
                found.setdefault(one.reason, {})[lower_first(folded(row.title))] = None
    return tuple(sentence(f"{reason}: {listed(list(titles))}") for reason, titles in found.items())
