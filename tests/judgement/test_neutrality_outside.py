"""The record's shifts under lights against outside opinions: another library, and common practice.

Grey aims against worked rows of ISO 12647-2's form stand in tests/colorimetry/test_grey.py; the chart of
ISO 17321-1, the composed grey and colour-science in tests/colorimetry/test_lights.py.
"""

from typing import Any

import numpy as np
import pytest
from coloraide import Color
from coloraide.cat import CAT16, WHITES
from coloraide.cmfs import CIE_1931_2DEG

from evaluation.colorimetry.illuminants import illuminants
from evaluation.judgement.greys import NeutralityRecord
from evaluation.judgement.neutrality_record import neutrality_record
from evaluation.readings.match import match
from evaluation.readings.run import PatchRef, Run, Stated
from evaluation.sheet.layout import Patch, Sheet

NM = np.arange(380.0, 731.0, 10.0)
FIVES = np.arange(380, 781, 5)
# Three Gaussian dyes that match a flat grey of 20 % under D50: COMPUTED, tests/published/inconstancy.toml.
PEAKS, SIGMAS = (650, 545, 445), (45, 35, 40)
DENSITIES = (0.80239092, 0.69052189, 0.75370193)


def composed(wavelengths: np.ndarray, share: float = 0.2) -> np.ndarray:
    """A grey that reflects about this share, composed of the three dyes."""
    dyes = [
        np.exp(-((wavelengths - peak) ** 2) / 2 / sigma**2) for peak, sigma in zip(PEAKS, SIGMAS, strict=True)
    ]
    density = sum(amount * dye for amount, dye in zip(DENSITIES, dyes, strict=True))
    return np.asarray(10 ** -(density * np.log10(share) / np.log10(0.2)))


def share_of(patch: Patch) -> float:
    """What a grey of the scale reflects: the paper all, the black 0.25 %."""
    level = patch.source[0] if patch.source is not None else 0.0
    return 1.0 if patch.role == "paper" or level == 1.0 else 0.0025 + 0.8 * level**2.2


@pytest.fixture
def record(room: Any, colour_4: Sheet) -> Any:
    """The record of a scale on the perfect diffuser whose greys have these spectra."""

    def made(spectrum_of: Any) -> NeutralityRecord:
        shares = [share_of(patch) for patch in colour_4.patches]
        spectra = np.array([np.ones(NM.size) if share == 1.0 else spectrum_of(share) for share in shares])
        refs = tuple(PatchRef(patch.id, "", n) for n, patch in enumerate(colour_4.patches, 1))
        run = Run(refs, Stated(condition="M2"), "managed", wavelengths=NM, spectra=spectra)
        found = neutrality_record(room.session(), colour_4, [match(run, colour_4)], room.tables)
        assert found is not None
        return found

    return made


def seen_by_coloraide(spectrum: np.ndarray, power: np.ndarray) -> np.ndarray:
    """CIELAB under a light, adapted to the perfect white by coloraide's CAT16; its observer, sums at 5 nm."""
    observer = np.array([CIE_1931_2DEG[nm] for nm in FIVES])
    white = power @ observer
    xyz, white = (power * spectrum) @ observer / white[1], white / white[1]
    x, y = (float(value) for value in white[:2] / white.sum())
    adapted = CAT16().adapt((x, y), WHITES["2deg"]["D50"], xyz.tolist())
    return np.array(Color("xyz-d50", adapted).convert("lab").coords())


@pytest.mark.parametrize("light", ["LED-B2", "LED-B3"])
def test_a_second_opinion_on_a_light(record: Any, light: str) -> None:
    """coloraide 8: its observer, CAT16 and CIELAB, on the published power of the illuminant, step by step."""
    found = record(lambda share: composed(NM, share))
    compared = 0
    for k, patch in enumerate(found.scale.patches):
        if not found.steps[k].hollow:
            spectrum = composed(FIVES.astype(float), share_of(patch))
            d50, seen = (seen_by_coloraide(spectrum, _power(name)) for name in ("D50", light))
            assert found.scale.shifts[light][k] == pytest.approx((seen - d50)[1:], abs=0.06)
            compared += 1
    assert compared >= 15


def _power(name: str) -> np.ndarray:
    return np.asarray(illuminants()[name].power[20:421:5])


def test_a_good_neutral_black_is_nearly_flat_and_hardly_shifts(record: Any) -> None:
    """Common practice: greys of carbon inks rise a little to the red and keep their colour under any lamp."""
    carbon = record(lambda share: share * (1 + 0.06 * (NM - 555) / 125))
    mixed = record(lambda share: composed(NM, share))
    assert carbon.worst_light is not None and mixed.worst_light is not None
    assert carbon.lights[carbon.worst_light].largest < 0.5
    assert mixed.lights[mixed.worst_light].largest > 2 > 4 * carbon.lights[carbon.worst_light].largest
    assert max(row.largest for row in carbon.lights.values()) < 1.0, "stress lights too"
