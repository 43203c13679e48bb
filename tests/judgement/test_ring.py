"""A ring-around in a mode that prints no colour: not graded, no weight, said so."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from evaluation.judgement import ring
from evaluation.judgement.neutrality_record import neutrality_record
from evaluation.judgement.weigh import weigh
from evaluation.metrics.gather import gather
from evaluation.metrics.grey_metrics import ring_slope
from evaluation.readings.run import Repeats
from evaluation.session import Grade, Pick
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Sheet
from evaluation.sheet.load import map_text, read_map
from evaluation.telling.weighing import WORDS
from tests.judgement.prints import Promise

REPEATS = Repeats(np.eye(3) * 0.1**2, 0.15, 0.3, 0.4, 40, 20)


@pytest.fixture(scope="module")
def mono() -> Sheet:
    return read_map(map_text("mono-7"), "mono-7")


def rows(sheet: Sheet, colour: float) -> dict[str, Any]:
    """The sheet printed as it is, its colours times `colour`: 0 is a driver's black and white."""
    lab = Promise(sheet).all() * [1.0, colour, colour]
    return {patch.id: tuple(row) for patch, row in zip(sheet.patches, lab, strict=True)}


def picks(sheet: Sheet) -> dict[tuple[str, str], Any]:
    first = {p.series: p for p in sheet.patches if p.region == "ring"}
    named = {f"pick_{part}": first[name] for part, name in (("dark", "dark"), ("mid", "middle"))}
    return {("ring", question): Pick((int(patch.name),)) for question, patch in named.items()}


def weighed(room: Any, sheet: Sheet, colour: float, mode: str) -> Any:
    graded = {(region.id, "overall"): Grade(5) for region in sheet.regions}
    session = room.session(room.viewing(graded | picks(sheet)), driver_mode=mode)
    taken = replace(room.taken(sheet, rows(sheet, colour)), repeats=REPEATS)
    return session, taken, weigh(session, sheet, [taken], room.tables, words=WORDS)


def test_a_ring_printed_as_one_grey_is_left_out(room: Any, mono: Sheet) -> None:
    _, _, weighing = weighed(room, mono, 0.0, "driver's black and white")
    found = next(row for row in weighing.findings if row.kind == "ring")
    assert (found.agreement, found.eye, found.instrument, found.combined) == ("left out", None, None, None)
    assert found.why == "This mode prints no colour, so the ring-around shows nothing."


def test_a_ring_printed_in_colour_is_graded(room: Any, mono: Sheet) -> None:
    _, _, weighing = weighed(room, mono, 1.0, "through the profile")
    found = next(row for row in weighing.findings if row.kind == "ring")
    assert found.agreement != "left out" and found.eye is not None and found.instrument is not None


def test_what_is_left_out_has_no_weight(room: Any, mono: Sheet) -> None:
    """The ring-around is a tenth of black and white: without it nothing is missing from the verdict."""
    session, taken, weighing = weighed(room, mono, 0.0, "driver's black and white")
    assert weighing.verdicts["black and white"].verdict != "incomplete"
    heavy = {**room.tables.uses["black and white"].weights, "ring": 50.0}
    uses = {
        **room.tables.uses,
        "black and white": replace(room.tables.uses["black and white"], weights=heavy),
    }
    again = weigh(session, mono, [taken], replace(room.tables, uses=uses), words=WORDS)
    assert again.verdicts["black and white"] == weighing.verdicts["black and white"]


def test_the_record_tells_no_ring_that_was_printed_as_one_grey(room: Any, mono: Sheet) -> None:
    grey, colour = (
        weighed(room, mono, share, mode) for share, mode in ((0.0, "driver's own grey"), (1.0, ""))
    )
    for (session, taken, _), told in ((grey, False), (colour, True)):
        record = neutrality_record(session, mono, [taken], room.tables)
        assert record is not None
        assert (record.colourless, bool(record.rings)) == (not told, told)


@pytest.mark.parametrize("colour", [0.0, 0.25, 0.45, 0.6, 0.87, 1.01])
def test_the_slope_is_the_share_of_colour_that_is_printed(room: Any, mono: Sheet, colour: float) -> None:
    """Against a least-squares line of another library, group by group about its mean."""
    found = gather(mono, [room.taken(mono, rows(mono, colour))], room.session().condition, room.tables.limits)
    assert found is not None
    evidence = found.regions["ring"]
    stated = {patch.id: lab for patch, lab in zip(mono.patches, source_lab(mono), strict=True)}
    own = np.array([stated[patch.id][1:] for patch in evidence.patches])
    slope = ring_slope(evidence, own)
    series = np.array([patch.series for patch in evidence.patches])
    x, y = (
        np.concatenate(
            [(ab[series == s] - ab[series == s].mean(axis=0)).ravel() for s in sorted(set(series))]
        )
        for ab in (own, evidence.absolute[:, 1:])
    )
    assert slope == pytest.approx(np.polyfit(x, y, 1)[0], abs=1e-6)
    assert slope == pytest.approx(colour, abs=0.03)
    assert ring.colourless(evidence, stated, room.tables) == (colour < 0.5)
