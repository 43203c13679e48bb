"""From the map of a sheet, written in TOML, to a `Sheet`. Every mistake is reported by its key path.

format = 1
title = "..."              what the sheet is called
code = "..."               the code printed on it, if there is one
encoding = "srgb"          of the source values; left out on maps that state CIELAB aims only
source_scale = 255         the value of full light in `source` (255, 65535, 100 or 1)
size_mm = [330.2, 482.6]   width, height
neutral_aim = "paper"      paper, line, absolute or toned
paper = "N21"              the patch that shows bare paper
black = "N01"              the patch that shows the deepest black
seed = 7                   of the shuffled order of the ring-around
feed = "lengthwise"        the longer side runs along the feed; "across": the shorter one

[[region]]                 id, number, kind, title, shows, area = [left, top, width, height], faults,
                           metrics; [[region.question]] for questions other than those of its kind
[[patch]]                  id, name, region, source, device, aim_lab, area, series, step
                           both: leaf = 2 where the area lies on the second leaf of the sheet
"""

import hashlib
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from evaluation.errors import UsageProblem
from evaluation.keyed import Keyed, parsed
from evaluation.plain_text import quoted
from evaluation.sheet.areas import on_sheet
from evaluation.sheet.consistency import check_consistency
from evaluation.sheet.layout import (
    ENCODINGS,
    FEEDS,
    NEUTRAL_AIMS,
    Area,
    Encoding,
    Patch,
    PatchRole,
    Sheet,
    SheetRegion,
    Triple,
)
from evaluation.sheet.questions import metric_names, question_sets, read_questions

FORMAT = 1
_MOST_MM = 20_000.0
_PASSPORT = ("title", "source", "mark", "obtained", "units")


def built_in() -> list[str]:
    """Names of the maps that come with the program."""
    return sorted(entry.name.removesuffix(".toml") for entry in _maps().iterdir())


def _maps() -> Traversable:
    return files("evaluation.sheet").joinpath("maps")


def map_text(name: str) -> str:
    """The text of a map that comes with the program. Raises UsageProblem for an unknown name."""
    known = built_in()
    if name not in known:
        raise UsageProblem(
            "There is no such map.",
            expected=" or ".join(f"“{one}”" for one in known),
            found=quoted(name),
            remedy="Give one of these names, or the file of a map of your own.",
        )
    return _maps().joinpath(f"{name}.toml").read_text(encoding="utf-8")


@lru_cache(maxsize=16)  # a sheet is a value; a map of nine regions takes 60 ms to read
def read_map(text: str, where: str) -> Sheet:
    """The sheet that a map describes; `where` is what messages call the map.

    Raises SheetProblem, which lists the mistakes by their key paths.
    """
    top = parsed(text, where, what="The map was not taken.")
    if top.whole("format", low=0, high=1_000_000) != FORMAT and top.has("format"):
        top.wrong("format", f"{FORMAT}", top.any("format"))
    encoding = top.one_of("encoding", ENCODINGS) if top.has("encoding") else None
    scale = top.number("source_scale", 1.0, low=1.0, high=65_535.0)
    size = top.numbers("size_mm", 2, low=1.0, high=_MOST_MM)
    if not top.has("size_mm"):
        top.note("size_mm", "missing: width and height of the sheet in millimetres")
    code = top.text("code", "")
    title = top.text("title")
    aim = top.one_of("neutral_aim", NEUTRAL_AIMS, "paper")
    seed = top.whole("seed", low=0, high=2**31 - 1) if top.has("seed") else None
    feed = top.one_of("feed", FEEDS) if top.has("feed") else None
    _check_passport(top)

    region_rows = tuple(top.tables("region"))
    patch_rows = tuple(top.tables("patch"))
    named = {
        role: top.text(role) for role in ("paper", "black") if top.has(role)
    }  # roles are the names of the keys
    patches = tuple(_patch(row, encoding, scale, named) for row in patch_rows)
    regions = tuple(_region(row, patches) for row in region_rows)
    top.only()

    check_consistency(top, named, (region_rows, regions), (patch_rows, patches))
    top.finish()
    return Sheet(
        digest=hashlib.sha256(text.encode()).hexdigest(),
        title=title,
        code=code,
        encoding=encoding,
        size_mm=(size[0], size[1]) if size else (0.0, 0.0),
        neutral_aim=aim,
        regions=regions,
        patches=patches,
        paper_patch=named.get("paper"),
        black_patch=named.get("black"),
        seed=seed,
        feed=feed,
    )


def _region(row: Keyed, patches: tuple[Patch, ...]) -> SheetRegion:
    region_id = row.text("id")
    if row.has("id") and not region_id.isidentifier():
        row.wrong("id", "a name of letters, digits and _", region_id)
    kind = row.text("kind", region_id)
    known = question_sets().get(kind)
    asks_its_own = row.has("question")
    if known is None and not asks_its_own and kind:
        row.wrong(
            "kind" if row.has("kind") else "id",
            "a kind with built-in questions (" + ", ".join(question_sets()) + ") or [[region.question]]",
            kind,
        )
    region = SheetRegion(
        id=region_id,
        number=row.whole("number", low=1, high=99) if row.has("number") else None,
        kind=kind,
        title=row.text("title", known.title if known else None),
        shows=row.text("shows", known.shows if known else ""),
        area=_area(row),
        questions=read_questions(row) if asks_its_own else (known.questions if known else ()),
        faults=row.texts("faults", known.faults if known else ()),
        patch_ids=tuple(patch.id for patch in patches if patch.region == region_id),
        metrics=metric_names(row, known.metrics if known else ()),
    )
    row.only()
    return region


def _patch(row: Keyed, encoding: Encoding | None, scale: float, named: Mapping[str, str]) -> Patch:
    patch_id = row.text("id")
    if row.has("id") and (not patch_id or not patch_id.isprintable() or len(patch_id) > 40):
        row.wrong("id", "one to forty printable characters", patch_id)
    source = row.numbers("source", 3, low=0.0, high=scale)
    aim = row.numbers("aim_lab", 3, low=-200.0, high=200.0)
    if aim and not 0.0 <= aim[0] <= 110.0:
        row.wrong("aim_lab[0]", "an L* from 0 to 110", aim[0])
    if source and encoding is None:
        row.note("source", "these values define no colour, since the map states no `encoding`")
    if not row.has("source") and not row.has("aim_lab"):
        row.note("source", "missing, and so is `aim_lab`; one of them must state the colour")
    device = row.any("device")
    patch = Patch(
        id=patch_id,
        name=row.text("name", patch_id),
        region=row.text("region", ""),
        role=_role(patch_id, named),
        source=_scaled(source, scale),
        device=_device(row, device, scale),
        aim_lab=(aim[0], aim[1], aim[2]) if aim else None,
        area=_area(row),
        series=row.text("series", ""),
        step=row.whole("step", low=1, high=100_000) if row.has("step") else None,
    )
    row.only()
    return patch


def _role(patch_id: str, named: Mapping[str, str]) -> PatchRole:
    if patch_id == named.get("paper"):
        return "paper"
    return "black" if patch_id == named.get("black") else "field"


def _scaled(values: tuple[float, ...] | None, scale: float) -> Triple | None:
    return (values[0] / scale, values[1] / scale, values[2] / scale) if values else None


def _device(row: Keyed, values: object, scale: float) -> tuple[float, ...] | None:
    """Device values, one for each channel, on the map's `source_scale`."""
    if values is None:
        return None
    if not isinstance(values, list) or not 1 <= len(values) <= 16:
        row.wrong("device", "a list of 1 to 16 numbers", values)
        return None
    numbers = row.numbers("device", len(values), low=0.0, high=scale)
    return tuple(value / scale for value in numbers) if numbers else None


def _area(row: Keyed) -> Area | None:
    leaf = row.whole("leaf", low=1, high=9) if row.has("leaf") else 1
    values = row.numbers("area", 4, low=0.0, high=1.0)
    if values is None:
        return None
    left, top, width, height = values
    area = Area(left, top, width, height, leaf)
    if not on_sheet(area):
        expected = "left, top, width, height as fractions that stay on the sheet"
        row.wrong("area", expected, list(values))
    return area


def _check_passport(top: Keyed) -> None:
    """A map may state where its aims come from; then it states it completely."""
    if top.has("passport"):
        passport = top.table("passport")
        for key in _PASSPORT:
            passport.text(key)
        passport.only()
