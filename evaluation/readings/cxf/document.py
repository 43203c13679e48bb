"""The nouns of a CxF3 file: its objects and specifications as written, values still text."""

from collections.abc import Container
from dataclasses import dataclass, field
from typing import ClassVar, Final, Protocol

from evaluation.plain_text import shortened
from evaluation.readings.source import Source

NAMESPACE: Final = "http://colorexchangeformat.com/CxF3-core"
GROUPS: Final = frozenset(
    (
        *("ColorCIELab", "ColorCIEXYZ", "ColorCIELCh", "ColorSRGB"),
        *("ColorRGB", "ColorCMYK", "ColorCMYKPlusN", "ColorHTML", "ColorDensity"),
    )
)
# The parts of a colour are the most frequent elements, so their local names are looked up.
PARTS: Final = {
    f"{NAMESPACE} {part}": part
    for part in ("L", "A", "B", "R", "G", "X", "Y", "Z", "Cyan", "Magenta", "Yellow", "Black", "MaxRange")
}
SPOT: Final = f"{NAMESPACE} SpotColor"  # an ink beyond CMYK: Name and Percentage
_SPOT_INK: Final = "spot colour "
OTHER_SPECTRA: Final = frozenset(("TransmittanceSpectrum", "EmissiveSpectrum", "RadianceSpectrum"))


def spot_ink(name: str, parts: Container[str] = ()) -> str:
    """What the part of a spot colour goes by among `parts`: no other part, nor a second ink of its name."""
    ink = f"{_SPOT_INK}{name.strip()}"
    while ink in parts:
        ink += ", again"
    return ink


def spot_name(part: str) -> str | None:
    """The name of the spot colour that a part stands for; None for other parts."""
    return part.removeprefix(_SPOT_INK) if part.startswith(_SPOT_INK) else None


@dataclass(slots=True)
class Spectrum:
    """One spectrum as written. `points` are the wavelengths of an irregular one, `values` its values."""

    specification: str
    attributes: dict[str, str]
    text: str
    at: int  # byte in the file
    points: list[str] | None = None
    values: list[str] | None = None


@dataclass(slots=True)
class Group:
    """A colour as written: its element, attributes, and the text of its parts by local name."""

    element: str
    attributes: dict[str, str]
    parts: dict[str, str]
    at: int  # byte in the file


class Item(Protocol):
    """One Object: its type, names and tags, and every colour in it.

    Objects of one `kind` other than None hold the same elements with the same attributes but MeasureDate.
    """

    @property
    def kind(self) -> object | None: ...
    @property
    def type(self) -> str: ...
    @property
    def name(self) -> str: ...
    @property
    def id(self) -> str: ...
    @property
    def at(self) -> int: ...  # byte in the file
    @property
    def spectra(self) -> list[Spectrum]: ...
    @property
    def groups(self) -> list[Group]: ...
    @property
    def tags(self) -> dict[str, str]: ...
    @property
    def other_spectrum(self) -> str: ...
    @property
    def elements(self) -> tuple[str, ...]: ...  # of its groups
    @property
    def has_spectra(self) -> bool: ...

    def spectrum(self, number: int) -> tuple[str, str]:
        """The text of one of its spectra and its MeasureDate, "" where it has none."""

    def texts(self, group: int, parts: tuple[str, ...]) -> tuple[str, ...]:
        """The texts of some parts of one of its groups. Raises KeyError where one is missing."""

    def stated(self, group: int, name: str) -> str | None:
        """An attribute of one of its groups, else a part; None where it is neither."""


@dataclass(slots=True)
class ReadItem:
    """An `Item` as it was met."""

    type: str
    name: str
    id: str
    at: int
    spectra: list[Spectrum]
    groups: list[Group]
    tags: dict[str, str]
    other_spectrum: str = ""

    kind: ClassVar[None] = None

    @property
    def elements(self) -> tuple[str, ...]:
        return tuple(group.element for group in self.groups)

    @property
    def has_spectra(self) -> bool:
        return bool(self.spectra)

    def spectrum(self, number: int) -> tuple[str, str]:
        spectrum = self.spectra[number]
        return spectrum.text, spectrum.attributes.get("MeasureDate", "")

    def texts(self, group: int, parts: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(map(self.groups[group].parts.__getitem__, parts))

    def stated(self, group: int, name: str) -> str | None:
        return self.groups[group].attributes.get(name) or self.groups[group].parts.get(name)


def place_on_sheet(item: Item) -> str:
    """Page, row and column as the tags of an object state them; "" where row or column is missing."""
    tags = item.tags
    if not tags or "Row" not in tags or "Column" not in tags:
        return ""
    page = f"page {shortened(tags['Page'], 10)}, " if "Page" in tags else ""
    return f"{page}row {shortened(tags['Row'], 10)}, column {shortened(tags['Column'], 10)}"


def place(item: Item, source: Source, element: str = "", at: int = 0) -> str:
    """The place of an object, or of an element in it at byte `at`, for messages."""
    named = f"object {shortened(item.name or item.id, 30)}"
    return source.line(source.line_at(at or item.at), f"{named}, {element}" if element else named)


@dataclass(slots=True)
class CxfDocument:
    """A whole file. A specification maps local element names to text, and Element.Attribute to values."""

    items: list[Item] = field(default_factory=list)
    specifications: dict[str, dict[str, str]] = field(default_factory=dict)
    created: str = ""
