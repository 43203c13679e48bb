"""What the columns of a table are, by their names: the dialects of ISO 28178 and of plain tables."""

import re
from collections import Counter
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from evaluation.errors import FileProblem
from evaluation.plain_text import shortened
from evaluation.readings.source import NOTHING_TAKEN


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column holds what; every number is an index into the names of the table.

    wavelengths   nm of each band, as labelled; None when they stand in the rows (`band_nm`)
    bands         columns of spectral values; band_nm the columns of their wavelengths, pair by pair
    in_percent    True: the name of the columns says percent; None: the name does not say
    polar         `lab` holds L*, C*ab, hab
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

    @property
    def numeric(self) -> tuple[int, ...]:
        """Every column that must hold numbers, in the order of the table."""
        return tuple(sorted((*self.device, *self.lab, *self.xyz, *self.bands, *self.band_nm)))

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
)
_NAMES: Final = ("SAMPLENAME", "PATCHNAME", "NAME", "SAMPLE", "LABEL", "SAMPLELOC", "LOCATION", "PLACE")
_LAB: Final = (
    ("LABL", "LABA", "LABB"),
    ("LSTAR", "ASTAR", "BSTAR"),
    ("CIEL", "CIEA", "CIEB"),
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
_INK: Final = re.compile(r"(\d{1,2})CLR(\d{1,2})")
_BAND: Final = re.compile(
    r"(?:NM|SPECTRALNM|SPECTRAL|SPEC|R|REFL|REFLECTANCE|W|WL)?(\d{3,4}(?:[.,]\d+)?)(?:NM)?"
)
_STEM: Final = re.compile(r"(.*?)(\d{3,4}(?:\.\d+)?)(?:NM)?")
_LEAST_OF_A_STEM: Final = 10
_PAIR_NM: Final = "SPECTRALNM"
_PAIR_VALUES: Final = {"SPECTRALDEC": False, "SPECTRALPCT": True}
SHORTEST_NM, LONGEST_NM = 200.0, 2600.0


def plain(name: str) -> str:
    """A field name without case, blanks, underscores and stars: how spellings are compared."""
    return re.sub(
        r"[\s_*\-]", "", name.replace("L*", "LSTAR").replace("a*", "ASTAR").replace("b*", "BSTAR")
    ).upper()


def classify(names: tuple[str, ...], where: str) -> Columns:
    """The meaning of each column. Raises FileProblem for doubled fields and incomplete triples."""
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
    bands, wavelengths = _bands(names, spelled)
    pair_nm, pairs, percent = _pairs(names, spelled, where)
    return Columns(
        id=identity,
        name=label,
        device=device,
        device_space=space,
        lab=lab,
        polar=polar,
        xyz=_group(at, _XYZ, where),
        bands=pairs or bands,
        wavelengths=None if pairs else wavelengths or None,
        band_nm=pair_nm,
        in_percent=percent,
    )


def _refuse_doubles(names: tuple[str, ...], spelled: list[str], where: str) -> None:
    allowed = {_PAIR_NM, *_PAIR_VALUES, ""}
    for name, count in Counter(spelled).items():
        if count > 1 and name not in allowed:
            raise FileProblem(
                NOTHING_TAKEN,
                where=where,
                expected="each field once",
                found=f"{shortened(names[spelled.index(name)])} {count} times",
                remedy="Export the table again with every field once.",
            )


def _group(at: dict[str, int], spellings: tuple[tuple[str, ...], ...], where: str) -> tuple[int, ...]:
    """The columns of the first complete spelling. One with a prefix that is incomplete is refused."""
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
        if columns := _group(at, spellings, where):
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


def _bands(names: tuple[str, ...], spelled: list[str]) -> tuple[tuple[int, ...], tuple[float, ...]]:
    """Columns named after one wavelength each. A lone number among names is no spectrum."""
    found = []
    for index, name in enumerate(names):
        match = _BAND.fullmatch(spelled[index])
        nm = float(match[1].replace(",", ".")) if match else 0.0
        if SHORTEST_NM <= nm <= LONGEST_NM and name:
            found.append((index, nm))
    if len(found) < 3:
        found = _bands_of_one_stem(spelled)
    return tuple(index for index, _ in found), tuple(nm for _, nm in found)


def _bands_of_one_stem(spelled: list[str]) -> list[tuple[int, float]]:
    """Bands named in a way of their own: many columns of one stem whose numbers rise as wavelengths do."""
    stems: dict[str, list[tuple[int, float]]] = {}
    for index, name in enumerate(spelled):
        if (match := _STEM.fullmatch(name)) and SHORTEST_NM <= (nm := float(match[2])) <= LONGEST_NM:
            stems.setdefault(match[1], []).append((index, nm))
    rising = [
        bands
        for bands in stems.values()
        if len(bands) >= _LEAST_OF_A_STEM and all(0 < b[1] - a[1] <= 25 for a, b in pairwise(bands))
    ]
    return rising[0] if len(rising) == 1 else []


def _pairs(
    names: tuple[str, ...], spelled: list[str], where: str
) -> tuple[tuple[int, ...], tuple[int, ...], bool | None]:
    """Columns of wavelengths, of values, and whether these are percent."""
    nm = tuple(index for index, name in enumerate(spelled) if name == _PAIR_NM)
    kinds = [name for name in spelled if name in _PAIR_VALUES]
    values = tuple(index for index, name in enumerate(spelled) if name in _PAIR_VALUES)
    if not nm and not values:
        return (), (), None
    if len(nm) != len(values) or len(set(kinds)) != 1:
        raise FileProblem(
            NOTHING_TAKEN,
            where=where,
            expected="SPECTRAL_NM and SPECTRAL_DEC or SPECTRAL_PCT in pairs",
            found=f"{len(nm)} SPECTRAL_NM, "
            + ", ".join(
                f"{kinds.count(kind)} {kind.replace('SPECTRAL', 'SPECTRAL_')}" for kind in _PAIR_VALUES
            ),
            remedy="Export the table again with complete pairs.",
        )
    return nm, values, _PAIR_VALUES[kinds[0]]


def looks_like_header(names: tuple[str, ...]) -> bool:
    """Whether a first line names at least one measured colour: then it is a header."""
    try:
        return classify(names, "").measured
    except FileProblem:
        return True
