"""Neutrality on the record: prints made here as spectra or CIELAB; what was built in is looked for."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from evaluation.colorimetry.flatness import spectral_flatness
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black, media_absolute
from evaluation.judgement.neutrality_record import neutrality_record
from evaluation.readings.match import match
from evaluation.readings.run import PatchRef, Repeats, Run, Stated, Taken
from evaluation.session import Pick
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Patch, Sheet, SheetRegion
from evaluation.telling.neutrality.sentences import sentence
from tests.cases import some_now

PAPER = np.array([96.0, 0.2, -2.1])
QUIET = Repeats(np.eye(3) * 0.1**2, 0.15, 0.3, 0.4, 60, 30)
NM = np.arange(380.0, 731.0, 10.0)


def lab_of(sheet: Sheet, density: float = 2.5) -> np.ndarray:
    """The sheet's greys on a baryta paper, as aimed."""
    xyz = map_black(xyz_from_lab(source_lab(sheet)), 0.0, 100 * 10**-density)
    return np.asarray(lab_from_xyz(media_absolute(xyz, xyz_from_lab(PAPER))))


@pytest.fixture
def record(room: Any, colour_4: Sheet) -> Any:
    """The record of a print whose wedge leans as `lean(L*)` says."""

    def make(lean: Any = None, *, noise: float = 0.0, seed: int = 3, session: int = 2, **more: Any) -> Any:
        lab = lab_of(colour_4)
        for k, patch in enumerate(colour_4.patches):
            if lean is not None and patch.region == "neutral" and patch.role == "field":
                lab[k, 1:] += lean(lab[k, 0])
        lab += np.random.default_rng(seed).standard_normal(lab.shape) * noise
        rows = {p.id: tuple(row) for p, row in zip(colour_4.patches, lab.tolist(), strict=True)}
        rows = {name: rows[name] for name in more.pop("only", rows)}
        stated = more.pop("stated", Stated(condition="M1"))
        taken = replace(room.taken(colour_4, rows, stated=stated), repeats=more.pop("repeats", QUIET))
        condition = {"intent": "relative colorimetric", "black_point_compensation": True}
        told = replace(room.session(**(condition | more.pop("condition", {}))), id=session)
        takens = [taken, *more.pop("more_runs", [])]
        return neutrality_record(told, colour_4, takens, room.tables, **more)

    return make


def toning(L: float) -> tuple[float, float]:
    """Yellow in the middle and lights, blue in the dark, turning at L* 36."""
    return (0.0, 1.3 if L > 36 else -1.3)


def test_a_neutral_print_leans_nowhere(record: Any) -> None:
    told = record()
    assert [told.thirds[name].cast for name in ("dark", "middle", "light")] == ["none"] * 3
    assert told.crossover is None
    assert told.evenness.even == told.evenness.of == 20
    assert told.evenness.monotone
    assert sentence(told) == "Session 2 is neutral from grey L* 95 to grey L* 10."


def test_neutral_reaches_as_far_as_steps_count(record: Any) -> None:
    """Paper, black and the two darkest steps, below L* 10, have no hue to count."""
    told = record()
    counts = [step.name for step in told.steps if not step.hollow]
    assert (counts[-1], counts[0]) == ("grey L* 95", "grey L* 10")
    assert f"from {counts[-1]} to {counts[0]}" in sentence(told)
    gap = replace(
        told, steps=tuple(replace(s, hollow=s.hollow or s.name == "grey L* 50") for s in told.steps)
    )
    assert sentence(gap).endswith("from grey L* 95 to grey L* 10 without 1 of the steps between.")


def test_a_lean_that_noise_would_hide_is_not_called_neutral(record: Any) -> None:
    """One step a third, read with a spread of 0.34 on each axis: 95 % of such means lie within 0.83 dCh."""
    loud = Repeats(np.eye(3) * 0.34**2, 0.5, 0.9, 1.2, 60, 30)
    told = record(repeats=loud, only=("N01", "N05", "N12", "N18", "N21"))
    assert {(third.steps, third.cast, third.basis) for third in told.thirds.values()} == {
        (1, "none", "noise")
    }
    assert "has no cast beyond its noise" in sentence(told)
    assert "is neutral" not in sentence(told)


def test_steps_off_in_no_one_direction_are_not_called_neutral(record: Any) -> None:
    """Every other step red, the others green: no third leans, and none of them is grey."""
    places = iter([1, -1] * 40)
    told = record(lambda L: (4.0 * next(places), 0.0) if 40 < L < 70 else (0.0, 0.0))
    middle = told.thirds["middle"]
    assert (middle.cast, middle.basis) == ("none", "scattered")
    assert sentence(told).startswith(
        "Session 2 has no cast in one direction from grey L* 95 to grey L* 10, but"
    )
    assert "off on average in the mid-tones, most at" in sentence(told)


def test_a_crossover_is_found_located_and_worded(record: Any) -> None:
    told = record(toning, noise=0.1)
    assert told.crossover is not None
    assert (told.crossover.dark, told.crossover.light) == ("blue", "yellow")
    assert told.crossover.turn == pytest.approx(2.6, abs=0.3)
    assert told.crossover.near_l == pytest.approx(36, abs=4)
    assert not told.crossover.only
    assert sentence(told).startswith("Session 2 changes from yellow to blue towards the shadows, near L* 3")


@pytest.mark.parametrize("many", some_now([12, 40], 12))
def test_a_crossover_of_two_is_found_and_none_in_neutral_prints(record: Any, many: int) -> None:
    """Built in: 2 dCh; and none in 95 of 100 neutral prints at noise 0.3: the record must not invent."""
    two = [
        record(lambda L: (0.0, 1.0 if L > 50 else -1.0), noise=0.15, seed=k).crossover
        for k in range(many // 2)
    ]
    assert all(turn is not None and abs(turn.near_l - 50) < 6 for turn in two)
    none = [record(noise=0.3, seed=k).crossover for k in range(many)]
    assert sum(turn is None for turn in none) >= 0.95 * many


def test_a_slow_turn_is_located_where_it_passes_neutral(record: Any) -> None:
    """b* falls by 0.06 a unit of L*, through 0 at L* 43: between two steps, and not half way up."""
    told = record(lambda L: (0.0, 0.06 * (L - 43.0)))
    assert told.crossover is not None
    assert told.crossover.near_l == pytest.approx(43.0, abs=0.3)


def test_a_cast_in_one_third_alone_is_no_turn(record: Any) -> None:
    told = record(lambda L: (2.2, 0.0) if L < 30 else (0.0, 0.0))
    assert told.thirds["dark"].cast == "magenta to red"
    assert told.thirds["light"].cast == "none"
    assert told.crossover is not None and told.crossover.only


def test_steps_carry_aim_density_and_what_is_left_out(record: Any, colour_4: Sheet) -> None:
    told = record()
    assert [step.source_l for step in told.steps] == pytest.approx(np.linspace(0, 100, 21), abs=0.01)
    assert told.steps[0].hollow and not told.steps[10].hollow
    assert told.steps[0].density == pytest.approx(2.54, abs=0.01)
    assert told.black.d_max == pytest.approx(told.steps[0].density)
    assert told.black.d_range == pytest.approx(2.5, abs=0.01)
    assert told.black.effective[0] == pytest.approx(2.10, abs=0.02)
    assert told.black.basis == "Y"
    assert told.black.note == "Instruments differ here by 0.05 to 0.1."
    assert told.black.darkest == ""


def test_a_black_that_is_not_the_darkest_is_said(record: Any, room: Any, colour_4: Sheet) -> None:
    lab = lab_of(colour_4)
    lab[1, 0] = lab[0, 0] - 1.0
    rows = {p.id: tuple(row) for p, row in zip(colour_4.patches, lab.tolist(), strict=True)}
    told = neutrality_record(room.session(), colour_4, [room.taken(colour_4, rows)], room.tables)
    assert told is not None and told.black is not None
    assert told.black.darkest == "grey L* 5"


def test_another_patch_of_the_black_itself_is_no_darker_patch(room: Any, colour_4: Sheet) -> None:
    """Noise makes one of two blacks the darker; a patch of another source is no warning within repeats."""
    black = colour_4.patch(colour_4.black_patch or "")
    same = next(p for p in colour_4.patches if p.source == black.source and p.id != black.id)
    lab = lab_of(colour_4)
    row = {p.id: k for k, p in enumerate(colour_4.patches)}
    lab[row[same.id], 0] -= 1.0
    rows = {p.id: tuple(values) for p, values in zip(colour_4.patches, lab.tolist(), strict=True)}
    told = neutrality_record(room.session(), colour_4, [room.taken(colour_4, rows)], room.tables)
    assert told is not None and told.black is not None
    assert told.black.darkest == ""


def test_a_toned_print_with_its_tone_stated_is_not_blamed(record: Any, colour_4: Sheet) -> None:
    sepia = lambda L: (1.5 * (1 - L / 96), 5 * (1 - L / 96))  # noqa: E731
    blamed = record(sepia)
    assert blamed.thirds["dark"].cast != "none"
    curve = np.array([[s.L, s.a, s.b] for s in blamed.steps])
    told = record(sepia, tone=curve, condition={"tone_wanted": "warm"})
    assert told.aim == "toned"
    assert {third.cast for third in told.thirds.values()} == {"none"}


# --- spectra ----------------------------------------------------------------------------------------------


def spectral_run(sheet: Sheet, spectrum_of: Any, condition: str = "M2", repeats: int = 1) -> Taken:
    """A run of spectra; `spectrum_of(share)` for a grey that reflects that share of the perfect diffuser."""
    shares = xyz_from_lab(lab_of(sheet))[:, 1] / 100
    rows = np.repeat(np.arange(len(shares)), repeats)
    spectra = np.array([spectrum_of(shares[k]) for k in rows])
    patches = tuple(PatchRef(sheet.patches[k].id, "", n) for n, k in enumerate(rows, 1))
    run = Run(
        patches=patches,
        stated=Stated(condition=condition),  # type: ignore[arg-type]
        printed_as="managed",
        wavelengths=NM,
        spectra=spectra,
    )
    return match(run, sheet)


PAPER_SPECTRUM = 0.9 - 0.1 * np.exp(-(((NM - 420) / 40) ** 2))  # a cream paper, invented


def test_a_grey_that_is_a_constant_of_its_paper_never_shifts(room: Any, colour_4: Sheet) -> None:
    """By definition of adaptation to the paper: below 0.01 under every light."""
    taken = spectral_run(colour_4, lambda share: PAPER_SPECTRUM * share / 0.9)
    told = neutrality_record(room.session(), colour_4, [taken], room.tables)
    assert told is not None
    assert set(told.lights) == {"A", "LED-B2", "LED-B3", "FL11", "LED-RGB1"}
    assert max(row.largest for row in told.lights.values()) < 0.01
    assert {name for name, row in told.lights.items() if row.stress} == {"FL11", "LED-RGB1"}


def test_a_flat_grey_on_the_perfect_diffuser_never_shifts(room: Any, colour_4: Sheet) -> None:
    def flat(share: float) -> np.ndarray:
        return np.full(NM.size, 1.0 if share > 0.88 else share)

    told = neutrality_record(room.session(), colour_4, [spectral_run(colour_4, flat)], room.tables)
    assert told is not None
    assert max(row.largest for row in told.lights.values()) < 0.01


def test_a_composed_grey_parts_and_the_worst_light_is_named(room: Any, colour_4: Sheet) -> None:
    """Three Gaussian dyes (peaks 650, 545, 445 nm; sigma 45, 35, 40 nm) in the ratio that matches a flat grey
    of 20 % under D50 shift by dCh 2.1 under LED-B2 and 2.4 under LED-B3, 3.5 under LED-RGB1 and 5.2 under
    FL11 (COMPUTED with colour-science 0.4.7, CAT02, on the perfect diffuser)."""
    dyes = np.stack([np.exp(-((NM - peak) ** 2) / 2 / s**2) for peak, s in ((650, 45), (545, 35), (445, 40))])
    amounts = np.array([0.80239092, 0.69052189, 0.75370193])

    def composed(share: float) -> np.ndarray:
        if share > 0.88:
            return np.ones(NM.size)
        return np.asarray(10 ** -(dyes.T @ amounts * np.log10(share) / np.log10(0.2)))

    taken = spectral_run(colour_4, composed)
    told = neutrality_record(room.session(), colour_4, [taken], room.tables)
    assert told is not None
    assert told.worst_light == "LED-B3"
    assert 1.5 < told.lights["LED-B3"].largest < 6
    assert told.lights["FL11"].largest > told.lights["LED-B3"].largest
    assert told.black is not None and told.black.basis == "spectra"
    assert "dCh under LED-B3 (" in sentence(told)


def test_flatness_takes_the_noise_out(room: Any, colour_4: Sheet) -> None:
    """A perfectly flat black of D 2.6, 26 bands, noise 0.0002: largest minus smallest over mean is 0.32; the
    noise-corrected rms of five readings is 0.008 (both COMPUTED), and too little to call it anything."""
    rng = np.random.default_rng(8)

    def noisy(share: float) -> np.ndarray:
        return np.full(NM.size, 0.0025 if share < 0.01 else share) + rng.standard_normal(NM.size) * 0.0002

    told = neutrality_record(
        room.session(), colour_4, [spectral_run(colour_4, noisy, repeats=5)], room.tables
    )
    assert told is not None
    black = told.flatness["black"]
    assert (black.clear_value, black.readings) == (None, 5)
    assert black.floor == pytest.approx(0.0002 / np.sqrt(5) / 0.0025, rel=0.2)


def test_a_coloured_spectrum_is_told_from_noise(room: Any, colour_4: Sheet) -> None:
    """True 0.205 is read as 0.205 at D 2.6 with noise 0.0002 and five readings (COMPUTED)."""
    rng = np.random.default_rng(9)
    wave = np.sin((NM - 430) / 250 * 2 * np.pi)
    bands = (NM >= 430) & (NM <= 680)
    shape = 1 + 0.205 * wave / (wave[bands].std())

    def tinted(share: float) -> np.ndarray:
        level = 0.0025 if share < 0.01 else share
        return level * (shape if share < 0.01 else 1) + rng.standard_normal(NM.size) * 0.0002

    told = neutrality_record(
        room.session(), colour_4, [spectral_run(colour_4, tinted, repeats=5)], room.tables
    )
    assert told is not None
    value = told.flatness["black"].clear_value
    assert value is not None
    assert value == pytest.approx(0.205, abs=0.02)


def test_noise_is_no_departure_from_flat() -> None:
    """True rms 0.05 with a noise floor of 0.02: read as 0.054 unless the noise is taken out (COMPUTED)."""
    rng = np.random.default_rng(4)
    bands = np.arange(430.0, 681.0, 10.0)
    wave = np.sin((bands - 430) / 250 * 2 * np.pi)
    true = 0.0025 * (1 + 0.05 * wave / wave.std())
    values = []
    for _ in range(200):
        rows = true + rng.standard_normal((5, bands.size)) * 0.0025 * 0.02 * np.sqrt(5)
        values.append(spectral_flatness(bands, rows).clear_value)
    assert np.mean([value for value in values if value is not None]) == pytest.approx(0.05, abs=0.0015)


def test_a_single_reading_cannot_tell_flat_from_noise(room: Any, colour_4: Sheet) -> None:
    taken = spectral_run(colour_4, lambda share: np.full(NM.size, share))
    told = neutrality_record(room.session(), colour_4, [taken], room.tables)
    assert told is not None
    assert told.flatness["black"].clear_value is None


# --- age and ring -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("drift", "settled"), [((0.0, 1.5, 1.6, 1.6), 6.0), ((0.0, 1.0, 2.0, 3.0), None)])
def test_a_print_is_settled_once_all_later_ages_agree(
    room: Any, colour_4: Sheet, drift: tuple[float, ...], settled: float | None
) -> None:
    """Read at 1, 6, 24 and 48 h."""
    printed = datetime(2026, 1, 5, tzinfo=UTC)
    runs = []
    for hours, down in zip((1, 6, 24, 48), drift, strict=True):
        lab = lab_of(colour_4) - np.array([down, 0.0, 0.0])
        lab[20] = PAPER
        rows = {p.id: tuple(row) for p, row in zip(colour_4.patches, lab.tolist(), strict=True)}
        stated = Stated(condition="M1", measured_at=printed + timedelta(hours=hours))
        runs.append(replace(room.taken(colour_4, rows, stated=stated), repeats=QUIET))
    told = neutrality_record(room.session(), colour_4, runs, room.tables)
    assert told is not None and told.drying is not None
    assert told.drying.settled == settled
    assert [age.hours for age in told.drying.ages] == [1, 6, 24, 48]
    assert told.drying.ages[1].lighter == pytest.approx(-drift[1] + drift[0], abs=0.05)
    assert told.drying.ages[1].paper == pytest.approx(0.0)


def test_the_ring_tells_the_eye_from_the_print(room: Any, colour_4: Sheet) -> None:
    """The centre was printed 2 to the yellow; the eye took for grey a patch printed 0.5 to the blue."""
    ring = [("41", 0.0, 2.0), ("17", 0.0, -0.5)]
    patches = tuple(
        Patch(f"R{k}", name, "ring", aim_lab=(50.0, 0.0, aim), series="middle", step=k)
        for k, (name, aim) in enumerate([("41", 0.0), ("17", -2.5)], 1)
    )
    region = SheetRegion("ring", None, "ring", "Ring", "", None, (), (), ("R1", "R2"), ())
    sheet = replace(colour_4, regions=(*colour_4.regions, region), patches=(*colour_4.patches, *patches))
    lab = lab_of(colour_4)
    rows = {p.id: tuple(row) for p, row in zip(colour_4.patches, lab.tolist(), strict=True)}
    neutral = lab[10]  # a grey of the wedge: the paper's own grey at that lightness
    for k, (_, a, b) in enumerate(ring, 1):
        rows[f"R{k}"] = (neutral[0], neutral[1] + a, neutral[2] + b)
    session = room.session(room.viewing({("ring", "pick_mid"): Pick((17,))}))
    told = neutrality_record(session, sheet, [room.taken(sheet, rows)], room.tables)
    assert told is not None
    (one,) = told.rings
    assert one.measured
    assert one.eye == pytest.approx((0.0, -0.5), abs=0.02)
    assert one.centre == pytest.approx((0.0, 2.0), abs=0.02)
    unread = neutrality_record(
        session, sheet, [room.taken(sheet, {k: v for k, v in rows.items() if k[0] != "R"})], room.tables
    )
    assert unread is not None
    (nominal,) = unread.rings
    assert not nominal.measured and nominal.centre is None
    assert nominal.eye == pytest.approx((0.0, 2.5), abs=0.02)  # minus the shift that was taken for grey


def test_without_readings_of_a_scale_there_is_no_record(room: Any, colour_4: Sheet) -> None:
    assert neutrality_record(room.session(), colour_4, [], room.tables) is None
