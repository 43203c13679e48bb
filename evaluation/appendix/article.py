"""The article: page 1 with verdict, reasons, grades, six lines; where the print departs; tables."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Final

from evaluation.appendix.case import Case, Edition, Naming
from evaluation.appendix.document import Block, Departure, Facts, Opening, Paragraph, Section
from evaluation.appendix.paper_and_black import in_a_line
from evaluation.judgement.opinion import Finding, Opinion, Verdict
from evaluation.plain_text import capital, listed, lower_first
from evaluation.session import READINESS, SERIOUS_READINESS, Session
from evaluation.sheet.layout import SheetRegion
from evaluation.telling import article, region_answers
from evaluation.telling.curves import to_see
from evaluation.telling.curves.page import eye_and_instrument
from evaluation.telling.entries import detail_shown
from evaluation.telling.figure import Figure
from evaluation.telling.findings import COLOURLESS
from evaluation.telling.numbers import NOTHING, grade, number
from evaluation.telling.table import Table
from evaluation.telling.wording import counted, day, folded, sentence

Clause = str | tuple[datetime, ...]  # in words; or when it was done, told as days


_ORDINALS: Final = ("first", "second", "third", "fourth", "fifth")


def front(case: Case, edition: Edition, drawn: tuple[Figure, ...] = ()) -> Section:
    """What a reader in a hurry needs: verdict, reasons, the grades or `drawn` in their place, six lines."""
    use = tuple(verdict for verdict in ordered(case) if verdict.use in answerable(case, edition))
    elsewhere = [each for each in case.weighing.verdicts if each not in answerable(case, edition)]
    accepted = bool(use) and use[0].verdict.startswith("accepted")
    blocks: list[Block] = [
        Opening(
            verdicts=article.verdicts(use, elsewhere),
            mind=article.mind(case.weighing.findings, case.shown) if accepted else "",
            reasons=article.reasons(case.session, case.weighing, case.shown),
        )
    ]
    blocks += drawn
    if not drawn and (
        grades := eye_and_instrument(case.weighing.findings, case.shown, f"session-{case.session.id}")
    ):
        blocks.append(grades)
    blocks.append(
        Facts(
            tuple(
                (name, sentence(", ".join(one if isinstance(one, str) else days(one) for one in clauses)))
                for name, clauses in six_lines(case, edition.choices.observers)
            )
        )
    )
    if left_out := [
        folded(each.title).lower() for each in case.weighing.findings if each.agreement == "left out"
    ]:
        blocks.append(Paragraph(f"Left out: {listed(left_out)}. {COLOURLESS}"))
    if missing := _not_done(case.session):
        blocks.append(Paragraph(f"Not done when judged: {listed(missing)}.", "caution"))
    return Section("summary", "Summary", tuple(blocks))


def ordered(case: Case) -> list[Verdict]:
    """The use the print was made for leads."""
    made_for = case.session.condition.made_for
    return sorted(case.weighing.verdicts.values(), key=lambda verdict: verdict.use != made_for)


def answerable(case: Case, edition: Edition) -> frozenset[str]:
    """The uses whose key regions all stand on this sheet; it cannot speak of the others."""
    kinds = {region.kind for region in case.sheet.regions}
    made_for = case.session.condition.made_for
    return frozenset(
        use for use, weights in edition.tables.uses.items() if use == made_for or kinds >= set(weights.key)
    )


def days(moments: Sequence[datetime]) -> str:
    """Up to two days by date, more of them by the first and the last.

    >>> days([datetime(2026, 11, 24), datetime(2026, 11, 25), datetime(2026, 11, 25, 14)])
    '24 Nov 2026 and 25 Nov 2026'
    """
    named = list(dict.fromkeys(map(day, sorted(moments))))
    return listed(named) if len(named) < 3 else f"{named[0]} to {named[-1]}"


def six_lines(case: Case, naming: Naming) -> Iterator[tuple[str, tuple[Clause, ...]]]:
    """Printed, judged by, light, measured, paper and black, not known: a line of clauses each."""
    session, condition = case.session, case.session.condition
    width, height = case.sheet.size_mm
    how: list[Clause] = [
        f"sheet of {number(width, 0)} × {number(height, 0)} mm",
        f"{len(case.sheet.patches)} patches",
    ]
    how += [folded(condition.intent)] if condition.intent else []
    how += ["black point compensation"] if condition.black_point_compensation else []
    how += [(condition.printed_at,)] if condition.printed_at else []
    yield "Printed", tuple(how)
    yield "Judged by", _judges(session, naming)
    light = session.readiness.get("viewing_light")
    told = detail_shown(light.detail) if light and light.mark == "done" else ""
    said = told or "not measured" if light and light.mark == "done" else "not confirmed"
    yield "Light", (said,)
    yield "Measured", _measured(case)
    yield "Paper and black", (article.set_units(in_a_line(case)) or "not read, or not shown yet",)
    yield "Not known", (article.not_known(session, case.weighing.findings, case.shown),)


def _judges(session: Session, naming: Naming) -> tuple[Clause, ...]:
    people = len({viewing.observer for viewing in session.heard})
    if not people:
        return ("nobody yet",)
    kinds = {"full": "full", "quick": "short"}
    full = {kinds.get(viewing.kind, viewing.kind) for viewing in session.heard}
    vision = session.readiness.get("colour_vision")
    tested = (f"colour vision: {detail_shown(vision.detail)}",) if vision and vision.detail else ()
    viewings = counted(len(session.heard), f"{' and '.join(sorted(full))} viewing")
    names = list(dict.fromkeys(folded(viewing.observer) for viewing in session.heard))
    who = listed(names) if naming == "name" else counted(people, "observer")
    return (who, *tested, viewings, tuple(viewing.started for viewing in session.heard))


def _measured(case: Case) -> tuple[str, ...]:
    if not case.taken:
        return ("nothing",)
    told = []
    for taken in case.taken:
        stated = taken.run.stated
        told.append(
            f"{counted(len(taken.matched), 'patch', 'patches')} in {stated.condition or 'no condition named'}"
        )
    stated = case.taken[0].run.stated
    more = [each for each in (stated.geometry, f"{stated.backing} backing" if stated.backing else "") if each]
    repeats = case.taken[0].repeats
    if repeats.mcdm is not None:
        more.append(f"repeats {number(repeats.mcdm, 2)} ΔE*ab from their mean")
    return (listed(told), *map(folded, more))


def _not_done(session: Session) -> list[str]:
    return [
        READINESS[item]
        for item in SERIOUS_READINESS
        if (made := session.readiness.get(item)) is None or made.mark in (None, "not done")
    ]


def body(case: Case, figures: Mapping[str, tuple[Figure, ...]], prefix: str) -> Iterator[Section]:
    """Where the print departs, where nothing is amiss, and the viewings of whoever looked again."""
    found = [each for each in case.weighing.findings if each.eye or each.region in case.shown]
    full = [each for each in found if article.departs(each, each.region in case.shown)]
    if full:
        blocks: list[Block] = [Paragraph(article.RULE, "note")]
        blocks += [_departure(case, each, figures.get(each.region, ())) for each in full]
        yield Section(f"{prefix}-departs", "Where the print departs", tuple(blocks))
    if calm := [each for each in found if each not in full]:
        yield Section(f"{prefix}-calm", "Where nothing is amiss", (_calm(case, calm),))
    looked = [viewing.observer for viewing in case.session.viewings]
    if len(set(looked)) < len(looked) <= len(_ORDINALS):
        yield _viewings(case, prefix)


def _departure(case: Case, finding: Finding, figures: tuple[Figure, ...]) -> Departure:
    shown = finding.region in case.shown
    told = article.departure(case.session, _region(case, finding), finding, shown)
    figure = None
    if figures and finding.instrument is not None and to_see.shows(figures[0]):
        figure = replace(figures[0], size="S", caption=to_see.caption(figures[0]))
    return Departure(folded(finding.title), told.grades, told.told, figure)


def _calm(case: Case, found: list[Finding]) -> Table:
    return Table(
        "Regions of grade 4.5 and better",
        ("region", "eye", "instrument", "what was seen", "what was read"),
        tuple(
            (
                folded(each.title),
                _grade(each.eye),  # with its error it stands on page 1
                _grade(each.instrument if each.region in case.shown else None),
                region_answers.seen(case.session, _region(case, each), each, most=1),
                article.read(each, each.region in case.shown),
            )
            for each in found
        ),
        right=(1, 2),
    )


def _grade(found: Opinion | None) -> str:
    return NOTHING if found is None else grade(found.grade)


def _viewings(case: Case, prefix: str) -> Section:
    session = case.session
    regions = [region for region in case.sheet.regions if region.whole is not None]
    when = days([viewing.started for viewing in session.viewings])
    some, of = region_answers.changes_of(session, regions)
    names = [
        f"{name}, set aside" if viewing.aside else name
        for name, viewing in zip(_ORDINALS, session.viewings, strict=False)
    ]
    joined: dict[tuple[str, ...], list[str]] = {}  # regions of which the same is told share a row
    for region in regions:
        grades = (region_answers.grade_in(session, region, each.ordinal) for each in session.viewings)
        told = (*grades, region_answers.changed(session, region))
        joined.setdefault(told, []).append(lower_first(folded(region.title)))
    table = Table(
        f"{when}; {some or 'none'} of {counted(of, 'answer')} behind the grades changed",
        ("region", *names, "answers that changed"),
        tuple((capital(", ".join(titles)), *told) for told, titles in joined.items()),
        right=tuple(range(1, 1 + len(names))),
    )
    return Section(f"{prefix}-viewings", "Viewings side by side", (table,))


def _region(case: Case, finding: Finding) -> SheetRegion | None:
    return next((each for each in case.sheet.regions if each.id == finding.region), None)
