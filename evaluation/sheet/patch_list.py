"""The patches of a sheet in reading order, as ISO 28178 text.

The values are source values: colours of a picture in its encoding, not device values for the printer. Their
columns are named after the encoding, never RGB_R RGB_G RGB_B, which measuring software sends to the printer
unmanaged.
"""

from collections.abc import Sequence

from evaluation.profile.matrix_profile import NAMES
from evaluation.sheet.fields import SCALE
from evaluation.sheet.layout import Encoding, Patch, Sheet

HOW_TO_PRINT = "print as a picture, through the profile"
_REPEATS = "# An id that comes again at the end of the list is a second field of that patch, for repeats."
HOW_TO_PRINT_MONO = f"{HOW_TO_PRINT} or in the driver's black-and-white mode"


def source_columns(encoding: Encoding) -> tuple[str, str, str]:
    """Names of the columns that hold source values.

    >>> source_columns("ecirgb-v2")
    ('ECIRGB_V2_R', 'ECIRGB_V2_G', 'ECIRGB_V2_B')
    """
    stem = encoding.upper().replace("-", "_")
    return f"{stem}_R", f"{stem}_G", f"{stem}_B"


def patch_list(sheet: Sheet, places: Sequence[tuple[str, str, bool]], short: Sequence[Patch]) -> str:
    """The text of the list.

    Parameters
    ----------
    sheet
        The sheet; ValueError is raised for one without an encoding.
    places
        The fields on the patch pages: id of the patch, place ("1A03"), whether it is a repeat.
    short
        The patches of the strip on the sheet, in order.
    """
    if sheet.encoding is None:
        raise ValueError("a sheet without an encoding has no source values")
    mono = any(region.kind.startswith("mono_") for region in sheet.regions)
    on_strip = {patch.id: place for place, patch in enumerate(short, 1)}
    first = {patch: place for patch, place, again in places if not again}
    repeats = [(patch, place) for patch, place, again in places if again]
    columns = source_columns(sheet.encoding)
    fields = ("SAMPLE_ID", "SAMPLE_NAME", *columns, "SAMPLE_LOC", "STRIP_PLACE")
    lines = [
        "ISO28178",
        'ORIGINATOR "drydown"',
        f"DESCRIPTOR {_quoted(sheet.title)}",
        'KEYWORD "SHEET_CODE"',
        f"SHEET_CODE {_quoted(sheet.code)}",
        'KEYWORD "SOURCE_ENCODING"',
        f"SOURCE_ENCODING {_quoted(f'{NAMES[sheet.encoding]}, 0 to {SCALE:g}')}",
        'KEYWORD "PRINT_AS"',
        f"PRINT_AS {_quoted(HOW_TO_PRINT_MONO if mono else HOW_TO_PRINT)}",
        "# SAMPLE_LOC: page, row and place on the patch pages.",
        *([_REPEATS] if repeats else []),
        f"# STRIP_PLACE: 1 to {len(short)}, from left to right, on the strip at the foot of the sheet.",
        *(f'KEYWORD "{column}"' for column in columns),
        'KEYWORD "STRIP_PLACE"',
        f"NUMBER_OF_FIELDS {len(fields)}",
        "BEGIN_DATA_FORMAT",
        "\t".join(fields),
        "END_DATA_FORMAT",
        f"NUMBER_OF_SETS {len(sheet.patches) + len(repeats)}",
        "BEGIN_DATA",
        *(_row(patch, first.get(patch.id, "-"), on_strip.get(patch.id)) for patch in sheet.patches),
        *(_row(sheet.patch(patch), place, None) for patch, place in repeats),
        "END_DATA",
    ]
    return "\n".join(lines) + "\n"


def _row(patch: Patch, place: str, on_strip: int | None) -> str:
    assert patch.source is not None
    values = "\t".join(f"{value * SCALE:.2f}" for value in patch.source)
    return f"{patch.id}\t{_quoted(patch.name)}\t{values}\t{place}\t{on_strip or '-'}"


def _quoted(text: str) -> str:
    return '"' + text.replace('"', "'") + '"'
