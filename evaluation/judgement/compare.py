"""Two prints compared, region by region: alike, measured, visible, not comparable.

Each print is read against the other as its aim, on its own paper, by the region's own metrics; what repeats
alone would give is drawn, and Holm's correction keeps one table from showing differences by its length.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np

from evaluation.colorimetry.lab import chroma
from evaluation.judgement import instrument
from evaluation.judgement.null import noisy, null_of
from evaluation.judgement.opinion import Finding
from evaluation.judgement.repeatability import holm_adjusted
from evaluation.judgement.tables import Anchor, Tables
from evaluation.metrics.catalogue import CATALOGUE, worked_out
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.gather import chosen
from evaluation.readings.run import Condition

Word = Literal["alike", "measured", "visible", "not comparable"]

# These metrics look at one print alone: compared by their grades, one grade apart being visible.
_OF_ONE_PRINT: Final = (
    "first_shadow_step",
    "last_highlight_step",
    "across_sheet",
    "light_shift_differential",
)


@dataclass(frozen=True, slots=True, eq=False)
class Print:
    """One side of a comparison.

    evidence    by region id, without draws, of the regions that may be shown
    condition, instrument   of the readings; None: not stated
    whitened    whether the paper holds whitener; None: not known
    light       the viewing light of the eye's grades; "": not said
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
    sheets: Mapping[str, Array] | None = None
    freedom: int | None = None


@dataclass(frozen=True, slots=True)
class Difference:
    """One cell: what b differs from a in a region.

    difference  grade of b minus grade of a; None where one of them has none
    exceeds_repeatability  whether the readings differ by more than repeats explain, all rows in mind
    reason      why not comparable; otherwise what differs most, or ""
    """

    region: str
    a: int
    b: int
    difference: float | None
    exceeds_repeatability: bool
    word: Word
    reason: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class _Cell:
    """A region read both ways: the smallest p of its key metrics, and whether any is large enough to see."""

    p: float
    visible: bool
    reason: str


def compare(a: Print, b: Print, regions: Sequence[str], tables: Tables) -> tuple[Difference, ...]:
    """Every region of one pair of prints; the rows are one family for Holm's correction."""
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
        elif cell is not None:
            beyond = adjusted[region] <= tables["level"]
            word: Word = "alike" if not beyond else "visible" if cell.visible else "measured"
            row = Difference(
                region, a.session, b.session, change, beyond, word, cell.reason if beyond else ""
            )
        else:
            row = _by_eye(a, b, region, tables)
        rows.append(row)
    return tuple(rows)


def level_caveat(a: Print, b: Print, tables: Tables) -> str:
    """What is said where the spread from sheet to sheet is not known; empty where it is."""
    if a.sheets is not None and b.sheets is not None:
        return ""
    return f"Spread from sheet to sheet not known: {default_spread(tables)}."


def default_spread(tables: Tables) -> str:
    """The spread from sheet to sheet that stands in for one not known, in words, and what it lets differ."""
    limit = tables["repeat_rule"] * tables["sheet_mean"]  # of two single sheets
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
        if finding is None or finding.agreement in ("not looked", "none"):
            return f"not graded in session {side.session}"
    if region not in a.evidence or region not in b.evidence:
        if a.light and b.light and a.light != b.light:
            return "looked at in another light"
        return ""
    if "M3" in (a.condition, b.condition) and a.condition != b.condition:
        return "M3 against another measurement condition"
    if a.condition is None or b.condition is None:
        return "measurement condition not stated" if a.condition != b.condition else ""
    if a.instrument and b.instrument and a.instrument != b.instrument:
        return "read with another instrument"
    if _conditions_part(a, b) and not _strong_only(a, b, region):
        return f"{a.condition} against {b.condition} on whitened paper"
    return ""


def _conditions_part(a: Print, b: Print) -> bool:
    """Whether the ultraviolet of two measurement conditions makes two colours of one paper."""
    return a.condition != b.condition and (a.whitened is not False or b.whitened is not False)


def _strong_only(a: Print, b: Print, region: str) -> bool:
    """Whether a region has strong colours, which hide the paper: they may be compared across conditions."""
    strong = a.evidence[region].limits.strong_chroma
    return bool((chroma(_shared(a, b, region)[0].measured) > strong).any())


def _by_eye(a: Print, b: Print, region: str, tables: Tables) -> Difference:
    grades = (_eye(a.findings.get(region)), _eye(b.findings.get(region)))
    if grades[0] is None or grades[1] is None:
        without = a.session if grades[0] is None else b.session
        reason = f"not graded by eye in session {without}"
        return Difference(region, a.session, b.session, None, False, "not comparable", reason)
    change = grades[1] - grades[0]
    seen = abs(change) >= tables["grade_apart"] - 1e-9
    return Difference(
        region, a.session, b.session, change, False, "visible" if seen else "alike", "by eye alone"
    )


def _cell(a: Print, b: Print, region: str, tables: Tables) -> _Cell | None:
    """Both prints read against each other by the region's key metrics; None where none can be worked out."""
    first, second = _shared(a, b, region)
    if _conditions_part(a, b):
        rows = np.flatnonzero(chroma(first.measured) > first.limits.strong_chroma)
        first, second = chosen(first, rows.tolist()), chosen(second, rows.tolist())
    if not first.patches:
        return None
    kind = a.findings[region].kind
    null = null_of(((first, _sheets(a, region), a.freedom), (second, _sheets(b, region), b.freedom)), tables)
    found: list[_Cell] = []
    for anchor in _key(kind, tables):
        cell = (_graded if anchor.metric in _OF_ONE_PRINT else _against)(anchor, first, second, null)
        if cell is not None:
            found.append(cell)
    if not found:
        return None
    # The few key metrics of one region are a family of their own.
    worst = min(found, key=lambda cell: cell.p)
    return _Cell(
        min(1.0, worst.p * len(found)), any(cell.visible for cell in found if cell.p < 0.05), worst.reason
    )


def _against(anchor: Anchor, first: Evidence, second: Evidence, null: Array) -> _Cell | None:
    """The worse of each print read with the other as its aim; the null is noise laid on each by itself."""
    pairs = ((first, second), (second, first))
    observed = [worked_out(anchor.metric, read_against(sample, aim)) for aim, sample in pairs]
    values = [worked.draws[0] for worked in observed if worked is not None]
    still = [
        worked_out(anchor.metric, noisy(read_against(one, one), noise))
        for one, noise in ((first, null), (second, -null))
    ]
    alike = [worked.draws[1:] for worked in still if worked is not None]
    if not values or not alike:
        return None
    sign = -1.0 if anchor.larger_is_better else 1.0
    worst = max(sign * value for value in values)
    worse = np.max([sign * draws for draws in alike], axis=0)
    p = (1 + float((worse >= worst - 1e-12).sum())) / (1 + worse.size)
    visible = worst > sign * anchor.at[1]
    return _Cell(p, visible, instrument.metric_words(anchor.metric))


def _graded(anchor: Anchor, first: Evidence, second: Evidence, null: Array) -> _Cell | None:
    """A metric of one print: the difference of grades, against what noise alone would make of it."""
    one, other = worked_out(anchor.metric, first), worked_out(anchor.metric, second)
    still = worked_out(anchor.metric, noisy(first, null))
    if one is None or other is None or still is None:
        return None
    apart = abs(float(anchor.grade(other.draws[0])) - float(anchor.grade(one.draws[0])))
    noise = np.abs(anchor.grade(still.draws[1:]) - anchor.grade(still.draws[0]))
    p = (1 + float((noise >= apart - 1e-12).sum())) / (1 + noise.size) if apart > 0 else 1.0
    return _Cell(p, apart >= 1.0, instrument.metric_words(anchor.metric))


def read_against(sample: Evidence, aim: Evidence) -> Evidence:
    """One print's evidence with another print as its aim, patch by patch.

    Colours media-relative; greys by their cast on their own paper: the other's departure from its own neutral
    aim is laid on this print's.
    """
    cast = aim.absolute[..., 1:] - aim.grey_aim
    return replace(
        sample,
        aim=aim.measured,
        grey_aim=sample.grey_aim + cast,
        tone_has_aim=True,
        colour_has_aim=True,
        cast_has_aim=True,
    )


def _sheets(side: Print, region: str) -> Array | None:
    return None if side.sheets is None else side.sheets.get(region)


def _shared(a: Print, b: Print, region: str) -> tuple[Evidence, Evidence]:
    """The patches that both prints were read at, in map order."""
    first, second = a.evidence[region], b.evidence[region]
    row = {patch.id: k for k, patch in enumerate(second.patches)}
    rows = [k for k, patch in enumerate(first.patches) if patch.id in row]
    return chosen(first, rows), chosen(second, [row[first.patches[k].id] for k in rows])


def _key(kind: str, tables: Tables) -> tuple[Anchor, ...]:
    return tuple(
        anchor
        for anchor in tables.of_kind(kind)
        if anchor.key and kind not in anchor.pair_only and anchor.metric in CATALOGUE
    )


def _grade(finding: Finding | None) -> float | None:
    """Combined, or whichever voice spoke alone."""
    if finding is None:
        return None
    opinion = finding.combined or finding.eye or finding.instrument
    return None if opinion is None else opinion.grade


def _eye(finding: Finding | None) -> float | None:
    return None if finding is None or finding.eye is None else finding.eye.grade
