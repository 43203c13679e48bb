"""Rows find their patches by id, name or the values printed, and by order only with consent."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from evaluation.errors import FileProblem
from evaluation.readings.colours import colours
from evaluation.readings.match import kept, match, settled
from evaluation.readings.run import PatchRef, PrintedAs, Run, Stated
from evaluation.sheet.layout import Patch, Sheet
from evaluation.sheet.load import map_text, read_map

SOURCES = [(level, level, level) for level in np.linspace(0, 1, 12).tolist()]


def a_sheet(sources: Sequence[tuple[float, float, float]] = SOURCES, device: bool = False) -> Sheet:
    patches = tuple(
        Patch(
            id=f"N{number:02}",
            name=f"grey {number}",
            region="neutral",
            source=source,
            device=tuple(1 - value for value in source) if device else None,
        )
        for number, source in enumerate(sources, 1)
    )
    return Sheet("0" * 64, "Greys", "", "srgb", (100, 100), "paper", (), patches, "N12", "N01")


def a_run(
    ids: Sequence[str] = (),
    names: Sequence[str] = (),
    device: Sequence[Sequence[float]] | None = None,
    printed_as: PrintedAs = "not stated",
) -> Run:
    count = max(len(ids), len(names), len(device or ()))
    lab = np.column_stack((np.linspace(5, 95, count), np.zeros(count), np.zeros(count)))
    return Run(
        patches=tuple(
            PatchRef(ids[row] if ids else str(row + 1), names[row] if names else "", row + 1)
            for row in range(count)
        ),
        stated=Stated(),
        printed_as=printed_as,
        lab=lab,
        device=np.array(device) if device is not None else None,
        device_space="RGB" if device is not None else None,
    )


def test_by_id_whatever_the_case() -> None:
    taken = match(a_run(ids=["n03", "N01", "n12"]), a_sheet())
    assert taken.matched_by == "id"
    assert taken.matched == {"N03": (0,), "N01": (1,), "N12": (2,)}
    assert "N02" in taken.unmatched_patches and len(taken.unmatched_patches) == 9


def test_by_id_without_leading_zeros() -> None:
    sheet = a_sheet()
    numbered = Sheet(
        *(
            getattr(sheet, field)
            for field in ("digest", "title", "code", "encoding", "size_mm", "neutral_aim")
        ),
        regions=(),
        patches=(Patch("7", "seven", ""), Patch("8", "eight", "")),
        paper_patch=None,
        black_patch=None,
    )
    assert match(a_run(ids=["0007", "0008"]), numbered).matched == {"7": (0,), "8": (1,)}


def test_by_name_when_ids_are_numbers_of_the_file() -> None:
    taken = match(a_run(names=["grey 2", "Grey 1", "unknown"]), a_sheet())
    assert taken.matched_by == "name"
    assert taken.matched == {"N02": (0,), "N01": (1,)}
    assert taken.unmatched_rows == (2,)


def test_by_source_values_as_eight_bits_round_them() -> None:
    device = np.round(np.array(SOURCES[::-1]) * 255) / 255
    taken = match(a_run(device=device.tolist()), a_sheet())
    assert taken.matched_by == "source values"
    assert taken.matched["N12"] == (0,) and taken.matched["N01"] == (11,)


def test_unmanaged_goes_by_device_values_never_by_source_values() -> None:
    source_like = a_run(device=SOURCES[:4], printed_as="unmanaged")
    assert match(source_like, a_sheet()).matched == {}
    inverted = a_run(device=[tuple(1 - v for v in s) for s in SOURCES], printed_as="unmanaged")
    taken = match(inverted, a_sheet(device=True))
    assert taken.matched_by == "device values"
    assert taken.matched["N01"] == (0,)


def test_order_needs_consent() -> None:
    run = a_run(ids=[f"x{number}" for number in range(12)])
    without = match(run, a_sheet())
    assert without.matched == {}
    taken = match(run, a_sheet(), by_order=True)
    assert taken.matched_by == "order" and taken.matched["N05"] == (4,)


def test_a_run_kept_by_order_stays_so_whatever_its_ids_look_like() -> None:
    """Ids that only count rows are those of a sheet that counts its patches; for others it is worked out."""
    counting = replace(
        a_sheet(), patches=tuple(replace(p, id=p.id[1:].lstrip("0")) for p in a_sheet().patches)
    )
    run = a_run(ids=[str(number) for number in range(1, 13)])
    taken = match(run, counting, by_order=True)
    assert kept(settled(taken), counting).matched_by == "order"
    plain = settled(match(a_run(ids=[f"x{number}" for number in range(12)]), a_sheet(), by_order=True))
    assert kept(replace(plain, matched_by=None), a_sheet()).matched_by == "order"
    for values, likely in ((SOURCES, "source values"), (SOURCES[::-1], "order")):
        valued = replace(plain, matched_by=None, device=np.array(values), device_space="RGB")
        assert kept(valued, a_sheet()).matched_by == likely


def test_process_patches_found_by_id_alone_are_doubted() -> None:
    """T1 to T5 are also the first fields of a strip T: letter and number, as common practice has it."""
    patches = tuple(
        replace(patch, id=f"T{step}", series="process") if (step := number - 10) > 0 else patch
        for number, patch in enumerate(a_sheet().patches, 1)
    )
    sheet = replace(a_sheet(), patches=patches)
    doubt = "found of this sheet, by id alone: T1 and T2; other charts have patches of these names too"
    assert doubt in match(a_run(ids=["T1", "T2", "T3"]), sheet).remarks
    assert not match(a_run(ids=["T1", "T2", "N01"]), sheet).remarks  # borne out by another
    assert not match(a_run(ids=["T2", "T1"], device=SOURCES[10:]), sheet).remarks  # by its values


def test_order_says_where_ids_say_otherwise() -> None:
    taken = match(a_run(ids=["N02", "N01", "N03"]), a_sheet(), by_order=True)
    assert taken.matched["N01"] == (0,)
    assert any("by id, 2 rows would be of other patches" in remark for remark in taken.remarks)


def test_ids_of_another_chart_do_not_count() -> None:
    ids = [patch.id for patch in a_sheet().patches]
    run = a_run(ids=ids, device=[(0.9, 0.1, 0.2)] * 12)
    taken = match(run, a_sheet())
    assert taken.matched == {}
    assert any("another chart" in remark for remark in taken.remarks)


def test_a_row_with_other_values_than_its_id_is_named_and_not_matched() -> None:
    ids = [patch.id for patch in a_sheet().patches]
    device = [*SOURCES[:11], (0.5, 0.1, 0.1)]
    taken = match(a_run(ids=ids, device=device), a_sheet())
    assert taken.matched_by == "id" and len(taken.matched) == 11
    assert "N12" in taken.unmatched_patches and taken.unmatched_rows == (11,)
    assert any("not those of the patch of their id: N12" in r for r in taken.remarks)


@pytest.mark.parametrize(("differing", "by_id"), [(1, 9), (2, 0), (3, 0)])
def test_a_fifth_of_other_values_is_another_chart(differing: int, by_id: int) -> None:
    """Of 10 rows 2 are a fifth: as two charts differ that number their greys alike."""
    sheet = a_sheet(SOURCES[:10])
    others = [(0.01 * (n + 1), 0.9, 0.5) for n in range(differing)]
    device = [*SOURCES[: 10 - differing], *others]
    # Values are taken only where ids are not, so that the count tells which of them was used.
    run = a_run(ids=[patch.id for patch in sheet.patches], device=device, printed_as="unmanaged")
    twin = replace(sheet, patches=tuple(replace(patch, device=patch.source) for patch in sheet.patches))
    taken = match(run, twin)
    assert (len(taken.matched) if taken.matched_by == "id" else 0) == by_id
    assert any("another chart" in r for r in taken.remarks) == (not by_id)


def test_a_patch_read_often_does_not_make_two_charts_one() -> None:
    """3 of 10 patches differ; ten more readings of one that agrees would hide them among the rows."""
    sheet = a_sheet(SOURCES[:10])
    ids = [patch.id for patch in sheet.patches]
    device = [*SOURCES[:7], (0.9, 0.1, 0.1), (0.1, 0.9, 0.1), (0.1, 0.1, 0.9)]
    taken = match(a_run(ids=[*ids, *["N01"] * 10], device=[*device, *[SOURCES[0]] * 10]), sheet)
    assert any("3 of 10 patches have other values; another chart" in r for r in taken.remarks)


def test_readings_of_one_built_in_sheet_are_no_readings_of_another() -> None:
    """The two number their patches alike and share some values; the printed values tell them apart."""
    mono, colour = (read_map(map_text(name), name) for name in ("mono-7", "colour-4"))
    run = a_run(
        ids=[patch.id for patch in mono.patches],
        device=[patch.source for patch in mono.patches if patch.source is not None],
    )
    taken = match(run, colour)
    assert taken.matched_by != "id"
    sources = {patch.id: patch.source for patch in colour.patches}
    for patch, rows in taken.matched.items():
        for row in rows:
            assert mono.patches[row].source == pytest.approx(sources[patch], abs=0.003)


def test_repeated_rows_are_kept_together_with_their_spread() -> None:
    run = a_run(ids=["N01", "N02", "N01", "N02", "N01"])
    taken = match(run, a_sheet())
    assert taken.matched == {"N01": (0, 2, 4), "N02": (1, 3)}
    assert (taken.repeats.readings, taken.repeats.patches) == (5, 2)
    # Rows lie 22.5 L* apart: N01 at 5, 50, 95 and N02 at 27.5, 72.5.
    assert taken.repeats.mcdm == pytest.approx((45 + 0 + 45 + 22.5 + 22.5) / 5)


def test_patches_printed_alike_take_rows_in_turn() -> None:
    sheet = a_sheet([(0.5, 0.5, 0.5), (0.5, 0.5, 0.5), (0.0, 0.0, 0.0)])
    taken = match(a_run(device=[(0.5, 0.5, 0.5), (0, 0, 0), (0.5, 0.5, 0.5)]), sheet)
    assert taken.matched == {"N01": (0,), "N02": (2,), "N03": (1,)}
    assert any("in turn" in remark for remark in taken.remarks)


def test_what_was_settled_is_found_again() -> None:
    taken = match(a_run(names=["grey 2", "grey 1", "unknown"]), a_sheet())
    run = settled(taken)
    assert [ref.patch for ref in run.patches] == ["N02", "N01", ""]
    again = kept(run, a_sheet())
    assert (again.matched, again.matched_by, again.unmatched_rows) == (taken.matched, "name", (2,))


@pytest.mark.parametrize(
    ("illuminant", "observer"), [("D65", "2"), ("D50", "10"), ("D65", "10"), ("A", None)]
)
def test_given_colours_of_another_light_or_observer_are_refused(
    illuminant: str, observer: str | None
) -> None:
    run = Run((PatchRef("1", "", 1),), Stated(illuminant=illuminant, observer=observer), lab=np.ones((1, 3)))
    with pytest.raises(FileProblem, match="D50 and the 2 degree observer") as caught:
        colours(run)
    assert illuminant in str(caught.value)


def test_spectra_win_over_given_colours_of_another_light() -> None:
    nm = np.arange(380.0, 731.0, 10.0)
    run = Run(
        (PatchRef("1", "", 1),),
        Stated(illuminant="D65", observer="10"),
        wavelengths=nm,
        spectra=np.ones((1, 36)),
        lab=np.full((1, 3), 50.0),
    )
    found = colours(run)
    assert found.basis == "spectra"
    np.testing.assert_allclose(found.lab_d50, [[100, 0, 0]], atol=0.01)


def test_ids_of_the_sheet_in_the_column_of_names() -> None:
    """Programs that number the rows of a list of patches keep its ids as names."""
    taken = match(a_run(ids=["1", "2", "3"], names=["N03", "N01", "N12"]), a_sheet())
    assert taken.matched_by == "name" and taken.matched == {"N03": (0,), "N01": (1,), "N12": (2,)}
    assert kept(settled(taken), a_sheet()).matched_by == "name"


@pytest.mark.parametrize("steps", [255, 100], ids=["cut to eight bits", "rounded to percent"])
def test_values_written_coarsely_are_still_those_of_their_id(steps: int) -> None:
    values = (np.floor(np.array(SOURCES) * steps + (0.0 if steps == 255 else 0.5)) / steps).tolist()
    taken = match(a_run(ids=[f"N{n:02}" for n in range(1, 13)], device=values), a_sheet())
    assert taken.matched_by == "id" and len(taken.matched) == 12 and not taken.remarks


def test_places_as_ids_that_look_like_the_sheets_raise_no_doubt_where_values_place_all() -> None:
    order = [3, 0, 7]
    run = a_run(ids=["N01", "N02", "N03"], device=[SOURCES[k] for k in order])
    taken = match(run, a_sheet())
    assert taken.matched_by == "source values" and set(taken.matched) == {"N04", "N01", "N08"}
    assert not any("another chart" in remark for remark in taken.remarks)
