"""Modes side by side and tones wanted, on scales made here as CIELAB: words, false alarms, no blame."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black, media_absolute
from evaluation.judgement.greys import NeutralityRecord
from evaluation.judgement.greys_compared import beside, ranked
from evaluation.judgement.neutrality_record import neutrality_record
from evaluation.judgement.repeatability import isotropic
from evaluation.judgement.toning import toning
from evaluation.plain_text import listed
from evaluation.readings.run import Repeats, Stated
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Sheet
from evaluation.telling.neutrality.sentences import difference_words, quote, sentence

PAPER = np.array([96.0, 0.2, -2.1])
READ = 0.1  # spread of one reading in L*, a*, b*
Made = Callable[..., NeutralityRecord]


@pytest.fixture
def scale(room: Any, colour_4: Sheet) -> Made:
    """The record of a print whose inked greys lie off by `lean(L*)`; a seed draws its noise.

    That is what another sheet adds to all inked patches alike, and the noise of each reading.
    """
    xyz = map_black(xyz_from_lab(source_lab(colour_4)), 0.0, 100 * 10**-2.5)
    ideal = np.asarray(lab_from_xyz(media_absolute(xyz, xyz_from_lab(PAPER))))
    inked = np.array([patch.role != "paper" for patch in colour_4.patches])
    sheet = np.sqrt(isotropic(room.tables["sheet_mean"])[0, 0] - READ**2)

    def made(lean: Any = None, *, seed: int | None = None, session: int = 2) -> NeutralityRecord:
        lab = ideal.copy()
        if lean is not None:
            lab[inked, 1:] += [lean(L) for L in lab[inked, 0]]
        if seed is not None:
            rng = np.random.default_rng(seed)
            lab[inked] += sheet * rng.standard_normal(3)
            lab += READ * rng.standard_normal(lab.shape)
        rows = {patch.id: tuple(row) for patch, row in zip(colour_4.patches, lab.tolist(), strict=True)}
        taken = room.taken(colour_4, rows, stated=Stated(condition="M1"))
        taken = replace(taken, repeats=Repeats(np.eye(3) * READ**2, 0.16, 0.3, 0.4, 60, 30))
        told = replace(
            room.session(intent="relative colorimetric", black_point_compensation=True), id=session
        )
        found = neutrality_record(told, colour_4, [taken], room.tables)
        assert found is not None
        return found

    return made


@pytest.mark.long
@pytest.mark.parametrize("pairs", [60, pytest.param(300, marks=pytest.mark.long)])
def test_a_table_of_two_alike_prints_shows_a_difference_in_5_of_100_at_most(
    room: Any, scale: Made, pairs: int
) -> None:
    """Both drawn with what sheets add by default, and read with noise; Holm's correction over all rows."""
    false = sum(
        any(row.beyond for row in beside(scale(seed=k), scale(seed=5000 + k), room.tables).rows)
        for k in range(pairs)
    )
    assert 1 <= false <= 0.05 * pairs, "none at all would be a limit that finds nothing"


def test_a_third_that_differs_is_named_and_the_others_are_not(room: Any, scale: Made) -> None:
    leaning = scale(lambda L: (0.0, 4.0) if L < 30 else (0.0, 0.0), session=3)
    found = beside(scale(), leaning, room.tables)
    assert {row.what: row.word for row in found.casts} == {
        "light": "alike",
        "middle": "alike",
        "dark": "large",
    }
    said = difference_words(found)
    assert said.startswith("3 against 2: cast of the highlights alike (0.0 dCh)")
    assert "cast of the shadows large (4.0 dCh)" in said


def test_what_is_measured_and_too_small_to_see_says_so(room: Any, scale: Made) -> None:
    """1.5 dCh along b* is beyond the default spread of sheets, and below 1.5 dE00, the grade of 4."""
    found = beside(scale(), scale(lambda L: (0.0, 1.5), session=3), room.tables)
    assert {row.word for row in found.casts} == {"measured"}
    words = quote({2: scale(), 3: scale(lambda L: (0.0, 1.5), session=3)}, [found], {2: "A", 3: "B"}, "Rag")
    assert (
        "they differ measurably in the highlights, mid-tones and shadows, beyond the repeats of both."
        in words
    )


def test_prints_rank_by_their_worst_third(scale: Made) -> None:
    records = {
        7: scale(lambda L: (0.0, 3.0), session=7),
        8: scale(session=8),
        9: scale(lambda L: (0.0, 4.0) if L > 70 else (0.0, 0.0), session=9),
    }
    assert ranked(records) == (8, 7, 9)


@pytest.mark.parametrize(
    ("lean", "family", "held"),
    [
        ((1.5, 3.0), "warm", "as wanted"),
        ((1.5, 3.0), "cool", "the other way"),
        ((-0.5, -3.0), "cool", "as wanted"),
        ((-3.0, 0.5), "warm", "the other way"),
        ((0.1, 0.3), "warm", "barely toned"),
    ],
)
def test_a_side_that_was_wanted_is_told(
    room: Any, scale: Made, lean: tuple[float, float], family: Any, held: str
) -> None:
    record = scale(lambda L: lean)
    found = toning(record, family, room.tables)
    assert found is not None and (found.held, found.turns) == (held, False)
    assert found.shift == pytest.approx(np.hypot(*lean), abs=0.05)
    assert family in sentence(record, found)


def test_a_tone_that_turns_is_told_as_a_turn(room: Any, scale: Made) -> None:
    record = scale(lambda L: (1.0, 4.0) if L > 45 else (0.0, -1.5))
    found = toning(record, "warm", room.tables)
    assert found is not None and found.turns
    assert "changing from yellow to blue towards the shadows" in sentence(record, found)


def test_a_lean_throughout_is_said_once(scale: Made) -> None:
    assert sentence(scale(lambda L: (0.0, 2.0))).startswith(
        "Session 2 has a cast, yellow from grey L* 95 to grey L* 10, up to 2."
    )
    dark = sentence(scale(lambda L: (0.0, 4.0) if L < 30 else (0.0, 0.0)))
    assert dark.startswith("Session 2 has a cast, yellow in the shadows by 3.")


def test_parts_of_a_sentence_are_listed() -> None:
    assert [listed(parts) for parts in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == [
        "",
        "a",
        "a and b",
        "a, b and c",
    ]
