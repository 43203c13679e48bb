"""Whether the numbers inside a profile's tables towards colour can be those of a device.

A sound layout says nothing about the values. Curves of one value, colours that hardly differ and ink that
does not darken are refused. What is only odd is told: curves that turn back, a paper that is not white in a
relative table, points of the grid far from all their neighbours.
"""

from typing import Final

import numpy as np

from evaluation.colorimetry.lab import Array
from evaluation.plain_text import counted, listed
from evaluation.profile.decoded_tables import DecodedTable, decoded
from evaluation.profile.tags import TOWARDS_COLOUR, Tags, letters, refused
from evaluation.published.limits import limit, whole

_RELATIVE: Final = b"A2B1"
_LEAST_RANGE: Final = limit("table_range")
_TURNS_BACK: Final = limit("curve_turns")
_WHITE_APART: Final = limit("table_white")
_LEAST_GRID: Final = whole("table_grid")
_ASTRAY: Final = limit("table_astray")
_MOST_VALUES: Final = whole("table_values")
_MAY_BE_IDLE: Final = whole("table_idle")


def check_values(tags: Tags, name: str, space: str, pcs: str, of_class: str) -> list[str]:
    """What is odd about the values of the tables towards colour, a sentence each.

    Expects tables whose layout was checked. Raises ProfileProblem for values that no device has.
    """
    odd: list[str] = []
    looked_at: set[tuple[int, int]] = set()  # one table may serve several intents
    for signature in TOWARDS_COLOUR:
        table = decoded(tags.data(signature), pcs) if signature in tags else None
        if table is None:
            continue
        called, again = letters(signature), tags.places[signature] in looked_at
        looked_at.add(tags.places[signature])
        if table.lab is not None and of_class == "output" and signature == _RELATIVE:
            _look_at_white(table.lab, called, space, odd)
        if again:
            continue
        _check_curves(table, called, name, odd)
        if table.lightness is not None:
            _check_lightness(table.lightness, called, name, space, of_class)
        if table.lab is not None:
            _look_for_strays(table.lab, called, odd)
    return odd


def _check_curves(table: DecodedTable, called: str, name: str, odd: list[str]) -> None:
    """Raise ProfileProblem for a curve of one value where every channel counts; tell those that turn back."""
    flat = [number for number, curve in enumerate(table.before, 1) if np.ptp(curve) == 0]
    if (flat and len(table.before) < _MAY_BE_IDLE) or (table.after and np.ptp(table.after[0]) == 0):
        where = f"the curve of channel {flat[0]}" if flat else "the curve of L* or X"
        raise refused(name, f"tag “{called}” with curves that rise", f"one value throughout in {where}")
    if flat:
        odd.append(f"In “{called}” channel {listed([str(one) for one in flat])} changes nothing.")
    for curves, side in ((table.before, "device"), (table.after, "colour")):
        turned = sum(1 for curve in curves if _turns_back(curve))
        if turned:
            verb = "turns" if turned == 1 else "turn"
            odd.append(f"“{called}”: {counted(turned, 'curve')} on the side of the {side} {verb} back.")


def _turns_back(curve: Array) -> bool:
    steps = np.diff(curve) * (1 if curve[-1] >= curve[0] else -1)
    return bool((steps < -_TURNS_BACK * np.ptp(curve)).any())


def _check_lightness(lightness: Array, called: str, name: str, space: str, of_class: str) -> None:
    """Raise ProfileProblem for colours that hardly differ, and for ink that makes a print lighter."""
    least, most = float(lightness.min()), float(lightness.max())
    if most - least < _LEAST_RANGE:
        raise refused(
            name, f"tag “{called}” with colours from dark to light", f"L* from {least:.0f} to {most:.0f}"
        )
    bare, full = _corner(space, ink=False), _corner(space, ink=True)
    if of_class not in ("output", "display") or not bare:
        return
    without, with_all = (float(lightness[corner * lightness.ndim]) for corner in (bare, full))
    if without <= with_all:
        what = "ink darkens" if of_class == "output" else "white is lighter than black"
        raise refused(
            name,
            f"tag “{called}” in which {what}",
            f"L* {without:.0f} where white is meant, {with_all:.0f} at black",
        )


def _corner(space: str, *, ink: bool) -> tuple[int, ...]:
    """The index along each axis of the point without ink, or of all of it; () where a space says neither."""
    if space in ("RGB", "GREY"):
        return (0,) if ink else (-1,)
    return ((-1,) if ink else (0,)) if space in ("CMYK", "CMY") else ()


def _look_at_white(lab: Array, called: str, space: str, odd: list[str]) -> None:
    """Tell a paper that a relative table does not show as white."""
    white = _corner(space, ink=False)
    if not white:
        return
    lightness, a, b = (float(value) for value in lab[white * (lab.ndim - 1)])
    if ((lightness - 100) ** 2 + a**2 + b**2) ** 0.5 > _WHITE_APART:
        shown = f"L* {lightness:.0f}, a* {a:.0f}, b* {b:.0f}"
        odd.append(f"“{called}” shows bare paper as {shown}; a relative table has it white.")


def _look_for_strays(lab: Array, called: str, odd: list[str]) -> None:
    """Tell points of the grid that lie far from the middle of their neighbours along every axis."""
    axes = [axis for axis, size in enumerate(lab.shape[:-1]) if size >= _LEAST_GRID]
    if not axes or lab.size > _MOST_VALUES:
        return
    apart = np.full(lab.shape[:-1], np.inf)
    for axis in axes:
        along = np.moveaxis(lab, axis, 0)
        middle = (along[:-2] + along[2:]) / 2
        inner = np.moveaxis(apart, axis, 0)[1:-1]
        np.minimum(inner, np.linalg.norm(along[1:-1] - middle, axis=-1), out=inner)
    known = np.isfinite(apart)
    astray = int((apart[known] > _ASTRAY).sum())
    if astray:
        total = f"{int(known.sum()):,} points"
        odd.append(
            f"{astray:,} of {total} of “{called}” lie far from all their neighbours, as damage leaves them."
        )
