"""Several prints compared: grades side by side, each against the base, and the sentence for the review."""

from dataclasses import dataclass

from evaluation.appendix.document import Block, Paragraph, Points, Section
from evaluation.judgement.compare import Difference
from evaluation.plain_text import DIFFERENCES, difference, listed
from evaluation.telling.comparison import LEGEND
from evaluation.telling.numbers import GRADE_DIGITS, NOTHING, grade, minus
from evaluation.telling.table import Table
from evaluation.telling.wording import folded, sentence

_ACROSS = 4  # sessions beside the base in one table
_LEGEND = f"{LEGEND} A difference is the grade of the print minus that of the base. {DIFFERENCES}"


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


def compared(comparison: Comparison) -> Section:
    """The section "Comparison"."""
    blocks: list[Block] = [Paragraph(folded(comparison.review), "lead")]
    others = [place for place, session in enumerate(comparison.sessions) if session != comparison.base]
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
