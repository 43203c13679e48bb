"""Several prints compared: page 1, with each verdict, what differs, the grades at one scale, six lines."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from evaluation.appendix.article import answerable, days, ordered, six_lines
from evaluation.appendix.case import Case, Edition
from evaluation.appendix.document import Facts, Multiples, Opening, Section
from evaluation.judgement.two_prints import Difference
from evaluation.plain_text import listed, lower_first
from evaluation.telling import article
from evaluation.telling.curves.page import eye_and_instrument
from evaluation.telling.figure import Figure
from evaluation.telling.findings import LOOK_AGAIN
from evaluation.telling.several import not_beside
from evaluation.telling.wording import folded, sentence

_NOT_COMPARABLE = "Not comparable"
NOT_KNOWN = "How another sheet of the same print would differ: one copy of each was judged."


@dataclass(frozen=True, slots=True)
class RegionCompared:
    """One region of every session, in their order.

    grades       combined; None where there is none to compare
    differences  from the base; None for the base itself and where nothing was compared
    """

    region: str
    title: str
    grades: tuple[float | None, ...]
    differences: tuple[Difference | None, ...]


@dataclass(frozen=True, slots=True)
class Alongside:
    """Prints of one sheet beside each other, the base among them.

    names       of the papers, with what else it takes to tell them apart
    differs     sentences on what differs; unknown: on what could not be compared
    beside      what came of rounds under letters
    would_part  what would settle more
    """

    base: int
    sessions: tuple[int, ...]
    names: tuple[str, ...]
    rows: tuple[RegionCompared, ...]
    differs: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    would_part: tuple[str, ...] = ()
    caveats: tuple[str, ...] = ()


Comparison = tuple[Alongside, ...]  # one for each sheet that several prints are of


def by_sheet(cases: tuple[Case, ...]) -> tuple[tuple[Case, ...], ...]:
    """Prints of one sheet together: those of different sheets are never mixed."""
    sheets: dict[tuple[str, ...], list[Case]] = {}
    for case in cases:
        sheets.setdefault(tuple(region.id for region in case.sheet.regions), []).append(case)
    return tuple(map(tuple, sheets.values()))


def names_of(cases: tuple[Case, ...], comparison: Comparison) -> Mapping[int, str]:
    """What each print is called: its number, its paper, and what tells it from others on that paper."""
    own = {case.session.id: folded(case.session.condition.paper) or "paper not said" for case in cases}
    for one in comparison:
        own |= {session: folded(name) for session, name in zip(one.sessions, one.names, strict=True)}
    return {session: f"{session} {name}" for session, name in own.items()}


def fronts(
    cases: tuple[Case, ...], edition: Edition, comparison: Comparison, drawn: tuple[Multiples, ...] = ()
) -> Section:
    """Page 1 of several prints: each verdict, what carries it, the grades of all at one scale, six lines.

    `drawn` stands in place of the grades.
    """
    names = names_of(cases, comparison)
    verdicts: list[tuple[str, str]] = []
    reasons: list[tuple[str, str]] = []
    if differs := [each for one in comparison for each in one.differs]:
        reasons.append(("What differs.", " ".join(differs)))
    if beside := [each for one in comparison for each in one.beside]:
        reasons.append(("Side by side under letters.", " ".join(beside)))
    for case in cases:
        use = [each for each in ordered(case) if each.use in answerable(case, edition)]
        told = article.verdicts([replace(each, reasons=(), would_decide=None) for each in use], ())
        verdict = lower_first(" ".join(f"{word}{rest}" for word, rest in told)) or "no verdict."
        verdicts.append((f"{names[case.session.id]}:", f" {verdict}"))
        apart = article.reasons(case.session, case.weighing, case.shown)[2:]
        for claim, evidence in apart:  # what to do about it stands under what would settle more
            cut = evidence.removesuffix(f" {LOOK_AGAIN}.")
            reasons.append((f"Session {case.session.id}: {lower_first(claim)}", cut))
    known = Facts((*_lines(cases, edition), *_not_comparable(cases, comparison), ("Not known", NOT_KNOWN)))
    opening = Opening(tuple(verdicts), tuple(reasons))
    return Section("summary", "Summary", (opening, *(drawn or matrices(cases, names)), known))


def _lines(cases: tuple[Case, ...], edition: Edition) -> Iterator[tuple[str, str]]:
    """The lines of all prints: what holds for all once, then what is each one's own."""
    found: dict[str, dict[int, list[str]]] = {}
    moments: dict[str, list[datetime]] = {}
    for case in cases:
        for name, clauses in six_lines(case, edition.choices.observers):
            if name not in ("Paper and black", "Not known"):
                found.setdefault(name, {})[case.session.id] = [c for c in clauses if isinstance(c, str)]
                done = (c for c in clauses if not isinstance(c, str))
                moments.setdefault(name, []).extend(moment for each in done for moment in each)
    for name, by_session in found.items():
        holds: dict[str, list[str]] = {}
        for session, own in by_session.items():
            for clause in own:
                holds.setdefault(clause, []).append(str(session))
        together: dict[tuple[str, ...], list[str]] = {}
        for clause, sessions in holds.items():
            together.setdefault(tuple(sessions), []).append(clause)
        told = [
            ", ".join(shared) if len(sessions) == len(cases) else f"{listed(sessions)}: {', '.join(shared)}"
            for sessions, shared in sorted(together.items(), key=lambda each: -len(each[0]))
        ]
        when = [days(moments[name])] if moments[name] else []
        yield name, sentence("; ".join([*told, *when]))


def _not_comparable(cases: tuple[Case, ...], comparison: Comparison) -> Iterator[tuple[str, str]]:
    other_sheets = not_beside([[case.session.id for case in each] for each in by_sheet(cases)])
    told = [
        *([sentence(other_sheets)] if other_sheets else []),
        *(u for one in comparison for u in one.unknown),
    ]
    if told:  # its name is not said twice
        yield _NOT_COMPARABLE, " ".join(each.removeprefix(f"{_NOT_COMPARABLE}: ") for each in told)


def matrices(cases: tuple[Case, ...], names: Mapping[int, str]) -> Iterator[Figure]:
    """One panel of narrow rulers a sheet."""
    for k, prints in enumerate(by_sheet(cases)):
        rows = tuple(dict.fromkeys(folded(each.title) for case in prints for each in case.weighing.findings))
        panels, lines, flags = [], [], []
        for case in prints:
            drawn = eye_and_instrument(case.weighing.findings, case.shown, "")
            if drawn is None:  # nobody judged it: its verdict says so
                continue
            panel = names[case.session.id]
            panels.append(panel)
            places = {row: rows.index(name) for row, name in enumerate(drawn.row_names)}
            for line in drawn.lines:
                lines.append(replace(line, label=panel, y=tuple(float(places[int(y)]) for y in line.y)))
            flags += [f"{panel}: {name}" for name in drawn.flags]
        if lines:
            yield Figure(
                id=f"grades-{k + 1}",
                title="Grades of eye and instrument, a column a print",
                caption=f"Likewise {_numbers(prints)}, printed from another sheet." if k else "",
                alt=" ".join(_alt(case) for case in prints),
                x="grade",
                y="",
                lines=tuple(lines),
                row_names=rows,
                panels=tuple(panels),
                flags=tuple(flags),
            )


def _alt(case: Case) -> str:
    found = eye_and_instrument(case.weighing.findings, case.shown, "")
    return f"Session {case.session.id}. {found.alt}" if found is not None else ""


def _numbers(cases: tuple[Case, ...]) -> str:
    named = listed([str(case.session.id) for case in cases])
    return f"session{'s' if len(cases) > 1 else ''} {named}"
