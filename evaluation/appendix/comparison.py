"""Several prints compared: grades side by side, each against the base, and the sentence for the review."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from evaluation.appendix.article import answerable, ordered, six_lines
from evaluation.appendix.case import Case, Edition
from evaluation.appendix.document import Block, Facts, Opening, Paragraph, Points, Section
from evaluation.judgement.compare import Difference
from evaluation.plain_text import DIFFERENCES, difference, listed, lower_first
from evaluation.telling import article
from evaluation.telling.comparison import LEGEND
from evaluation.telling.curves.page import eye_and_instrument
from evaluation.telling.figure import Figure
from evaluation.telling.numbers import GRADE_DIGITS, NOTHING, grade, minus
from evaluation.telling.table import Table
from evaluation.telling.wording import folded, sentence

_ACROSS = 4  # sessions beside the base in one table
_LEGEND = f"{LEGEND} A difference is the grade of the print minus that of the base. {DIFFERENCES}"

NOT_KNOWN = "How another sheet of the same print would differ: one copy of each was judged."


@dataclass(frozen=True, slots=True)
class Compared:
    """One region of every session, in their order.

    grades       combined; None where there is none to compare
    differences  from the base; None for the base itself and where nothing was compared
    """

    title: str
    grades: tuple[float | None, ...]
    differences: tuple[Difference | None, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Sessions beside each other, the base among them. `review` is the sentence to quote, for one use."""

    base: int
    sessions: tuple[int, ...]
    names: tuple[str, ...]
    rows: tuple[Compared, ...]
    review: str
    would_part: tuple[str, ...] = ()
    caveats: tuple[str, ...] = ()


def fronts(cases: tuple[Case, ...], edition: Edition, comparison: Comparison | None) -> Section:
    """Page 1 of several prints: each verdict, what carries it, the grades of all at one scale, six lines."""
    verdicts: list[tuple[str, str]] = []
    reasons: list[tuple[str, str]] = []
    for case in cases:
        use = [each for each in ordered(case) if each.use in answerable(case, edition)]
        told = article.verdicts([replace(each, reasons=(), would_decide=None) for each in use], ())
        name = f"{case.session.id} {folded(case.session.condition.paper) or 'paper not said'}:"
        verdicts.append(
            (name, f" {lower_first(' '.join(f'{word}{rest}' for word, rest in told)) or 'no verdict.'}")
        )
        apart = article.reasons(case.session, case.weighing, case.shown)[2:]
        reasons += [
            (f"Session {case.session.id}: {lower_first(claim)}", evidence) for claim, evidence in apart
        ]
    if comparison is not None:
        _, _, said = folded(comparison.review).partition(". ")  # the first sentence names the prints
        reasons.insert(0, ("What differs.", said or folded(comparison.review)))
    grouped: dict[tuple[str, str], list[str]] = {}
    for case in cases:
        for name, text in six_lines(case, edition.choices.observers):
            if name not in ("Paper and black", "Not known"):
                grouped.setdefault((name, text), []).append(str(case.session.id))
    lines = [(f"{name}, {listed(ids)}", text) for (name, text), ids in sorted(grouped.items(), key=_by_name)]
    known = Facts((*lines, ("Not known", NOT_KNOWN)))
    return Section("summary", "Summary", (Opening(tuple(verdicts), tuple(reasons)), *matrices(cases), known))


def _by_name(found: tuple[tuple[str, str], list[str]]) -> int:
    return ("Printed", "Judged by", "Light", "Measured").index(found[0][0])


def matrices(cases: tuple[Case, ...]) -> Iterator[Figure]:
    """One panel of narrow rulers a sheet: prints of different sheets are never mixed."""
    sheets: dict[tuple[str, ...], list[Case]] = {}
    for case in cases:
        sheets.setdefault(tuple(folded(each.title) for each in case.weighing.findings), []).append(case)
    for k, (names, prints) in enumerate(sheets.items()):
        panels = tuple(f"{case.session.id} {folded(case.session.condition.paper)}" for case in prints)
        lines = []
        flags = []
        for panel, case in zip(panels, prints, strict=True):
            drawn = eye_and_instrument(case.weighing.findings, case.shown, "")
            if drawn is None:
                continue
            rows = {row: names.index(name) for row, name in enumerate(drawn.row_names)}
            for line in drawn.lines:
                lines.append(replace(line, label=panel, y=tuple(float(rows[int(y)]) for y in line.y)))
            flags += [f"{panel}: {name}" for name in drawn.flags]
        if lines:
            yield Figure(
                id=f"grades-{k + 1}",
                title="Grades of eye and instrument, a column a print",
                alt=" ".join(_alt(case) for case in prints),
                x="grade",
                y="",
                lines=tuple(lines),
                row_names=names,
                panels=panels,
                flags=tuple(flags),
            )


def _alt(case: Case) -> str:
    found = eye_and_instrument(case.weighing.findings, case.shown, "")
    return f"Session {case.session.id}. {found.alt}" if found is not None else ""


def compared(comparison: Comparison) -> Section:
    """The section "Comparison"."""
    blocks: list[Block] = []
    others = [
        place
        for place, session in enumerate(comparison.sessions)
        if session != comparison.base and any(_comparable(row.differences[place]) for row in comparison.rows)
    ]
    for start in range(0, len(others), _ACROSS):
        blocks.append(_table(comparison, others[start : start + _ACROSS]))
    blocks.append(Paragraph(_LEGEND, "note"))
    if reasons := _reasons(comparison):
        blocks.append(Points("Why some could not be compared", reasons))
    if comparison.would_part:
        parting = tuple(sentence(each) for each in comparison.would_part)
        blocks.append(Points("What would settle more", parting))
    blocks += [Paragraph(sentence(caveat), "caution") for caveat in comparison.caveats]
    return Section("comparison", "Comparison", tuple(blocks))


def _comparable(found: Difference | None) -> bool:
    return found is not None and found.word != "not comparable"


def _table(comparison: Comparison, places: list[int]) -> Table:
    """The base and some of the others: as many as stand beside each other on a page."""
    base = comparison.sessions.index(comparison.base)
    shown = [base, *places]
    names = [f"{comparison.sessions[place]}, {folded(comparison.names[place])}" for place in shown]
    return Table(
        f"Combined grades, and differences from session {comparison.base}",
        ("region", f"{names[0]} (base)", *names[1:]),
        tuple(
            (folded(row.title), *(_cell(row.grades[place], row.differences[place]) for place in shown))
            for row in comparison.rows
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
    for row in comparison.rows:
        for one in row.differences:
            if one is not None and one.word == "not comparable" and one.reason:
                found.setdefault(one.reason, {})[folded(row.title).lower()] = None
    return tuple(sentence(f"{reason}: {listed(list(titles))}") for reason, titles in found.items())
