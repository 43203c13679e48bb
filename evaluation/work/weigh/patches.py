"""Patches of a session one by one: what was read, under which condition, against which aim. Gated."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evaluation.archive import sessions
from evaluation.colorimetry.brightener import LIT, Brightener, brightener
from evaluation.colorimetry.density import visual_density
from evaluation.colorimetry.difference import delta_c, delta_e_2000, delta_h, delta_l
from evaluation.errors import UsageProblem
from evaluation.metrics.evidence import Evidence
from evaluation.metrics.gather import Gathered, chosen
from evaluation.readings.colours import colours
from evaluation.readings.run import Taken
from evaluation.session import Session
from evaluation.sheet.layout import Patch, Sheet
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.gate import Withheld
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.weigh import gathered_of

Lab = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class PatchRow:
    """A line of the patch list. Values are None where the region is out of sight (`withheld`) or not read."""

    id: str
    name: str
    region: str  # title, "" for none
    readings: int
    lab: Lab | None
    from_aim: float | None  # dE00, media-relative, aim after black mapping
    withheld: Withheld | None = None


@dataclass(frozen=True, slots=True)
class UnderCondition:
    """A patch under one measurement condition: mean of its readings, CIELAB D50 absolute.

    curve   (nm, reflectance factor) pairs, or () without spectra
    spread  mean distance from the mean, dE*ab; None for a single reading
    density visual density, ISO 5-3; None without spectra
    """

    condition: str
    source: str
    lab: Lab
    readings: int
    spread: float | None
    curve: tuple[tuple[float, float], ...]
    density: float | None
    given: float | None = None  # visual density as the instrument gave it
    status: str | None = None  # of its densities, ISO 5-3


@dataclass(frozen=True, slots=True)
class PatchView:
    """One patch opened. `aim` and `measured` are media-relative, as they are compared; None: no aim."""

    id: str
    name: str
    region: str
    conditions: tuple[UnderCondition, ...]
    aim: Lab | None
    measured: Lab | None
    expected: Lab | None
    differences: tuple[tuple[str, float], ...]  # dE00, dL*, dC*, dH*: measured minus aim
    whitener: Brightener | None
    lit_by: str  # the condition that it is less, "" without it


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """What the patch list of a session draws from; worked out once, in a thread.

    `waiting` are ids of regions with readings that stay out of sight. What is measured is reached through
    `patch_view` only, and what is compared holds nothing of a region that waits.
    """

    session: Session
    sheet: Sheet
    rows: tuple[PatchRow, ...]
    waiting: tuple[str, ...]
    _taken: tuple[Taken, ...]
    _evidence: Evidence | None


def readings(bench: Bench, session_id: int) -> Readings:
    """All matched patches of a session in map order. Regions without a grade come withheld, not computed."""
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    taken = read.taken_in(bench, session)
    return _readings(session, sheet, taken, gathered_of(bench, session, sheet, taken, weigh.tables(bench)))


def _readings(session: Session, sheet: Sheet, taken: Sequence[Taken], gathered: Gathered | None) -> Readings:
    evidence = None
    if gathered is not None:
        whole, shown = gathered.whole, gate.open_regions(session, sheet) | {""}
        evidence = chosen(whole, [row for row, patch in enumerate(whole.patches) if patch.region in shown])
    place = {patch.id: row for row, patch in enumerate(evidence.patches)} if evidence else {}
    titles = {region.id: region.title for region in sheet.regions}
    hidden = {
        region.id: found
        for region in sheet.regions
        if (found := gate.withheld(session, sheet, region.id)) is not None
    }
    counts: dict[str, int] = {}
    for part in taken:
        for patch_id, rows in part.matched.items():
            counts[patch_id] = counts.get(patch_id, 0) + len(rows)
    listed: list[PatchRow] = []
    for patch in sheet.patches:
        if patch.id not in counts:
            continue
        lab, off = None, None
        if patch.region not in hidden and evidence is not None and patch.id in place:
            row = place[patch.id]
            lab = _lab(evidence.absolute[row])
            off = _finite(float(delta_e_2000(evidence.aim[row], evidence.measured[row])))
        listed.append(
            PatchRow(
                patch.id,
                patch.name,
                titles.get(patch.region, ""),
                counts[patch.id],
                lab,
                off,
                hidden.get(patch.region),
            )
        )
    waiting = read.waiting(session, sheet, taken)
    return Readings(session, sheet, tuple(listed), waiting, tuple(taken), evidence)


def patch_view(found: Readings, patch_id: str) -> PatchView | Withheld:
    """One patch with all that was read of it, or why it stays out of sight. Raises UsageProblem."""
    patch = _patch(found.sheet, patch_id)
    if (hidden := gate.withheld(found.session, found.sheet, patch.region)) is not None:
        return hidden
    under = tuple(_under(part, patch.id) for part in found._taken if patch.id in part.matched)
    aim = measured = expected = None
    differences: tuple[tuple[str, float], ...] = ()
    evidence = found._evidence
    ids = [each.id for each in evidence.patches] if evidence else []
    if evidence is not None and patch.id in ids:
        row = ids.index(patch.id)
        aim, measured = _lab(evidence.aim[row]), _lab(evidence.measured[row])
        expected = None if evidence.predicted is None else _lab(evidence.predicted[row])
        if aim is not None and measured is not None:
            differences = tuple(
                (name, float(rule(np.array(aim), np.array(measured))))
                for name, rule in (
                    ("dE00", delta_e_2000),
                    ("dL*", delta_l),
                    ("dC*", delta_c),
                    ("dH*", delta_h),
                )
            )
    titles = {region.id: region.title for region in found.sheet.regions}
    whitener, lit_by = _whitener(under)
    return PatchView(
        patch.id,
        patch.name,
        titles.get(patch.region, ""),
        under,
        aim,
        measured,
        expected,
        differences,
        whitener,
        lit_by,
    )


def _under(part: Taken, patch_id: str) -> UnderCondition:
    rows = list(part.matched[patch_id])
    lab = colours(part.run).lab_d50[rows]
    mean = lab.mean(axis=0)
    curve: tuple[tuple[float, float], ...] = ()
    density = None
    if part.run.spectra is not None and part.run.wavelengths is not None:
        spectrum = part.run.spectra[rows].mean(axis=0)
        curve = tuple(zip(part.run.wavelengths.tolist(), spectrum.tolist(), strict=True))
        density = float(visual_density(part.run.wavelengths, spectrum))
    densities = part.run.densities
    spread = float(np.linalg.norm(lab - mean, axis=-1).mean()) if len(rows) > 1 else None
    return UnderCondition(
        part.run.stated.condition or "not stated",
        part.run.source_name,
        (float(mean[0]), float(mean[1]), float(mean[2])),
        len(rows),
        spread,
        curve,
        density,
        None if densities is None else densities.mean("visual", rows),
        None if densities is None else densities.status,
    )


def _whitener(under: Sequence[UnderCondition]) -> tuple[Brightener | None, str]:
    """M2 less the best condition with ultraviolet in one file, and which that is; None, "" without both."""
    pairs = ((lit, one, other) for lit in LIT for one in under for other in under)
    for lit, one, other in pairs:
        if (one.condition, other.condition) == (lit, "M2") and one.source == other.source:
            same = [nm for nm, _ in one.curve] == [nm for nm, _ in other.curve] and one.curve
            bands = np.array([nm for nm, _ in one.curve]) if same else None
            curves = [np.array([value for _, value in each.curve]) if same else None for each in (one, other)]
            return brightener(np.array(one.lab), np.array(other.lab), bands, *curves), lit
    return None, ""


def _patch(sheet: Sheet, patch_id: str) -> Patch:
    try:
        return sheet.patch(patch_id)
    except KeyError:
        raise UsageProblem(f"This sheet has no patch “{patch_id}”.") from None


def _lab(values: object) -> Lab | None:
    lightness, a, b = (float(value) for value in np.asarray(values))
    return (lightness, a, b) if np.isfinite((lightness, a, b)).all() else None


def _finite(value: float) -> float | None:
    return value if np.isfinite(value) else None
