"""The pictures of the sheet: the same in every strip, inside their encoding, of their chips' colours."""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.colorimetry.encodings import ENCODINGS as SPACES
from evaluation.colorimetry.encodings import rgb_from_xyz, xyz_from_rgb
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.errors import Cancelled
from evaluation.sheet import fields, hung
from evaluation.sheet.layout import ENCODINGS
from evaluation.sheet.scenes import encode, shelf
from evaluation.sheet.scenes.catalogue import COLOUR, DISC_MM, MONO, SCENES, Scene
from evaluation.sheet.scenes.encode import in_encoding, kept, light_of
from evaluation.sheet.scenes.ground import drawn
from evaluation.sheet.sizes import INCH

PITCH = INCH / 300

# Landscapes lay a grid of heights first, which takes seconds.
each_scene = pytest.mark.parametrize(
    "scene",
    [
        pytest.param(one, id=name, marks=[pytest.mark.long] * (name not in ("fruit", "cloth")))
        for name, one in SCENES.items()
    ],
)


def part(
    scene: Scene, width: int, first: int, last: int, pitch: float = PITCH, left: float = 18.0
) -> np.ndarray:
    """Rows of a picture 20 mm down: (rows, width, 3) linear light."""
    from_top = round(20 / pitch)
    rows = drawn(
        scene.points,
        width,
        from_top + first,
        from_top + last,
        10_000,
        pitch,
        left=left,
        edges=scene.edges,
        fine=scene.fine,
    )
    return np.asarray(rows)


@each_scene
def test_a_picture_is_the_same_in_other_strips_and_at_twice_the_resolution(scene: Scene) -> None:
    """Bit by bit over a seam; pixels of 600 ppi, averaged, are those of 300 within a little (own choice)."""
    whole = part(scene, 48, 0, 12)
    cut = np.concatenate([part(scene, 48, 0, 5), part(scene, 48, 5, 12)])
    assert np.array_equal(whole, cut)
    assert whole.min() >= 0 and np.isfinite(whole).all()
    fine = part(scene, 96, 0, 24, PITCH / 2).reshape(12, 2, 48, 2, 3).mean(axis=(1, 3))
    Y, Y_fine = (np.cbrt(each.mean(axis=-1)) * 100 for each in (whole, fine))
    assert abs(float(Y.mean() - Y_fine.mean())) < 1.5, "L* or so"


@each_scene
def test_chips_are_colours_of_their_picture_and_inside_srgb(scene: Scene) -> None:
    """The mean over a disc of 1.8 mm at the named place lies within 1 dE00 of the chip.

    At 150 ppi, where the finest texture differs a little: hair and leaves within 2.5.
    """
    pitch = INCH / 150
    for chip in scene.chips:
        rgb = rgb_from_xyz(xyz_from_lab(np.array(chip.lab)), "srgb")
        assert rgb.min() > -0.002 and rgb.max() < 1.002, chip.name
    for chip in scene.chips[:: len(scene.chips) - 1]:
        side = round(DISC_MM / pitch)
        x0, y0 = chip.at[0] - DISC_MM / 2, round((chip.at[1] - DISC_MM / 2) / pitch)
        light = drawn(
            scene.points, side, y0, y0 + side, 10_000, pitch, left=x0, edges=scene.edges, fine=scene.fine
        )
        middle = (np.arange(side) + 0.5) / side - 0.5
        disc = np.hypot(middle[:, None], middle[None]) < 0.5
        mean = light[disc].mean(axis=0).astype(np.float64)
        found = lab_from_xyz(mean @ SPACES["romm-rgb"].matrix.T)
        close = 2.5 if scene.name in ("hair", "foliage") else 1.0
        assert float(delta_e_2000(found, np.array(chip.lab))) < close, (chip.name, found)


def test_what_an_encoding_cannot_hold_is_drawn_in_and_greys_stay_grey(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rng = np.random.default_rng(7)
    light = rng.uniform(0, 1, (4000, 3)).astype(np.float32) ** 2
    for encoding in ENCODINGS:
        coded = in_encoding(light, encoding).astype(np.float64) / 65535
        assert coded.min() >= 0 and coded.max() <= 1
        Y = xyz_from_rgb(coded, encoding)[:, 1] / 100
        want = light.astype(np.float64) @ SPACES["romm-rgb"].matrix[1] / 100
        assert np.abs(Y - want).max() < 2e-3, "luminance is kept"
        grey = in_encoding(light, encoding, grey=True)
        assert (grey == grey[:, :1]).all()
        stored = kept(light).reshape(40, 100, 3)
        at_once = in_encoding(light_of(stored).reshape(-1, 3), encoding)
        monkeypatch.setattr(encode, "_AT_ONCE", 333)
        parts = encode.of_kept(stored, encoding).reshape(-1, 3)
        assert np.abs(parts.astype(int) - at_once.astype(int)).max() <= 1, "a wide one in parts"
    # Inside sRGB and far from its edge a colour is itself in all encodings.
    calm = np.full((1, 3), 0.2, np.float32) + np.array([[0.02, 0.0, -0.01]], np.float32)
    seen = [lab_from_xyz(xyz_from_rgb(in_encoding(calm, e) / 65535, e))[0] for e in ENCODINGS]
    assert max(np.linalg.norm(one - other) for one, other in pairwise(seen)) < 0.05
    assert np.abs(light_of(kept(light)) - light).max() < 1e-4


def test_mono_chips_are_neutral_and_colour_chips_are_patches_of_their_picture() -> None:
    mono = fields.chips(MONO, "srgb", "mono_scenes", grey=True)
    assert all(len(set(patch.source)) == 1 for patch in mono) and len(mono) == 25
    colour = fields.chips(COLOUR, "srgb", "scenes")
    assert len({patch.id for patch in colour}) == len(colour) == 45
    assert {patch.series for patch in colour} == {scene.title for scene in SCENES.values()}


@pytest.mark.parametrize(
    ("width", "rows"), [(194.0, 3), (314.2, 2), (416.0, 2), (514.0, 2), (593.0, 1), (1000.0, 2)]
)
def test_rows_of_pictures_are_full(width: float, rows: int) -> None:
    """Whatever is left of a row shows more of a picture, or one again."""
    across = hung._across(width)
    found = hung._rows(COLOUR, width)
    assert len(found) == rows
    assert {name for row in found for name, _ in row} == set(COLOUR)
    for names, panorama in ((COLOUR, False), (COLOUR, True), (MONO, True)):
        found = hung._rows(names, width, panorama)
        assert all(sum(slots for _, slots in row) == across for row in found)
        assert {name for row in found for name, _ in row} == set(names)
    assert hung._rows(COLOUR, width, True)[-1] == [("dusk", across)]


def test_a_picture_is_drawn_once_and_a_damaged_one_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The smallest there can be, in this process; what was kept before is not drawn again."""
    wanted = shelf.Wanted("cloth", 6.0, 30)
    monkeypatch.setattr(shelf, "processors", lambda: 1)
    folder = tmp_path / "kept"
    first = np.array(shelf.pictures([wanted], tmp_path, folder=folder)[wanted])
    assert first.shape == (53, 7, 3) and first.dtype == np.uint16
    monkeypatch.setattr(shelf, "_rows", lambda *task: pytest.fail("drawn again"))
    assert np.array_equal(shelf.pictures([wanted], tmp_path, folder=folder)[wanted], first)
    monkeypatch.undo()
    monkeypatch.setattr(shelf, "processors", lambda: 1)
    (folder / wanted.file).write_bytes(b"half a picture")
    assert np.array_equal(shelf.pictures([wanted], tmp_path, folder=folder)[wanted], first)
    assert [path.name for path in folder.iterdir()] == [wanted.file]


def test_a_folder_that_cannot_be_written_to_costs_nothing_but_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shelf, "processors", lambda: 1)
    wanted = shelf.Wanted("cloth", 6.0, 30)
    (tmp_path / "file").write_text("in the way")
    assert shelf.pictures([wanted], tmp_path, folder=tmp_path / "file")[wanted].shape == (53, 7, 3)


def test_drawing_stops_where_it_is_told_to(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shelf, "processors", lambda: 1)
    calls = []

    def progress(done: int, parts: int, words: str) -> None:
        calls.append((done, parts))
        if done:
            raise Cancelled("Stopped.")

    with pytest.raises(Cancelled):
        shelf.pictures([shelf.Wanted("cloth", 6.0, 30)], tmp_path, progress, tmp_path / "kept")
    assert calls == [(0, 2), (1, 2)]
    assert list((tmp_path / "kept").iterdir()) == []


@pytest.mark.long
def test_processes_draw_what_one_draws(tmp_path: Path) -> None:
    wanted = [shelf.Wanted("cloth", 60.0, 40), shelf.Wanted("dusk", 60.0, 40)]
    found = shelf.pictures(wanted, tmp_path, folder=tmp_path / "kept")
    for each in wanted:
        rows = [shelf._rows(each, *strip) for strip in shelf._strips(each)]
        assert np.array_equal(found[each], np.concatenate(rows))
