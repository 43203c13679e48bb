"""How each patch shifts from D50 to other light sources, the eye adapted to its paper."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace

import numpy as np

from evaluation.colorimetry.adaptation import TRANSFORMS
from evaluation.colorimetry.illuminants import Light, illuminants
from evaluation.colorimetry.inconstancy import DEFAULT_LIGHTS, Reflectances, adapted_lab, paper_shift
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.patch_spectra import WITH_ULTRAVIOLET, WITHOUT_ULTRAVIOLET, Spectral, spectral
from evaluation.readings.run import Condition, Taken
from evaluation.session import Session
from evaluation.sheet.layout import Sheet


@dataclass(frozen=True, slots=True, eq=False)
class LightShift:
    """The shifts under one light source, dL*, da*, db*.

    patches    (m, 3) of every patch of the sheet, nan where not read
    otherwise  (2, m, 3) the same by the other published transforms, CAT02 and linear Bradford
    paper      (3,) of bare paper
    condition  of the spectra taken for it: M2 for a light source without ultraviolet, where M2 was read
    """

    light: str
    patches: Array
    otherwise: Array
    paper: Array
    condition: Condition | None


def light_shifts(
    sheet: Sheet, takens: Sequence[Taken], lights: Mapping[str, Light], only: Set[str] | None = None
) -> dict[str, LightShift]:
    """The shifts under every light source by its name; empty without spectra of patches and bare paper.

    `only` are the ids of the patches wanted, the others stay nan; None for all.
    """
    daylight = spectral(sheet, takens, WITH_ULTRAVIOLET, only)
    without = spectral(sheet, takens, WITHOUT_ULTRAVIOLET, only)
    if daylight is None or without is None:
        return {}
    found: dict[str, LightShift] = {}
    for lamp, own in (
        (daylight, [light for light in lights.items() if light[1].has_ultraviolet]),
        (without, [light for light in lights.items() if not light[1].has_ultraviolet]),
    ):
        both = daylight.readings.keys() & lamp.readings.keys()
        read = [k for k, patch in enumerate(sheet.patches) if patch.id in both]
        first, second = (_reflectances(leg, [sheet.patches[k].id for k in read]) for leg in (daylight, lamp))
        under_d50 = _seen(first, illuminants()["D50"]) if own else np.empty(0)
        for name, light in own:
            shift = np.full((len(TRANSFORMS), len(sheet.patches), 3), np.nan)
            shift[:, read] = _seen(second, light) - under_d50
            found[name] = LightShift(
                name, shift[0], shift[1:], paper_shift(first, second, light), lamp.condition
            )
    return {name: found[name] for name in lights}


def named_lights(session: Session) -> Mapping[str, Light]:
    """The second light of the session where it is a CIE illuminant known here, else the defaults."""
    known = illuminants()
    readiness = session.readiness.get("viewing_light")
    said = str(readiness.detail.get("second", "")) if readiness is not None else ""
    by_word = {_plain(name): name for name in known}
    name = by_word.get(_plain(said))
    if name is not None:
        return {name: known[name]}
    return {name: known[name] for name in DEFAULT_LIGHTS if name != "D50"}


def under_lights(evidence: Evidence, sheet: Sheet, shifts: Mapping[str, LightShift]) -> Evidence:
    """The evidence of a region with the shifts of its patches under each light source."""
    row = {patch.id: k for k, patch in enumerate(sheet.patches)}
    rows = [row[patch.id] for patch in evidence.patches]
    return replace(
        evidence,
        shifts={name: shift.patches[rows, 1:] for name, shift in shifts.items()},
        shifts_otherwise={name: shift.otherwise[:, rows, 1:] for name, shift in shifts.items()},
    )


def _plain(word: str) -> str:
    return "".join(char for char in word.casefold() if char.isalnum())


def _seen(measured: Reflectances, light: Light) -> Array:
    """(3, n, 3) CIELAB under a light by each transform of adaptation."""
    return np.stack([adapted_lab(measured, light, by) for by in TRANSFORMS.values()])


def _reflectances(leg: Spectral, patch_ids: Sequence[str]) -> Reflectances:
    samples = [rows[0] if len(rows := leg.readings[p]) == 1 else rows.mean(axis=0) for p in patch_ids]
    return Reflectances(
        leg.wavelengths, np.array(samples).reshape(len(patch_ids), leg.wavelengths.size), leg.paper
    )
