"""A `Sheet` as TOML that `load.read_map` reads back to the same sheet.

Questions are written out in full, so that a session keeps the questions it was asked.
"""

from collections.abc import Iterable, Iterator, Sequence

from evaluation.sheet.fields import SCALE
from evaluation.sheet.layout import Area, Patch, Question, Sheet, SheetRegion
from evaluation.sheet.load import FORMAT

_CONTROL = {ord(char): f"\\u{ord(char):04x}" for char in map(chr, (*range(32), 127))}


def map_toml(sheet: Sheet, remark: str = "") -> str:
    """The text of the map, `remark` as a comment at its head. `sheet.digest` is not written."""
    lines = [f"# {line}" for line in remark.splitlines()]
    lines += [f"format = {FORMAT}", f"title = {toml_text(sheet.title)}"]
    if sheet.code:
        lines.append(f"code = {toml_text(sheet.code)}")
    if sheet.encoding:
        lines += [f"encoding = {toml_text(sheet.encoding)}", f"source_scale = {SCALE:g}"]
    lines += [f"size_mm = {_numbers(sheet.size_mm, 2)}", f"neutral_aim = {toml_text(sheet.neutral_aim)}"]
    if sheet.paper_patch:
        lines.append(f"paper = {toml_text(sheet.paper_patch)}")
    if sheet.black_patch:
        lines.append(f"black = {toml_text(sheet.black_patch)}")
    if sheet.seed is not None:
        lines.append(f"seed = {sheet.seed}")
    if sheet.feed is not None:
        lines.append(f"feed = {toml_text(sheet.feed)}")
    if sheet.patches:
        lines += [
            "",
            "patch = [",
            *(f"  {_patch(patch)},{_in_mm(patch.area, sheet)}" for patch in sheet.patches),
            "]",
        ]
    for region in sheet.regions:
        lines += ["", *_region(region, sheet)]
    return "\n".join(lines) + "\n"


def _region(region: SheetRegion, sheet: Sheet) -> Iterator[str]:
    yield "[[region]]"
    yield f"id = {toml_text(region.id)}"
    if region.number is not None:
        yield f"number = {region.number}"
    yield f"kind = {toml_text(region.kind)}"
    yield f"title = {toml_text(region.title)}"
    yield f"shows = {toml_text(region.shows)}"
    if region.area:
        yield f"area = {_area(region.area)}{_in_mm(region.area, sheet)}"
        if region.area.leaf > 1:
            yield f"leaf = {region.area.leaf}"
    yield f"faults = {_texts(region.faults)}"
    yield f"metrics = {_texts(region.metrics)}"
    for question in region.questions:
        yield from ("", *_question(question))


def _question(question: Question) -> Iterator[str]:
    yield "[[region.question]]"
    yield f"id = {toml_text(question.id)}"
    yield f"answer = {toml_text(question.answer)}"
    yield f"ask = {toml_text(question.ask)}"
    for key in ("look", "distance", "light", "pairs_with"):
        if value := getattr(question, key):
            yield f"{key} = {toml_text(value)}"
    if question.parts:
        yield f"parts = {_texts(question.parts)}"
    for grade, words in question.grades:
        yield f"g{grade} = {toml_text(words)}"


def _patch(patch: Patch) -> str:
    parts = [f"id = {toml_text(patch.id)}"]
    if patch.name != patch.id:
        parts.append(f"name = {toml_text(patch.name)}")
    if patch.region:
        parts.append(f"region = {toml_text(patch.region)}")
    if patch.series:
        parts.append(f"series = {toml_text(patch.series)}")
    if patch.step is not None:
        parts.append(f"step = {patch.step}")
    if patch.source:
        parts.append(f"source = {_numbers([value * SCALE for value in patch.source], 2)}")
    if patch.aim_lab:
        parts.append(f"aim_lab = {_numbers(patch.aim_lab, 4)}")
    if patch.area:
        parts.append(f"area = {_area(patch.area)}")
        if patch.area.leaf > 1:
            parts.append(f"leaf = {patch.area.leaf}")
    return "{ " + ", ".join(parts) + " }"


def _in_mm(area: Area | None, sheet: Sheet) -> str:
    """The same rectangle in millimetres from the upper left corner of its leaf, as a comment."""
    if area is None:
        return ""
    wide, high = sheet.size_mm
    left, top, width, height = area.left * wide, area.top * high, area.width * wide, area.height * high
    return f" # mm: {left:.1f} {top:.1f}, {width:.1f} x {height:.1f}"


def _area(area: Area) -> str:
    return _numbers((area.left, area.top, area.width, area.height), 5)


def _numbers(values: Sequence[float], decimals: int) -> str:
    return "[" + ", ".join(f"{value:.{decimals}f}".rstrip("0").rstrip(".") for value in values) + "]"


def _texts(values: Iterable[str]) -> str:
    return "[" + ", ".join(toml_text(value) for value in values) + "]"


def toml_text(value: str) -> str:
    """A TOML basic string: any text, control characters included, on one line."""
    escaped = value.replace("\\", "\\\\").replace('"', '\\"').translate(_CONTROL)
    return f'"{escaped}"'
