"""The one content tree of an appendix, built by pure functions; every form of it renders the same tree."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from evaluation.appendix.article import body, front
from evaluation.appendix.case import Case, Edition, Parts
from evaluation.appendix.compared import MOST_DRAWN, article_of, curves, in_grades, tracks
from evaluation.appendix.comparison import Comparison, fronts, names_of
from evaluation.appendix.document import (
    ANNEXE,
    Document,
    Facts,
    Opening,
    Paragraph,
    Section,
    figures_in,
    harmless,
    walked,
)
from evaluation.appendix.facts import OfSession, facts_section
from evaluation.appendix.growth import stepped_through
from evaluation.appendix.judged import judged
from evaluation.appendix.measured import how_measured
from evaluation.appendix.neutrality import neutrality
from evaluation.appendix.neutrality_columns import beside as beside_each_other
from evaluation.appendix.neutrality_columns import quoted
from evaluation.appendix.observers import OfPrint, by_observer
from evaluation.appendix.origins import in_short, notes, settings, sources, versions
from evaluation.appendix.printed import how_printed, printed
from evaluation.appendix.questions import questions
from evaluation.appendix.regions import figures_of, regions
from evaluation.appendix.sidebyside import rounds_in_full, side_by_side
from evaluation.appendix.summary import causes, conclusions, session_title
from evaluation.judgement.beside.result import RoundsResult
from evaluation.judgement.settings_in_order import Series
from evaluation.loan import ReaderQuestion
from evaluation.telling.figure import Figure
from evaluation.telling.neutrality.prints import Neutrality
from evaluation.telling.wording import folded, sentence

QUOTED: Final = 3  # prints whose greys, observers, counts and facts stand in the article itself
_AS_DATA: Final = "Answers and numbers are in the data files, in the folder next to this one."


def tells_of_greys(parts: Parts, prints: int) -> bool:
    """Whether the neutrality records are wanted: an article quotes how those of a few prints compare."""
    return parts in ("whole", "neutrality") or (parts == "article" and 1 < prints <= QUOTED)


def build(
    cases: tuple[Case, ...],
    edition: Edition,
    comparison: Comparison = (),
    greys: Neutrality | None = None,
    beside: tuple[RoundsResult, ...] = (),
    settings_in_order: Series | None = None,
    asked: Sequence[ReaderQuestion] = (),
    facts: tuple[OfSession, ...] = (),
    observers: tuple[OfPrint, ...] = (),
) -> Document:
    """The appendix of one session or several, in the order given. Raises ValueError without any.

    `greys`: how the neutrality of several compares.
    `beside`: what rounds say in which these prints lay side by side.
    `observers`: of each print that several people graded, what they made of it.
    `facts`: what readers ask for and nobody grades.
    `settings_in_order`: the settings of one printer and paper, where they are what the sessions differ in.
    `asked`: readers' questions about these prints that were answered.
    """
    if not cases:
        raise ValueError("an appendix speaks of at least one session")
    parts = edition.choices.parts
    alone = len(cases) == 1
    few = len(cases) <= QUOTED
    figures = {case.session.id: figures_of(case, _prefix(case)) for case in cases}
    # Page 1 of a neutrality record shows the greys, every other the grades.
    if alone:
        sections = [front(cases[0], edition, _track(cases[0], figures) if parts == "neutrality" else ())]
    else:
        greys_drawn = tracks(cases, names_of(cases, comparison), figures) if parts == "neutrality" else ()
        sections = [fronts(cases, edition, comparison, tuple(greys_drawn))]
    if alone and parts in ("article", "whole"):
        sections += body(cases[0], figures[cases[0].session.id], _prefix(cases[0]))
        if cases[0].weighing.causes:
            sections.append(causes(cases[0], _prefix(cases[0])))
    if not alone and parts in ("article", "whole"):
        sections += article_of(cases, comparison, figures, side_by_side(beside, counted=few))
    of_observers = by_observer(observers, edition.choices.observers, known=_caveats(comparison), alone=alone)
    if parts in ("article", "whole"):
        sections += of_observers if few else ()
        sections += side_by_side(beside, counted=True) if alone else ()
    in_words = _greys(greys, comparison) if not alone and greys is not None and greys.quote else None
    if in_words and parts in ("article", "whole") and few:
        sections.append(in_words)
    if settings_in_order is not None and parts in ("article", "whole"):
        sections.append(stepped_through(settings_in_order))
    told_facts = facts_section(facts)
    if parts in ("article", "whole") and told_facts is not None and few:
        sections.append(told_facts)
    steps: tuple[Section, ...] = ()
    if parts == "neutrality":
        if greys is not None and (both := beside_each_other(cases, greys)) is not None:
            record, every_step = both
            sections.append(record)
            steps = (every_step,)
        else:
            for case in cases:
                sections += _of_session(case, edition, figures[case.session.id], alone=alone)
    if asked and parts in ("article", "whole"):
        sections.append(questions(asked, edition.choices.observers))
    if parts == "summary":  # one page: what it rests on stands under it, without a heading
        sections[0] = replace(sections[0], blocks=(*sections[0].blocks, in_short(edition)))
    else:
        sections += [notes(edition), *steps]
    if parts == "whole":
        sections += _annexe(cases, edition, figures, sections)
        further = [in_grades(comparison)] if comparison else []
        further += rounds_in_full(beside, edition.choices.observers)
        kept = (*of_observers, in_words, told_facts)
        further += [each for each in kept if each is not None and each not in sections]
        if len(cases) > MOST_DRAWN:
            drawn = tuple(curves(cases, names_of(cases, comparison), figures))
            further.append(Section("curves", "Curves at one scale", drawn))
        first = next(k for k, section in enumerate(sections) if section.id == ANNEXE) + 1
        sections[first:first] = further
    document = Document(
        title=_title(cases),
        subtitle=_subtitle(cases),
        written=edition.written,
        version=edition.version,
        sections=tuple(sections),
        findings=tuple(case.findings for case in cases),
        house=edition.style.house,
        paper=edition.choices.paper or edition.style.paper,
    )
    return harmless(document)  # type: ignore[no-any-return]


def _greys(greys: Neutrality, comparison: Comparison) -> Section:
    """How the neutrality of several compares; what limits the whole comparison is not repeated."""
    said = _caveats(comparison)
    kept = [each for each in greys.caveats if not any(one.startswith(sentence(each)) for one in said)]
    told = quoted(replace(greys, caveats=tuple(kept), prints=greys.known))
    return Section("greys", "Neutrality side by side", tuple(told))


def _caveats(comparison: Comparison) -> tuple[str, ...]:
    return tuple(sentence(caveat) for one in comparison for caveat in one.caveats)


def beginning_words(document: Document) -> str:
    """How the document will begin, as plain text: what Write up shows before anything is written."""
    lines = []
    for section in walked(document.sections[:1]):
        if section.title != "Summary":
            lines.append(section.title)
        for block in section.blocks:
            match block:
                case Opening():
                    lines += [f"{word}{rest}" for word, rest in block.verdicts]
                    lines += [block.mind] if block.mind else []
                    lines += [f"{claim} {evidence}" for claim, evidence in block.reasons]
                case Facts():
                    lines += [f"{name}: {value}" for name, value in block.rows]
                case Paragraph():
                    lines.append(block.text)
    return "\n".join(lines)


def _annexe(
    cases: tuple[Case, ...],
    edition: Edition,
    figures: Mapping[int, Mapping[str, tuple[Figure, ...]]],
    before: Sequence[Section],
) -> Iterator[Section]:
    """Everything behind the article; a figure that stands there already is not shown twice."""
    in_full = len(cases) <= QUOTED
    told = f"Every {'answer, number, ' * in_full}limit and source behind the article."
    told += "" if in_full else f" {_AS_DATA}"
    yield Section(ANNEXE, "Annexe", (Paragraph(told),))
    drawn = {
        figure.id
        for section in walked(tuple(before))
        for block in section.blocks
        for figure in figures_in(block)
    }
    for case in cases:
        kept = {
            region: tuple(each for each in found if each.id not in drawn)
            for region, found in figures[case.session.id].items()
        }
        yield from _of_session(case, edition, kept, alone=len(cases) == 1, in_full=in_full)
    yield from (settings(edition), sources(cases, edition), versions(cases, edition))


def _prefix(case: Case) -> str:
    return f"session-{case.session.id}"


def answers_as_data(parts: Parts, prints: int) -> bool:
    """Whether every answer and number of so many prints stands in the data files alone."""
    return parts == "whole" and prints > QUOTED


def _of_session(
    case: Case,
    edition: Edition,
    figures: Mapping[str, tuple[Figure, ...]],
    *,
    alone: bool,
    in_full: bool = True,
) -> list[Section]:
    """The sections of one session: on their own level when it is the only one, else under its name."""
    naming, prefix = edition.choices.observers, _prefix(case)
    if edition.choices.parts == "neutrality":
        parts: list[Section | None] = [neutrality(case, prefix) or _no_record(prefix)]
    else:
        parts = [
            printed(case, naming, prefix),
            judged(case, naming, prefix),
            how_measured(case, prefix),
            regions(case, edition, prefix, figures, in_full=in_full),
            neutrality(case, prefix, in_full=in_full),
            conclusions(case, prefix),
            None if alone else causes(case, prefix),
        ]
    there = [part for part in parts if part is not None]
    return there if alone else [Section(prefix, session_title(case), (), tuple(there))]


def _track(case: Case, figures: Mapping[int, Mapping[str, tuple[Figure, ...]]]) -> tuple[Figure, ...]:
    """The greys of a print whose record may be shown; none without one."""
    record = case.greys.record if case.greys is not None else None
    if record is None or record.region not in case.shown:
        return ()
    return tuple(figures[case.session.id].get(record.region, ()))


def _no_record(prefix: str) -> Section:
    told = "No greys are on record: none were read, or their region has no grade yet."
    return Section(f"{prefix}-neutrality", "Neutrality record", (Paragraph(told, "caution"),))


def _title(cases: tuple[Case, ...]) -> str:
    papers = list(dict.fromkeys(folded(case.session.condition.paper) or "a print" for case in cases))
    if len(papers) > 3:
        return f"Review appendix: {len(cases)} sessions on {len(papers)} papers"
    return f"Review appendix: {', '.join(papers)}"


def _subtitle(cases: tuple[Case, ...]) -> str:
    if len(cases) == 1:
        case = cases[0]
        return sentence(f"session {case.session.id}, {how_printed(case.session.condition)}")
    return sentence("sessions " + ", ".join(str(case.session.id) for case in cases))
