"""Findings by region: eye, instrument, agreement, combined, with the numbers behind them and their limits."""

import base64
from collections.abc import Iterator, Mapping

from evaluation.appendix import three_steps
from evaluation.appendix.case import Case, Edition
from evaluation.appendix.document import Block, Facts, Paragraph, Picture, Points, Section
from evaluation.appendix.judged import faults_and_remarks
from evaluation.judgement.opinion import Finding
from evaluation.metrics.evidence import Metric
from evaluation.plain_text import capital
from evaluation.session import Answer
from evaluation.sheet.layout import Area, SheetRegion
from evaluation.telling.answers import answer_words
from evaluation.telling.curves.page import of_region
from evaluation.telling.figure import Figure
from evaluation.telling.metrics import telling
from evaluation.telling.numbers import NOTHING, grade, measured, opinion
from evaluation.telling.table import Table
from evaluation.telling.wording import folded, sentence, slug, spaced


def overview(case: Case) -> Table:
    """One row a region, as Weigh shows them."""
    rows = []
    for finding in case.weighing.findings:
        shown = finding.region in case.shown
        rows.append(
            (
                title_of(case, finding),
                opinion(finding.eye),
                opinion(finding.instrument) if shown else NOTHING,
                finding.agreement if shown or finding.agreement == "eye only" else _hidden(finding),
                opinion(finding.combined) if shown or finding.instrument is None else NOTHING,
            )
        )
    return Table(
        "Findings by region. Grades 5 to 1, ± one standard error",
        ("region", "eye", "instrument", "agreement", "combined"),
        tuple(rows),
        right=(1, 2, 4),
    )


def regions(
    case: Case, edition: Edition, prefix: str, figures: Mapping[str, tuple[Figure, ...]], *, in_full: bool
) -> Section:
    """The section "Findings by region" of one session; `figures` by region id.

    Not `in_full`: answers, numbers and figures are left out, and with them a region that has nothing else.
    """
    parts = []
    for finding in case.weighing.findings:
        if in_full:
            blocks = _region(case, finding, edition, prefix, figures.get(finding.region, ()))
        else:
            blocks = list(_noted(case, finding, edition, prefix))
        if blocks:
            id_ = f"{prefix}-region-{slug(finding.region)}"
            parts.append(Section(id_, title_of(case, finding), tuple(blocks)))
    return Section(f"{prefix}-regions", "Findings by region", (overview(case),), tuple(parts))


def figures_of(case: Case, prefix: str) -> dict[str, tuple[Figure, ...]]:
    """The figures of every region that may be shown and has readings, by region id."""
    return {
        region.id: of_region(region, case.evidence[region.id], prefix)
        for region in case.sheet.regions
        if region.id in case.shown and region.id in case.evidence
    }


def title_of(case: Case, finding: Finding) -> str:
    """The region's title after the number that is printed beside it on the sheet."""
    for region in case.sheet.regions:
        if region.id == finding.region and region.number is not None:
            return f"{region.number} {folded(finding.title)}"
    return folded(finding.title)


def _hidden(finding: Finding) -> str:
    return "eye only" if finding.eye is not None else "not graded"


def _region(
    case: Case, finding: Finding, edition: Edition, prefix: str, figures: tuple[Figure, ...]
) -> list[Block]:
    region = next((each for each in case.sheet.regions if each.id == finding.region), None)
    shown = finding.region in case.shown
    blocks: list[Block] = [Facts(tuple(_facts(finding, region, shown)))]
    if region is not None:
        blocks += list(_answers(case, region))
    blocks += _noted(case, finding, edition, prefix)
    if shown:
        blocks += list(_numbers(finding, edition.tables.whose_anchors))
        blocks += list(three_steps.of_region(finding))
        blocks += list(figures)
    elif case.taken and region is not None and region.patch_ids:
        blocks.append(
            Paragraph(f"{_who(case)} not graded this region, so nothing read in it is given here.", "caution")
        )
    return blocks


def _noted(case: Case, finding: Finding, edition: Edition, prefix: str) -> Iterator[Block]:
    """Faults, remarks and photographs of a region."""
    if seen := list(faults_and_remarks(case, finding.region, edition.choices.observers)):
        yield Points("Faults and remarks", tuple(f"{who}: {what}" for who, what in seen))
    yield from _pictures(case, finding.region, prefix)


def _who(case: Case) -> str:
    """Who has not: the newest viewing, where an earlier one may have."""
    newest = case.session.viewing
    return f"Viewing {newest.ordinal} has" if newest is not None and newest.ordinal > 1 else "The eye has"


def _facts(finding: Finding, region: SheetRegion | None, shown: bool) -> Iterator[tuple[str, str]]:
    if region is not None and region.shows:
        yield "shows", sentence(region.shows)
    if region is not None and region.area is not None:
        yield "where on the sheet", where_words(region.area)
    if finding.eye is not None:
        yield "eye", f"{opinion(finding.eye)} ({folded(finding.eye.basis)})"
    elif finding.agreement != "left out":
        yield "eye", "not graded"
    if not shown:
        return
    if finding.instrument is not None:
        yield "instrument", f"{opinion(finding.instrument)} ({folded(finding.instrument.basis)})"
    else:
        yield "instrument", "silent"
    yield "agreement", finding.agreement
    if finding.combined is not None:
        yield "combined", opinion(finding.combined)
    elif finding.agreement == "disagree":
        yield "combined", "none: where eye and instrument disagree no mean is shown"
    if finding.why:
        yield "why", sentence(finding.why)


def _answers(case: Case, region: SheetRegion) -> Iterator[Block]:
    """A row a question, a column a viewing."""
    viewings = [
        viewing
        for viewing in case.session.viewings
        if any(subject == region.id for subject, _ in viewing.answers)
    ]
    rows = []
    for question in region.questions:
        given = [viewing.answers.get((region.id, question.id)) for viewing in viewings]
        if any(each is not None for each in given):
            rows.append((folded(question.ask), *map(_answer, given)))
    if rows:
        heads = tuple(f"viewing {each.ordinal}{', set aside' * bool(each.aside)}" for each in viewings)
        yield Table("What the eye was asked and answered", ("question", *heads), tuple(rows))


def _answer(given: Answer | None) -> str:
    if given is None:
        return NOTHING
    return answer_words(given.value) + " (after its readings were seen)" * given.after_reveal


def _pictures(case: Case, region_id: str, prefix: str) -> Iterator[Block]:
    for index, attached in enumerate(case.photographs, 1):
        if attached.region != region_id:
            continue
        fault = folded(attached.fault)
        caption = sentence(attached.caption) or sentence(fault or "photograph")
        yield Picture(
            id=f"{prefix}-photograph-{index}",
            caption=f"{capital(fault)}. {caption}" if fault and attached.caption else caption,
            alt=f"Photograph{f' of {fault}' if fault else ''}. {caption}",
            media_type="image/jpeg",
            width=attached.photograph.width,
            height=attached.photograph.height,
            content=base64.b64encode(attached.photograph.content).decode("ascii"),
        )


def _numbers(finding: Finding, whose: str) -> Iterator[Block]:
    if finding.metrics:
        yield Table(
            "What the readings say, media-relative unless marked absolute. The anchors that turn a number "
            f"into a grade are {whose}.",
            ("number", "value", "unit", "where", "patches"),
            tuple(_metric(metric) for metric in finding.metrics),
            right=(1, 4),
        )
        limits = [
            (telling(metric.name).name, telling(metric.name).not_told)
            for metric in finding.metrics
            if telling(metric.name).not_told
        ]
        if limits:
            yield Points(
                "What these numbers do not tell",
                tuple(f"{capital(name)}: {told}" for name, told in limits),
            )
    if finding.pairs:
        yield Table(
            "Question against number, both as grades",
            ("question", "eye", "number", "instrument", "they"),
            tuple(
                (
                    spaced(pair.question),
                    grade(pair.eye),
                    telling(pair.metric).name,
                    grade(pair.instrument),
                    "agree" if pair.agree else "disagree",
                )
                for pair in finding.pairs
            ),
            right=(1, 3),
        )


def _metric(metric: Metric) -> tuple[str, ...]:
    return (
        telling(metric.name).name,
        measured(metric.value, metric.spread),
        f"{metric.unit or 'ratio'}{', absolute' * (metric.comparison == 'absolute')}",
        folded(metric.where or "") or NOTHING,
        str(metric.patches),
    )


def where_words(area: Area) -> str:
    """A region's place on the sheet, held upright with its title up.

    >>> where_words(Area(0.05, 0.02, 0.9, 0.1)), where_words(Area(0.0, 0.7, 0.3, 0.3))
    ('top, across the whole width', 'bottom left')
    """
    rows = _thirds(area.top, area.height, ("top", "middle", "bottom"))
    columns = _thirds(area.left, area.width, ("left", "centre", "right"))
    leaf = f"leaf {area.leaf}, " if area.leaf > 1 else ""
    if columns == "":
        return f"{leaf}{rows or 'the whole height'}, across the whole width"
    return f"{leaf}{rows or 'the whole height,'} {columns}"


def _thirds(start: float, size: float, names: tuple[str, str, str]) -> str:
    """The third in which the middle of a stretch lies; empty when it runs over most of the sheet."""
    if size > 0.7:
        return ""
    return names[min(2, int(3 * min(0.999, max(0.0, start + size / 2))))]
