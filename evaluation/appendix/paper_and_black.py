"""Paper and black, the two ends of every scale: colours, densities, spectra, and what they do not tell."""

from collections.abc import Iterator

import numpy as np

from evaluation.appendix.case import Case
from evaluation.appendix.document import Block, Paragraph, Points
from evaluation.colorimetry.density import BOOTH_FLARES, density_from_y, effective_density, visual_density
from evaluation.metrics.brightener_shift import brightener_shift
from evaluation.plain_text import DIFFERENCES, capital, difference
from evaluation.readings.colours import colours
from evaluation.readings.densities import FILTERS
from evaluation.readings.run import Array, Taken
from evaluation.telling.figure import Figure, Line
from evaluation.telling.metrics import telling
from evaluation.telling.numbers import DENSITY_DIGITS, LAB_DIGITS, NOTHING, measured, minus, number
from evaluation.telling.paper_and_black import whitener_cell, whitener_words
from evaluation.telling.table import Table


def paper_and_black(case: Case) -> Iterator[Block]:
    """A table of both for each run, and the limits of its numbers. The black waits for its region's grade."""
    rows: list[tuple[str, ...]] = []
    for index, taken in enumerate(case.taken, 1):
        name = f"readings {index}, {taken.run.stated.condition or 'condition not stated'}"
        base: float | None = None
        for role, patch_id in _ends(case):
            if patch_id not in taken.matched:
                continue
            lab, density, spectral = _colour(taken, list(taken.matched[patch_id]))
            if role == "paper":
                base = density
            above = _above(density, base) if role == "black" and base is not None else NOTHING
            seen = _seen(density) if role == "black" else NOTHING
            rows.append(
                (
                    name,
                    role,
                    *(number(v, LAB_DIGITS) for v in lab),
                    number(density, DENSITY_DIGITS),
                    above,
                    seen,
                )
            )
            if not spectral:
                rows[-1] = (name, f"{role} (density of Y, no spectrum)", *rows[-1][2:])
    if not rows:
        return
    yield Table(
        f"Paper and black, absolute; density: ISO 5-3 visual, absolute. {DIFFERENCES}",
        (
            "readings",
            "patch",
            "L*",
            "a*",
            "b*",
            "density",
            "above paper",
            "seen at 0.5, 1 % flare (unconfirmed)",
        ),
        tuple(rows),
        right=(2, 3, 4, 5, 6, 7),
    )
    yield from _given(case)
    limits = [telling(name) for name in (("d_max", "d_range") if any("black" in r[1] for r in rows) else ())]
    shown = any(role == "paper" for role, _ in _ends(case))
    if whitened := whitener_words(brightener_shift(case.sheet, case.taken) if shown else None):
        limits.append(telling("whitener_db"))
        yield Paragraph(minus(whitened))
    if limits:
        items = tuple(f"{capital(each.name)}: {each.not_told}" for each in limits)
        yield Points("What these numbers do not tell", items)


def _given(case: Case) -> Iterator[Table]:
    """What the instrument itself called the density of paper and black, where a file holds it."""
    rows, filters = [], dict.fromkeys(FILTERS.values())
    for index, taken in enumerate(case.taken, 1):
        densities = taken.run.densities
        if densities is None:
            continue
        for role, patch_id in _ends(case):
            found = [densities.mean(each, taken.matched.get(patch_id, ())) for each in filters]
            if any(value is not None for value in found):
                cells = (NOTHING if value is None else number(value, DENSITY_DIGITS) for value in found)
                rows.append((f"readings {index}", role, densities.status or "not stated", *cells))
    if rows:
        yield Table(
            "Densities as the instrument gave them, by the status that the file states (ISO 5-3). They stand "
            "beside the ones above and decide nothing.",
            ("readings", "patch", "status", *filters),
            tuple(rows),
            right=tuple(range(3, 3 + len(filters))),
        )


def spectra(case: Case, prefix: str) -> Iterator[Figure]:
    """The spectra of paper and black, one figure each: the black would lie flat on the axis of the paper."""
    for role, patch_id in _ends(case):
        series = []
        for taken in case.taken:
            run = taken.run
            if run.spectra is None or run.wavelengths is None or patch_id not in taken.matched:
                continue
            mean = run.spectra[list(taken.matched[patch_id])].mean(axis=0)
            series.append(
                Line(
                    name=run.stated.condition or "condition not stated",
                    x=tuple(float(nm) for nm in run.wavelengths),
                    y=tuple(round(100 * float(value), 3) + 0.0 for value in mean),
                    drawn="line",
                )
            )
        if series:
            yield Figure(
                id=f"{prefix}-{role}-spectrum",
                title=f"Spectrum of the {role}",
                alt=f"Reflectance of the {role}. " + " ".join(_shape(each) for each in series),
                x="wavelength, nm",
                y="reflectance factor, %",
                lines=tuple(series),
            )


def _ends(case: Case) -> Iterator[tuple[str, str]]:
    """(role, patch id) of paper and black, as far as their regions may be shown."""
    for role, patch_id in (("paper", case.sheet.paper_patch), ("black", case.sheet.black_patch)):
        if patch_id is not None and case.sheet.patch(patch_id).region in (*case.shown, ""):
            yield role, patch_id


def _colour(taken: Taken, rows: list[int]) -> tuple[Array, float, bool]:
    """Mean CIELAB (3,) and density of some rows, and whether the density came from spectra."""
    run = taken.run
    found = colours(run)
    lab: Array = found.lab_d50[rows].mean(axis=0)
    if run.spectra is not None and run.wavelengths is not None:
        return lab, float(visual_density(run.wavelengths, run.spectra[rows].mean(axis=0))), True
    return lab, float(density_from_y(found.xyz_d50[rows, 1].mean())), False


def _above(density: float, paper: float) -> str:
    return minus(difference(density - paper, DENSITY_DIGITS, signed=False))


def _seen(density: float) -> str:
    seen = (float(effective_density(np.array(density), flare)) for flare in BOOTH_FLARES)
    return " and ".join(number(one, DENSITY_DIGITS) for one in seen)


def _shape(series: Line) -> str:
    low, high = min(series.y), max(series.y)
    return (
        f"{series.name}: from {measured(low)} % at {series.x[series.y.index(low)]:g} nm "
        f"to {measured(high)} % at {series.x[series.y.index(high)]:g} nm."
    )


def in_cells(case: Case) -> tuple[str, str, str, str]:
    """The deepest black of the first readings, as seen in a lit room, above the paper; the whitener."""
    shown = dict(_ends(case))
    density = {
        role: _colour(case.taken[0], list(case.taken[0].matched[patch_id]))[1]
        for role, patch_id in shown.items()
        if case.taken and patch_id in case.taken[0].matched
    }
    black, seen, above = NOTHING, NOTHING, NOTHING
    if "black" in density:
        black = number(density["black"], DENSITY_DIGITS)
        seen = " to ".join(sorted(_seen(density["black"]).split(" and ")))
        if "paper" in density:
            above = number(density["black"] - density["paper"], DENSITY_DIGITS)
    shift = brightener_shift(case.sheet, case.taken) if "paper" in shown else None
    return black, seen, above, minus(whitener_cell(shift))


def in_a_line(case: Case) -> str:
    """Black and paper of the first readings, and the whitener; "" where none may be shown."""
    told = []
    ends = [(role, patch) for role, patch in _ends(case) if case.taken and patch in case.taken[0].matched]
    for role, patch_id in reversed(ends):
        lab, density, _ = _colour(case.taken[0], list(case.taken[0].matched[patch_id]))
        if role == "black":
            told.append(
                f"Deepest black D {number(density, DENSITY_DIGITS)}, {_seen(density)} in a lit room.¹"
            )
        else:
            told.append(f"Paper b* {number(float(lab[2]), LAB_DIGITS)}.")
    if ends and (whitened := whitener_words(brightener_shift(case.sheet, case.taken))):
        told.append(minus(whitened))
    return " ".join(told)
