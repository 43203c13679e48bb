"""Curves, matrix and whites of a profile, checked before an engine reads them.

Layouts: ICC.1:2022 10.6 (curveType), 10.18 (parametricCurveType), 10.31 (XYZType); what a matrix profile must
hold: clause 8. Engines clip, guess or crash over curves that declare more entries than there are, and compute
with any exponent.
"""

import struct
from typing import Final

from evaluation.profile.tags import TOWARDS_COLOUR, Tags, letters, refused
from evaluation.published.limits import limit

Xyz = tuple[float, float, float]

_GAMMA: Final = (limit("gamma_least"), limit("gamma_most"))
PARAMETERS: Final = (1, 3, 4, 5, 7)  # of each function of a parametric curve
_OF_MATRIX: Final = ((b"rXYZ", b"rTRC"), (b"gXYZ", b"gTRC"), (b"bXYZ", b"bTRC"))
_PRIMARY: Final = (limit("primary_least"), limit("primary_most"))
_WHITE_Y: Final = (limit("primaries_y_least"), limit("primaries_y_most"))
_WHITE: Final = (limit("white_least"), limit("white_most"))


def check_curve(data: bytes, label: str, name: str) -> int:
    """The length of the curve that begins here, bytes; raises ProfileProblem for one that is not sound."""
    kind = data[:4]
    if kind not in (b"curv", b"para") or len(data) < 12:
        raise refused(name, f"{label} with its curves inside it", "something else")
    if kind == b"curv":
        entries = int(struct.unpack_from(">I", data, 8)[0])
        length = 12 + 2 * entries
        if length > len(data):
            room = f"{(len(data) - 12) // 2:,}"
            raise refused(name, f"{label} with its curves inside it", f"{entries:,} entries, room for {room}")
        if entries == 1:
            _check_gamma(struct.unpack_from(">H", data, 12)[0] / 256, label, name)
        return length
    function = struct.unpack_from(">H", data, 8)[0]
    if function >= len(PARAMETERS):
        raise refused(name, f"{label} with curves of functions 0 to 4", str(function))
    length = 12 + 4 * PARAMETERS[function]
    if length > len(data):
        raise refused(name, f"{label} with its curves inside it", "their end cut off")
    _check_gamma(struct.unpack_from(">i", data, 12)[0] / 65536, label, name)
    return length


def _check_gamma(gamma: float, label: str, name: str) -> None:
    least, most = _GAMMA
    if not least <= gamma <= most:
        raise refused(name, f"{label} with an exponent from {least:g} to {most:g}", f"{gamma:,.4g}")


def check_single_curves(tags: Tags, name: str) -> None:
    """Raise ProfileProblem where a curve that stands in a tag of its own is not sound, or says nothing."""
    for signature in (b"rTRC", b"gTRC", b"bTRC", b"kTRC"):
        if signature not in tags:
            continue
        data, label = tags.data(signature), f"tag “{letters(signature)}”"
        if data[:4] not in (b"curv", b"para"):
            raise refused(name, f"{label} with a curve", f"one of kind “{letters(data[:4])}”")
        length = check_curve(data, label, name)
        if data[:4] == b"curv" and length > 14:
            entries = data[12:length]
            if entries == entries[:2] * (len(entries) // 2):
                raise refused(name, f"{label} with a curve", "one value throughout")


def check_way_to_colour(
    tags: Tags, name: str, space: str, *, of_device: bool, of_input: bool = False
) -> None:
    """Raise ProfileProblem for a profile with neither a table towards colour nor a whole, plausible matrix.

    `of_device` is false for classes that need neither. The matrix of an input device maps what its sensors
    answer, which lies far beyond any colour: its primaries may have any values.
    """
    if not of_device or any(signature in tags for signature in TOWARDS_COLOUR):
        return
    if space == "GREY" and b"kTRC" not in tags:
        raise refused(name, "a table towards colour, or a curve", "neither")
    if space == "RGB":
        missing = [letters(tag) for pair in _OF_MATRIX for tag in pair if tag not in tags]
        if missing:
            expected = "a table towards colour, or a matrix with its curves"
            raise refused(name, expected, f"neither: no tag “{missing[0]}”")
        columns = [_primary(tags, column, name, anywhere=of_input) for column, _ in _OF_MATRIX]
        if not of_input:
            _check_primaries(columns, name)
    elif space != "GREY":
        raise refused(name, "a table towards colour", "none")


def _primary(tags: Tags, signature: bytes, name: str, *, anywhere: bool) -> Xyz:
    found, label = xyz(tags.data(signature)), f"tag “{letters(signature)}”"
    if found is None:
        raise refused(name, f"{label} with X, Y and Z", f"one of kind “{letters(tags.data(signature)[:4])}”")
    if not anywhere and not all(_PRIMARY[0] <= value <= _PRIMARY[1] for value in found):
        shown = ", ".join(f"{value:g}" for value in found)
        raise refused(name, f"{label} with values from {_PRIMARY[0]:g} to {_PRIMARY[1]:g}", shown)
    return found


def _check_primaries(columns: list[Xyz], name: str) -> None:
    together = sum(column[1] for column in columns)
    if not _WHITE_Y[0] <= together <= _WHITE_Y[1]:
        raise refused(name, "primaries that add up to a white of Y = 1", f"Y = {together:g}")


def xyz(tag: bytes) -> Xyz | None:
    """X, Y, Z of an XYZType tag; None for any other."""
    if len(tag) < 20 or tag[:4] != b"XYZ ":
        return None
    x, y, z = (value / 65536 for value in struct.unpack_from(">3i", tag, 8))
    return round(x, 5), round(y, 5), round(z, 5)


def media_white(tags: Tags, name: str) -> Xyz | None:
    """The media white, which scales absolute colours, None where it is not stated; Y = 1 for the diffuser.

    Raises ProfileProblem for one of another kind, or an impossible one.
    """
    if b"wtpt" not in tags:
        return None
    white = xyz(tags.data(b"wtpt"))
    if white is None:
        kind = letters(tags.data(b"wtpt")[:4])
        raise refused(name, "a media white of X, Y and Z", f"a tag “wtpt” of kind “{kind}”")
    least, most = _WHITE
    if not all(least < value < most for value in white):
        raise refused(
            name, f"a media white between {least:g} and {most:g}", ", ".join(f"{value:g}" for value in white)
        )
    return white
