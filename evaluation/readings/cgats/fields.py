"""What the columns of a table are, from their names: the dialects of ISO 28178 and of plain tables."""

import re
from collections import Counter
from dataclasses import dataclass
from typing import Final

from evaluation.errors import FileProblem
from evaluation.plain_text import quoted
from evaluation.readings.cgats.bands import MAY_REPEAT, bands
from evaluation.readings.cgats.conditions import of_conditions
from evaluation.readings.source import NOTHING_TAKEN


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column holds what, as indices into the names of the table; () and None for none.

    polar        whether `lab` holds L*, C*ab and hab
    bands        columns of spectral values
    wavelengths  nm of each band, as named; None where they are in the rows (`band_nm`) or in the header
    band_nm      columns of the wavelengths of the bands, pair by pair
    in_percent   whether the names state percent, or fractions; None where they state neither
    density      columns of densities, which may lack numbers, and `filters`, what each was read through
    beside       columns that hold numbers of other measurement conditions
    """

    id: int | None = None
    name: int | None = None
    device: tuple[int, ...] = ()
    device_space: str | None = None
    lab: tuple[int, ...] = ()
    polar: bool = False
    xyz: tuple[int, ...] = ()
    bands: tuple[int, ...] = ()
    wavelengths: tuple[float, ...] | None = None
    band_nm: tuple[int, ...] = ()
    in_percent: bool | None = None
    density: tuple[int, ...] = ()
    filters: tuple[str, ...] = ()
    beside: tuple[int, ...] = ()

    @property
    def numeric(self) -> tuple[int, ...]:
        """Every column of numbers, in the order of the table."""
        own = (*self.device, *self.lab, *self.xyz, *self.bands, *self.band_nm, *self.density)
        return tuple(sorted({*own, *self.beside} if self.beside else own))

    @property
    def measured(self) -> bool:
        """Whether there is any colour that an instrument measured."""
        return bool(self.lab or self.xyz or self.bands)


_IDS: Final = (
    "SAMPLEID",
    "SAMPLENUMBER",
    "SAMPLENO",
    "PATCHID",
    "ID",
    "PATCH",
    "NUMBER",
    "NO",
    "NR",
    "INDEX",
    "#",
)
_NAMES: Final = ("SAMPLENAME", "PATCHNAME", "NAME", "SAMPLE", "LABEL", "SAMPLELOC", "LOCATION", "PLACE")
_LAB: Final = (
    ("LABL", "LABA", "LABB"),
    ("LSTAR", "ASTAR", "BSTAR"),
    ("CIEL", "CIEA", "CIEB"),
    ("CIELSTAR", "CIEASTAR", "CIEBSTAR"),
    ("LABLSTAR", "LABASTAR", "LABBSTAR"),
    ("L", "A", "B"),
)
_LCH: Final = (("LABL", "LABC", "LABH"), ("LCHL", "LCHC", "LCHH"), ("L", "C", "H"))
_XYZ: Final = (("XYZX", "XYZY", "XYZZ"), ("CIEX", "CIEY", "CIEZ"), ("X", "Y", "Z"))
_RGB: Final = (
    *(("RGBR", "RGBG", "RGBB"), ("R", "G", "B"), ("RED", "GREEN", "BLUE")),
    # Source values of a sheet, in columns named after their encoding (sheet/patch_list.py).
    *(tuple(f"{encoding}{part}" for part in "RGB") for encoding in ("SRGB", "OPRGB", "ECIRGBV2", "ROMMRGB")),
)
_CMYK: Final = (("CMYKC", "CMYKM", "CMYKY", "CMYKK"), ("C", "M", "Y", "K"))
_CMY: Final = (("CMYC", "CMYM", "CMYY"),)
_GREY: Final = (
    *(("GRAY",), ("GREY",), ("GRAYK",), ("GREYK",), ("GRAYGRAY",), ("GREYGREY",)),
    *(("GRAYV",), ("GRAYW",), ("GREYV",), ("GREYW",)),
)
_DENSITIES: Final = {
    "DVIS": "visual",
    "DRED": "red",
    "DGREEN": "green",
    "DBLUE": "blue",
    "DMAJORFILTER": "major",  # the largest of them
}
_LEAST_CHANNELS: Final = 3  # of a plain list of patches: fewer may be anything
_INK: Final = re.compile(r"(\d{1,2})CLR(\d{1,2})")
_RGB_STEM: Final = re.compile(r"(.*RGB.*?|ROMM|DEVICE|SOURCE)(R|RED)")


def plain(name: str) -> str:
    """A field name without case, blanks, underscores and stars, to compare spellings by."""
    return re.sub(
        r"[\s_*\-()\[\]]|\.$", "", name.replace("L*", "LSTAR").replace("a*", "ASTAR").replace("b*", "BSTAR")
    ).upper()


def classify(names: tuple[str, ...], where: str) -> Columns:
    """The meaning of each column; `where` is the place of the names.

    Raises FileProblem for doubled fields and incomplete triples.
    """
    spelled = [plain(name) for name in names]
    _refuse_doubles(names, spelled, where)
    at = {name: index for index, name in reversed(list(enumerate(spelled))) if name}
    identity = next((at[key] for key in _IDS if key in at), None)
    label = next((at[key] for key in _NAMES if key in at), None)
    space, device = _device(at, where)
    polar = any(all(key in at for key in keys) for keys in _LCH) and not any(
        all(key in at for key in keys) for keys in _LAB
    )
    lab = _group(at, _LCH if polar else _LAB, where)
    spectrum = bands(names, spelled, where)
    densities = {at[name]: filter_ for name, filter_ in _DENSITIES.items() if name in at}
    return Columns(
        id=identity,
        name=label,
        device=device,
        device_space=space,
        lab=lab,
        polar=polar,
        xyz=_group(at, _XYZ, where),
        bands=spectrum.values,
        wavelengths=spectrum.wavelengths,
        band_nm=spectrum.nm,
        in_percent=spectrum.in_percent,
        density=tuple(densities),
        filters=tuple(densities.values()),
    )


def _refuse_doubles(names: tuple[str, ...], spelled: list[str], where: str) -> None:
    for name, count in Counter(spelled).items():
        if count > 1 and name not in MAY_REPEAT:
            raise FileProblem(
                NOTHING_TAKEN,
                where=where,
                expected="each field once",
                found=f"{quoted(names[spelled.index(name)])} {'twice' if count == 2 else f'{count} times'}",
                remedy="Export the table again with every field once.",
            )


def _group(at: dict[str, int], spellings: tuple[tuple[str, ...], ...], where: str) -> tuple[int, ...]:
    """The columns of the first complete spelling; raises FileProblem for an incomplete one with a prefix."""
    for keys in spellings:
        found = [key for key in keys if key in at]
        if len(found) == len(keys):
            return tuple(at[key] for key in keys)
        if found and len(keys[0]) > 1 and not (found == ["LABL"] and "LABC" in at):
            missing = [_shown(key) for key in keys if key not in at]
            raise FileProblem(
                NOTHING_TAKEN,
                where=where,
                expected=" ".join(_shown(key) for key in keys),
                found=f"no {' and no '.join(missing)}",
                remedy="Export the table again with all of them.",
            )
    return ()


def _shown(key: str) -> str:
    for prefix in ("LAB", "XYZ", "RGB", "CMYK", "CMY", "LCH", "CIE"):
        if key.startswith(prefix) and len(key) == len(prefix) + 1:
            return f"{prefix}_{key[-1]}"
    return key


def _device(at: dict[str, int], where: str) -> tuple[str | None, tuple[int, ...]]:
    for space, spellings in (("RGB", _RGB), ("CMYK", _CMYK), ("CMY", _CMY), ("GREY", _GREY)):
        if columns := _group(at, spellings, where) or (_rgb_of_a_stem(at) if space == "RGB" else ()):
            return space, columns
    inks = {match[0]: (int(match[1]), int(match[2])) for key in at if (match := _INK.fullmatch(key))}
    if not inks:
        return None, ()
    count = max(number for number, _ in inks.values())
    wanted = tuple(f"{count}CLR{ink}" for ink in range(1, count + 1))
    if missing := [key for key in wanted if key not in at]:
        raise FileProblem(
            NOTHING_TAKEN,
            where=where,
            expected=f"{count}CLR_1 to {count}CLR_{count}",
            found=f"no {count}CLR_{missing[0].partition('CLR')[2]}",
            remedy="Export the table again with all inks.",
        )
    return f"{count}CLR", tuple(at[key] for key in wanted)


def _rgb_of_a_stem(at: dict[str, int]) -> tuple[int, ...]:
    """Columns of red, green and blue under another name, such as that of an encoding."""
    for match in filter(None, map(_RGB_STEM.fullmatch, at)):
        others = ("G", "B") if match[2] == "R" else ("GREEN", "BLUE")
        if all(match[1] + other in at for other in others):
            return tuple(at[match[1] + part] for part in (match[2], *others))
    return ()


def looks_like_header(names: tuple[str, ...], *, of_list: bool = False) -> bool:
    """Whether a line names at least one measured colour, or `of_list` device values, and so is a header."""
    try:
        every = [classify(each, "") for each in of_conditions(names).values() or (names,)]
        return any(each.measured or (of_list and len(each.device) >= _LEAST_CHANNELS) for each in every)
    except FileProblem:
        return True
