"""Neutrality on the record: one print's greys from paper to black, in words and numbers.

Steps, casts by thirds, crossover located, evenness, black, flatness, shifts under lights, drying and the
ring-around. Pure: from a sheet, its readings and its condition to frozen values.
"""

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from evaluation.colorimetry.flatness import Flatness
from evaluation.colorimetry.illuminants import Light, illuminants
from evaluation.colorimetry.inconstancy import DEFAULT_LIGHTS, STRESS_LIGHTS, differential_shift
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.judgement import ring
from evaluation.judgement.crossover import crossover, hidden_below
from evaluation.judgement.greys import Basis, Evenness, GreyStep, NeutralityRecord, Ring, Third, UnderLight
from evaluation.judgement.repeatability import limit_from_covariance
from evaluation.judgement.tables import Tables
from evaluation.metrics import black as blacks
from evaluation.metrics.cast import cast_distance, cast_word, counted, shifts_from_grey, thirds
from evaluation.metrics.drying import Drying, drying
from evaluation.metrics.evidence import Array, Evidence, Mask
from evaluation.metrics.gather import Gathered, chosen, gather
from evaluation.metrics.grey_metrics import shifted_apart, third_shifts
from evaluation.metrics.light_shifts import LightShift, light_shifts, under_lights
from evaluation.metrics.light_spread import spread_of
from evaluation.metrics.predicted import Predicted
from evaluation.metrics.tone import wedge_of
from evaluation.readings.colours import colours
from evaluation.readings.run import Taken
from evaluation.session import THIRDS, Pick, Session
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Sheet

_KINDS: Final = ("mono_neutral", "neutral")


def neutrality_record(
    session: Session,
    sheet: Sheet,
    takens: Sequence[Taken],
    tables: Tables,
    *,
    expected: Predicted | None = None,
    earlier_black: float | None = None,
    tone: Array | None = None,
    lamps: Mapping[str, Light] | None = None,
) -> NeutralityRecord | None:
    """The neutrality of one print on the record; None without readings of a neutral scale.

    Parameters
    ----------
    takens : the runs that were taken in and not left out again, matched to the sheet.
    expected : what the profile predicts, where it can be read.
    earlier_black : luminance, 0..100 relative to paper, of the black of an accepted earlier print.
    tone : (m, 3) absolute CIELAB of a wanted tone, the curve that greys are compared with.
    lamps : lights the user named or loaded, shown and judged beside the default ones.
    """
    gathered = gather(
        sheet,
        takens,
        session.condition,
        tables.limits,
        predicted=expected,
        earlier_black=earlier_black,
        tone=tone,
    )
    region = next((one for kind in _KINDS for one in sheet.regions if one.kind == kind), None)
    if gathered is None or region is None or region.id not in gathered.regions:
        return None
    scale = _in_order(gathered.regions[region.id])
    shifts = _shifts(sheet, takens, lamps or {})
    scale = under_lights(scale, sheet, shifts)
    lights = _lights(scale, shifts, named=lamps or {})
    judged = [row for row in lights.values() if not row.stress]
    paper = lab_from_xyz(gathered.pool.bare)
    colourless = _colourless(sheet, gathered, tables)
    return NeutralityRecord(
        session=session.id,
        region=region.id,
        aim=scale.aim_name,
        condition=gathered.pool.condition,
        steps=_steps(sheet, takens, gathered, scale),
        thirds=_thirds(scale, tables),
        crossover=crossover(scale),
        evenness=_evenness(scale, tables),
        black=blacks.black(sheet, takens, gathered.pool),
        flatness=_flatness(sheet, takens, scale),
        lights=lights,
        worst_light=max(judged, key=lambda row: row.largest).light if judged else None,
        conditions=_conditions(sheet, takens, scale),
        drying=_drying(session, sheet, takens, gathered, tables),
        rings=() if colourless else _rings(session, sheet, gathered),
        scale=scale,
        paper=(float(paper[0]), float(paper[1]), float(paper[2])),
        black_from=gathered.black_from,
        instrument=gathered.pool.runs[0].run.stated.instrument,
        colourless=colourless,
        unread=len(region.patch_ids) - len(scale.patches),
    )


def _colourless(sheet: Sheet, gathered: Gathered, tables: Tables) -> bool:
    evidence = [gathered.regions.get(region.id) for region in sheet.regions if region.kind == "ring"]
    stated = {patch.id: lab for patch, lab in zip(sheet.patches, source_lab(sheet), strict=True)}
    return any(one is not None and ring.colourless(one, stated, tables) for one in evidence)


def _in_order(evidence: Evidence) -> Evidence:
    """The scale from black to paper."""
    return chosen(evidence, [int(k) for k in np.argsort(evidence.source_l, kind="stable")])


def _steps(
    sheet: Sheet, takens: Sequence[Taken], gathered: Gathered, scale: Evidence
) -> tuple[GreyStep, ...]:
    values, _ = blacks.densities(sheet, takens, gathered.pool)
    density = {patch.id: float(value) for patch, value in zip(sheet.patches, values, strict=True)}
    shift, distance, mask = shifts_from_grey(scale), cast_distance(scale), counted(scale)
    return tuple(
        GreyStep(
            patch=patch.id,
            name=patch.name,
            source_l=float(scale.source_l[k]),
            L=float(scale.absolute[k, 0]),
            a=float(scale.absolute[k, 1]),
            b=float(scale.absolute[k, 2]),
            density=density[patch.id],
            aim_a=float(scale.grey_aim[k, 0]),
            aim_b=float(scale.grey_aim[k, 1]),
            dch=float(np.hypot(*shift[k])),
            de00=float(distance[k]),
            hollow=not bool(mask[k]),
        )
        for k, patch in enumerate(scale.patches)
    )


def _thirds(scale: Evidence, tables: Tables) -> dict[str, Third]:
    means, noise, present = third_shifts(scale)
    mask, third = counted(scale), thirds(scale)
    shift, distance = shifts_from_grey(scale), cast_distance(scale)
    found: dict[str, Third] = {}
    for index, t in enumerate(present):
        own = np.flatnonzero(mask & (third == t))
        dch = np.hypot(shift[own, 0], shift[own, 1])
        da, db = (float(v) for v in means[index])
        size, hidden = float(np.hypot(da, db)), hidden_below(float(noise[index]), scale.limits)
        named = size >= tables["cast_named"] and size > hidden
        off = float(distance[own].mean())
        found[THIRDS[t]] = Third(
            name=THIRDS[t],
            cast=cast_word(da, db) if named else "none",
            da=da,
            db=db,
            dch_mean=float(dch.mean()),
            dch_p95=float(np.percentile(dch, 95)),
            de00=off,
            where=scale.patches[int(own[int(dch.argmax())])].name,
            steps=len(own),
            basis="cast" if named else _basis(size, hidden, off, tables),
        )
    return found


def _basis(size: float, hidden: float, off: float, tables: Tables) -> Basis:
    """Why a third has no named cast; its cast and what noise hides in dCh, its distance in dE00."""
    if max(size, hidden) >= tables["cast_named"]:
        return "noise"
    return "scattered" if off > tables.anchors["cast_by_third"].at[1] else "neutral"


def _evenness(scale: Evidence, tables: Tables) -> Evenness | None:
    wedge = wedge_of(scale)
    if wedge is None:
        return None
    noise = np.sqrt(2) * scale.noise(0)[wedge.order[1:]]
    falls = np.diff(scale.measured[wedge.order, 0]) < -tables["noise_times"] * noise
    return Evenness(
        spread=float(wedge.ratios.std(ddof=1)),
        even=int((np.abs(wedge.ratios - 1) <= tables["even_step"]).sum()),
        of=int(wedge.ratios.size),
        monotone=not bool(falls.any()),
        against="the aim" if scale.tone_has_aim else "a straight line",
    )


def _flatness(sheet: Sheet, takens: Sequence[Taken], scale: Evidence) -> dict[str, Flatness]:
    """Of the step nearest to L* 50 and of the black."""
    found: dict[str, Flatness] = {}
    middle = scale.patches[int(np.abs(scale.absolute[:, 0] - 50).argmin())].id
    black = next((patch.id for patch in sheet.patches if patch.role == "black"), None)
    for name, patch_id, of_paper in (("middle", middle, True), ("black", black, False)):
        flat = blacks.spectral_flatness(sheet, takens, patch_id, of_paper=of_paper) if patch_id else None
        if flat is not None:
            found[name] = flat
    return found


def _shifts(sheet: Sheet, takens: Sequence[Taken], lamps: Mapping[str, Light]) -> dict[str, LightShift]:
    known = illuminants()
    wanted = {name: known[name] for name in (*DEFAULT_LIGHTS, *STRESS_LIGHTS) if name != "D50"} | dict(lamps)
    return light_shifts(sheet, takens, wanted)


def _lights(
    scale: Evidence, shifts: Mapping[str, LightShift], named: Mapping[str, Light]
) -> dict[str, UnderLight]:
    """Under every light; one of the stress lights that the user named is judged with the others."""
    mask = counted(scale)
    return {
        name: under
        for name, shift in shifts.items()
        if (under := _under(shift, scale, mask, name in STRESS_LIGHTS and name not in named)) is not None
    }


def _under(shift: LightShift, scale: Evidence, mask: Mask, stress: bool) -> UnderLight | None:
    rows = mask & np.isfinite(scale.shifts[shift.light]).all(axis=-1)
    if len(np.flatnonzero(rows)) < 2:
        return None
    largest, mean = differential_shift(np.insert(scale.shifts[shift.light][rows], 0, 0.0, axis=-1))
    dL, da, db = (float(value) for value in np.ravel(shift.paper))
    spread = spread_of(scale, shift.light, rows, shifted_apart)
    return UnderLight(shift.light, float(largest), float(mean), (dL, da, db), shift.condition, stress, spread)


def _conditions(
    sheet: Sheet, takens: Sequence[Taken], scale: Evidence
) -> dict[str, tuple[tuple[float, float, float], ...]]:
    """CIELAB along the steps in every condition that was read, nan where a step was not."""
    found: dict[str, tuple[tuple[float, float, float], ...]] = {}
    for taken in takens:
        condition = taken.run.stated.condition
        if condition is None or taken.run.printed_as == "unmanaged":
            continue
        lab = colours(taken.run).lab_d50
        rows = [taken.matched.get(patch.id, ()) for patch in scale.patches]
        if any(rows):
            found[condition] = tuple(
                tuple(float(v) for v in lab[list(own)].mean(axis=0)) if own else (np.nan,) * 3  # type: ignore[misc]
                for own in rows
            )
    return found


def _drying(
    session: Session, sheet: Sheet, takens: Sequence[Taken], gathered: Gathered, tables: Tables
) -> Drying | None:
    printed = session.condition.printed_at
    if printed is None:
        return None
    limit = limit_from_covariance(gathered.pool.mean_covariance, 1, 1, tables)
    return drying(sheet, takens, printed, limit, tables["settled_after"])


def _rings(session: Session, sheet: Sheet, gathered: Gathered) -> tuple[Ring, ...]:
    """Each group of the ring-around that was picked from, its newest pick."""
    region = next((one for one in sheet.regions if one.kind == "ring"), None)
    if region is None or session.viewing is None:
        return ()
    nominal = {patch.id: lab for patch, lab in zip(sheet.patches, source_lab(sheet), strict=True)}
    evidence = gathered.regions.get(region.id)
    off: dict[str, Array] = {}
    if evidence is not None:
        shift = shifts_from_grey(evidence)
        off = {patch.id: shift[k] for k, patch in enumerate(evidence.patches)}
    patches = [sheet.patch(patch_id) for patch_id in region.patch_ids]
    rings: list[Ring] = []
    lights = {question.id: question.light for question in region.questions}
    for (where, question), answer in session.viewing.answers.items():
        if where != region.id or not isinstance(answer.value, Pick):
            continue
        picked = [patch for patch in patches if patch.name in {str(n) for n in answer.value.numbers}]
        if not picked:
            continue
        group = [patch for patch in patches if patch.series == picked[0].series]
        centre = min(group, key=lambda patch: float(np.hypot(*nominal[patch.id][1:])))
        measured = centre.id in off and all(patch.id in off for patch in picked)
        if measured:
            eye = np.mean([off[patch.id] for patch in picked], axis=0)
            middle: tuple[float, float] | None = (float(off[centre.id][0]), float(off[centre.id][1]))
        else:  # the eye's cast is minus the shift it took for grey
            eye = -np.mean([nominal[patch.id][1:] for patch in picked], axis=0)
            middle = None
        rings.append(
            Ring(
                picked[0].series,
                (float(eye[0]), float(eye[1])),
                middle,
                measured,
                lights.get(question) or "",
            )
        )
    return tuple(rings)
