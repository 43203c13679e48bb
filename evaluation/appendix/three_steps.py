"""What the profile gives up and what the print misses: steps as vectors, beside their own differences."""

from collections.abc import Iterator
from dataclasses import astuple

from evaluation.appendix.case import Case
from evaluation.appendix.document import Block, Paragraph
from evaluation.judgement.opinion import Finding
from evaluation.telling.numbers import NOTHING, number
from evaluation.telling.table import Table

_NOT_SHARES = (
    "Where a region shows the steps from the file to the print: the vectors of the first two add up to that "
    "of the whole before they are rounded; the differences do not, so none is a share of the whole. The step "
    "of the print also holds drift, drying and the measurement itself."
)
_NAMES = {
    "intent and gamut": "intent and gamut: from the file to what the profile expects",
    "print": "print: from what the profile expects to what was read",
    "whole": "the whole: from the file to what was read",
}


def of_region(finding: Finding) -> Iterator[Block]:
    """The steps of one region; nothing without a profile that says what to expect."""
    if not finding.steps:
        return
    rows = tuple(
        (
            _NAMES[step.name],
            *(number(value, 1) for value in step.vector),
            number(step.de00, 1) if step.de00 is not None else NOTHING,
            step.behind,
        )
        for step in finding.steps
    )
    yield Table(
        "From the file to the print, mean of the patches, media-relative; dE00 of those that count",
        ("step", "dL*", "da*", "db*", "dE00", "patches"),
        rows,
        right=(1, 2, 3, 4, 5),
    )


def of_session(case: Case) -> Iterator[Block]:
    """The paper as the profile knows it and as it was read, and how the profile fits its own readings."""
    if any(finding.steps for finding in case.looked):
        yield Paragraph(_NOT_SHARES, "note")
    paper = case.weighing.paper
    if paper is not None:
        rows = tuple(
            (name, *(number(value, 1) for value in lab))
            for name, lab in (("in the profile", paper.profile), ("as read", paper.measured))
        )
        yield Table(
            f"The paper since profiling: {number(paper.de00, 1)} dE00, absolute",
            ("paper", "L*", "a*", "b*"),
            rows,
            right=(1, 2, 3),
        )
    fit = case.weighing.fit
    if fit is not None:
        parts = (("all", fit.median, fit.p95, fit.patches), *map(astuple, fit.parts))
        yield Table(
            "The profile against the readings it was made from, dE00, media-relative",
            ("colours", "median", "95th percentile", "patches"),
            tuple(
                (name, number(median, 1), number(p95, 1), str(patches))
                for name, median, p95, patches in parts
            ),
            right=(1, 2, 3),
        )
