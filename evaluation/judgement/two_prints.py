"""Two prints compared, region by region, in a word made of what was read and of what was graded.

Each print is read against the other as its aim, on its own paper, by the region's own metrics; what repeats
alone would give is drawn, and Holm's correction keeps one table from showing differences by its length. The
grades were given to each print by itself: nobody saw the two side by side, and no word claims it.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from evaluation.colorimetry.lab import chroma
from evaluation.judgement import grade_change, read_against
from evaluation.judgement.opinion import Finding
from evaluation.judgement.read_against import Cell
from evaluation.judgement.repeatability import holm_adjusted, limit_from_mean_difference
from evaluation.judgement.tables import Tables
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.gather import chosen
from evaluation.readings.run import Condition

# alike       within repeats, and graded alike, as far as there are readings and grades
# measured    beyond repeats; large: and large enough to be seen, by the anchor of grade 4
# by grade    graded further apart than viewings vary, while the readings are alike or missing
# apart       beyond both; contradict: beyond both, and the other way round
# open        graded apart by no more than viewings vary, while the readings are alike or missing
Word = Literal[
    "alike", "measured", "large", "by grade", "apart", "contradict", "open", "not comparable"
]  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Print:
    """One side of a comparison.

    evidence    by region id, without draws, of the regions that may be shown
    condition, instrument   of the readings; None: not stated
    whitened    whether the paper holds optical brightener; None: not known
    light       the viewing light of the eye's grades; "": not stated
    observers   who graded it
    beside      whether an accepted print lay beside it: a scale of its own (ITU-R BT.500)
    sheets      covariance (3, 3) of one patch from sheet to sheet of this process by region id, or None: not
                known. Regions differ: ink that is dosed otherwise moves strong colours most
    freedom     degrees of freedom behind the covariance of one reading, or None: it is a default
    """

    session: int
    sheet_digest: str
    findings: Mapping[str, Finding]
    evidence: Mapping[str, Evidence]
    condition: Condition | None = None
    instrument: str | None = None
    whitened: bool | None = None
    light: str = ""
    observers: frozenset[str] = frozenset()
    beside: bool = False
    sheets: Mapping[str, Array] | None = None
    freedom: int | None = None


@dataclass(frozen=True, slots=True)
class Difference:
    """One cell: what b differs from a in a region.

    difference  grade of b minus grade of a; None where one of them has none
    exceeds_repeatability  whether the readings differ by more than repeats explain, all rows in mind
    reason      why not comparable; otherwise the number that differs most, or ""
    graded      the eye's grades of a and b, () where one of them has none; viewings: how many behind each
    read        both were read there, and what was read could be compared
    """

    region: str
    a: int
    b: int
    difference: float | None
    exceeds_repeatability: bool
    word: Word
    reason: str = ""
    graded: tuple[float, ...] = ()
    viewings: tuple[int, ...] = ()
    read: bool = False


def compare(a: Print, b: Print, regions: Sequence[str], tables: Tables) -> tuple[Difference, ...]:
    """What print b differs from print a in, region by region.

    The regions are one family for Holm's correction (1979), with at most `level` false alarms.
    """
    reasons = {region: _apart(a, b, region) for region in regions}
    cells = {
        region: _cell(a, b, region, tables)
        for region in regions
        if not reasons[region] and region in a.evidence and region in b.evidence
    }
    read = {region: cell for region, cell in cells.items() if cell is not None}
    adjusted = dict(zip(read, holm_adjusted([cell.p for cell in read.values()]), strict=True))
    rows: list[Difference] = []
    for region in regions:
        grades = (_grade(a.findings.get(region)), _grade(b.findings.get(region)))
        change = None if grades[0] is None or grades[1] is None else grades[1] - grades[0]
        cell = read.get(region)
        if reasons[region]:
            row = Difference(region, a.session, b.session, None, False, "not comparable", reasons[region])
        else:
            beyond = cell is not None and adjusted[region] <= tables["level"]
            row = _worded(a, b, region, change, cell, beyond, tables)
        rows.append(row)
    return tuple(rows)


def _worded(
    a: Print, b: Print, region: str, change: float | None, cell: Cell | None, beyond: bool, tables: Tables
) -> Difference:
    """The word of one cell, of what was read and of what was graded; neither is left out of it."""
    first, second = a.findings[region], b.findings[region]
    eye = None
    if not _graded_otherwise(a, b):
        eye = grade_change.standing(first, second, a.observers == b.observers, tables)
    if cell is None and eye is None:  # the viewing light was compared above
        without = a.session if first.eye is None else b.session
        reason = f"not graded by eye in session {without}"
        return Difference(region, a.session, b.session, None, False, "not comparable", reason)
    word: Word
    if eye is not None and eye.beyond:
        word = (
            "by grade"
            if not beyond
            else "contradict"
            if _other_way(first, second, eye.change, tables)
            else "apart"
        )
    elif cell is not None and beyond:
        word = "large" if cell.large else "measured"
    else:
        word = "open" if eye is not None and eye.change else "alike"
    reason = cell.reason if cell is not None and beyond else ""
    row = Difference(region, a.session, b.session, change, beyond, word, reason, read=cell is not None)
    return row if eye is None else replace(row, graded=eye.graded, viewings=eye.viewings)


def _other_way(first: Finding, second: Finding, by_eye: float, tables: Tables) -> bool:
    """Whether the readings put the other print first, by `contradict_grades` or more."""
    if first.instrument is None or second.instrument is None:
        return False
    read = second.instrument.grade - first.instrument.grade
    return abs(read) >= tables["contradict_grades"] and read * by_eye < 0


def default_spread(tables: Tables) -> str:
    """The default spread from sheet to sheet, in words, and by how much it lets two alike sheets differ."""
    limit = limit_from_mean_difference(tables["sheet_mean"], math.inf, 1, 1, tables["repeat_rule"])
    return (
        f"mean {tables['sheet_mean']:g}, worst {tables['sheet_worst']:g} dE*ab taken, so that two alike "
        f"differ by up to {limit:.1f} in 95 of 100 cases (assumes equal noise in L*, a*, b*)"
    )


def _apart(a: Print, b: Print, region: str) -> str:
    """Why a region of two prints cannot be compared; empty where it can."""
    if a.sheet_digest != b.sheet_digest:
        return "another sheet"
    for side in (a, b):
        finding = side.findings.get(region)
        if finding is not None and finding.agreement == "disagree":
            return f"eye and readings disagree in session {side.session}"
        if finding is not None and finding.agreement == "left out":
            return f"no colour in the mode of session {side.session}"
        if finding is None or finding.agreement in ("not graded yet", "none"):
            return f"not graded in session {side.session}"
    if region not in a.evidence or region not in b.evidence:
        return _graded_otherwise(a, b)
    if "M3" in (a.condition, b.condition) and a.condition != b.condition:
        return "M3 against another measurement condition"
    if a.condition is None or b.condition is None:
        return "measurement condition not stated" if a.condition != b.condition else ""
    if a.instrument and b.instrument and a.instrument != b.instrument:
        return "read with another instrument"
    if _conditions_part(a, b) and not _strong_only(a, b, region):
        return f"{a.condition} against {b.condition} on paper with optical brightener"
    return ""


def _graded_otherwise(a: Print, b: Print) -> str:
    """Why the eye's grades of two prints cannot stand beside each other; empty where they can."""
    if a.light and b.light and a.light != b.light:
        return "graded under another light"
    return "one was graded beside another print" if a.beside != b.beside else ""


def _conditions_part(a: Print, b: Print) -> bool:
    """Whether the ultraviolet of two measurement conditions makes two colours of one paper."""
    return a.condition != b.condition and (a.whitened is not False or b.whitened is not False)


def _strong_only(a: Print, b: Print, region: str) -> bool:
    """Whether a region has strong colours, which hide the paper: they may be compared across conditions."""
    strong = a.evidence[region].limits.strong_chroma
    return bool((chroma(_shared(a, b, region)[0].measured) > strong).any())


def _cell(a: Print, b: Print, region: str, tables: Tables) -> Cell | None:
    """Both prints read against each other; None where nothing of the region can be worked out."""
    first, second = _shared(a, b, region)
    if _conditions_part(a, b):
        rows = np.flatnonzero(chroma(first.measured) > first.limits.strong_chroma)
        first, second = chosen(first, rows.tolist()), chosen(second, rows.tolist())
    if not first.patches:
        return None
    sides = (first, _sheets(a, region), a.freedom), (second, _sheets(b, region), b.freedom)
    return read_against.cell(a.findings[region].kind, sides, tables)


def _sheets(side: Print, region: str) -> Array | None:
    return None if side.sheets is None else side.sheets.get(region)


def _shared(a: Print, b: Print, region: str) -> tuple[Evidence, Evidence]:
    """The patches that both prints were read at, in map order."""
    first, second = a.evidence[region], b.evidence[region]
    row = {patch.id: k for k, patch in enumerate(second.patches)}
    rows = [k for k, patch in enumerate(first.patches) if patch.id in row]
    return chosen(first, rows), chosen(second, [row[first.patches[k].id] for k in rows])


def _grade(finding: Finding | None) -> float | None:
    """Combined, or whichever voice spoke alone."""
    if finding is None:
        return None
    opinion = finding.combined or finding.eye or finding.instrument
    return None if opinion is None else opinion.grade
