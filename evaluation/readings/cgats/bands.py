"""Which columns are bands of a spectrum, and what their names state about wavelength and scale."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from evaluation.errors import FileProblem
from evaluation.published.limits import limit
from evaluation.readings.source import NOTHING_TAKEN

SHORTEST_NM, LONGEST_NM = limit("band_shortest"), limit("band_longest")
LEAST_OF_A_STEM: Final = 10

_BAND: Final = re.compile(
    r"(?:NM|SPECTRALNM|SPECTRAL|SPEC|R|REFL|REFLECTANCE|W|WL)?(\d{3,4}(?:[.,]\d+)?)(?:NM)?"
)
_STEM: Final = re.compile(r"(.*?)(?<![\d.])(\d{3,4}(?:\.\d+)?)[\s_]*(?:nm)?[)\]]?", re.I)
# Bands that are only numbered, or have one name: their wavelengths are in the header, or nowhere.
_COUNTED: Final = re.compile(r"(SPECTRAL(?:DEC|PCT|BAND)?|SPEC|BAND|REFLECTANCE)(\d{0,3})")
_PAIR_NM: Final = "SPECTRALNM"
_PAIR_VALUES: Final = {"SPECTRALDEC": False, "SPECTRALPCT": True}
_NUMBERED_PAIR: Final = re.compile(rf"({_PAIR_NM}|{'|'.join(_PAIR_VALUES)})(\d{{1,3}})")
MAY_REPEAT: Final = frozenset((_PAIR_NM, *_PAIR_VALUES, "SPECTRAL", "SPEC", ""))


@dataclass(frozen=True, slots=True)
class Bands:
    """The columns of a spectrum, as indices.

    values       columns of spectral values
    wavelengths  nm, as named; None where they are in the rows (`nm`) or in the header
    nm           columns of wavelengths, pair by pair
    in_percent   whether the names state percent, or fractions; None where they state neither
    """

    values: tuple[int, ...] = ()
    wavelengths: tuple[float, ...] | None = None
    nm: tuple[int, ...] = ()
    in_percent: bool | None = None


def bands(names: tuple[str, ...], spelled: list[str], where: str) -> Bands:
    """The bands among the columns `names`, also `spelled` as by `fields.plain`; `where` is their place.

    Raises FileProblem for incomplete pairs.
    """
    return _pairs(spelled, where) or _counted(spelled) or _labelled(names, spelled)


def _labelled(names: tuple[str, ...], spelled: list[str]) -> Bands:
    """Columns that are each named after a wavelength. A few numbers among names are no spectrum."""
    found: list[tuple[int, float]] = []
    for index, name in enumerate(names):
        match = _BAND.fullmatch(spelled[index])
        nm = float(match[1].replace(",", ".")) if match else 0.0
        if SHORTEST_NM <= nm <= LONGEST_NM and name:
            found.append((index, nm))
    percent = None
    if len(found) < 3:
        stem, found = _of_one_stem(names)
        percent = next((says for name, says in _PAIR_VALUES.items() if stem == name), None)
    if not found:
        return Bands()
    return Bands(tuple(index for index, _ in found), tuple(nm for _, nm in found), in_percent=percent)


def _of_one_stem(names: tuple[str, ...]) -> tuple[str, list[tuple[int, float]]]:
    """Bands with other names: many columns of one stem whose numbers rise as wavelengths do."""
    stems: dict[str, list[tuple[int, float]]] = {}
    for index, name in enumerate(names):
        match = _STEM.fullmatch(name.strip())
        if match and SHORTEST_NM <= (nm := float(match[2])) <= LONGEST_NM:
            stems.setdefault(re.sub(r"[\s_]", "", match[1]).upper(), []).append((index, nm))
    rising = [
        (stem, found)
        for stem, found in stems.items()
        if len(found) >= LEAST_OF_A_STEM and all(0 < b[1] - a[1] <= 25 for a, b in pairwise(found))
    ]
    return rising[0] if len(rising) == 1 else ("", [])


def _counted(spelled: list[str]) -> Bands | None:
    """Bands of one name, repeated or numbered in turn from 0 or 1."""
    found = [(index, match) for index, name in enumerate(spelled) if (match := _COUNTED.fullmatch(name))]
    if len(found) < LEAST_OF_A_STEM or len({match[1] for _, match in found}) != 1:
        return None
    numbers = [match[2] for _, match in found]
    if any(numbers):
        if not all(numbers):
            return None
        first = int(numbers[0])
        if first > 1 or [int(number) for number in numbers] != list(range(first, first + len(numbers))):
            return None
    return Bands(tuple(index for index, _ in found), in_percent=_PAIR_VALUES.get(found[0][1][1]))


def _pairs(spelled: list[str], where: str) -> Bands | None:
    """Wavelengths and values side by side, both names repeated or numbered in the same way."""
    spelled = _unnumbered(spelled)
    nm = tuple(index for index, name in enumerate(spelled) if name == _PAIR_NM)
    kinds = [name for name in spelled if name in _PAIR_VALUES]
    values = tuple(index for index, name in enumerate(spelled) if name in _PAIR_VALUES)
    if not nm and (not values or len(values) >= LEAST_OF_A_STEM):
        return None
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
    return Bands(values, nm=nm, in_percent=_PAIR_VALUES[kinds[0]])


def _unnumbered(spelled: list[str]) -> list[str]:
    """Names of pairs without their numbers, where wavelengths and values have the same numbers."""
    found = {index: match for index, name in enumerate(spelled) if (match := _NUMBERED_PAIR.fullmatch(name))}
    of_nm = [match[2] for match in found.values() if match[1] == _PAIR_NM]
    of_values = [match[2] for match in found.values() if match[1] != _PAIR_NM]
    if not of_nm or of_nm != of_values:
        return spelled
    return [found[index][1] if index in found else name for index, name in enumerate(spelled)]


def unknown(names: Sequence[str], used: Sequence[int | None]) -> tuple[str, ...]:
    """The names of columns that are not `used`."""
    taken = set(used)
    return tuple(name for index, name in enumerate(names) if name and index not in taken)
