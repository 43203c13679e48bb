"""One kind of CxF3 objects: where the values of each of them stand, and where they belong."""

import re
from typing import Final

from evaluation.readings.cxf.document import Group, Item, Spectrum
from evaluation.readings.cxf.gathering import MOST_PARTS

MARK: Final = "\x7f"  # on both sides of the number of a value; XML allows it, and nobody writes it
# Values without markup, entities, control characters, and blanks or line ends that a parser replaces: around
# whichever of them, an object is as well-formed as the first. Other attributes than these tell kinds apart.
_QUOTED: Final = r'[^"<&\x00-\x1f]*'
_BETWEEN_TAGS: Final = r"[^<>&\x00-\x08\x0b-\x1f]*"
_VALUE: Final = re.compile(
    rf'(?P<attribute> (?:Name|Id|GUID|Value|MeasureDate)="){_QUOTED}(?=")|(?<=>){_BETWEEN_TAGS}(?=</)'
)

_MARKED: Final = re.compile(rf"(\s*){MARK}(\d+){MARK}(\s*)")

# What stands in every object, or the number of a value, from 1, between blanks that do.
_Where = str | tuple[str, int, str]


class ObjectKind:
    """One object as a pattern for others, and with marks in place of its values for the parser."""

    def __init__(self, written: str, in_ascii: bool) -> None:
        self.written, self.in_ascii = written, in_ascii
        pattern, marked, ends, at = "", "", [0], 0
        for value in _VALUE.finditer(written):
            attribute = value["attribute"] or ""
            if not attribute and _follows_an_end(written, value.start()):
                continue
            before = written[at : value.start()] + attribute
            pattern += f"{re.escape(before)}({_QUOTED if attribute else _BETWEEN_TAGS})"
            marked += f"{before}{MARK}{len(ends)}{MARK}"
            ends.append(len(marked))
            at = value.end()
        self.pattern = re.compile(f"{pattern}{re.escape(written[at:])}[ \t\r\n]{{0,99}}")
        self.marked = marked + written[at:]
        self._ends = ends  # of each value in `marked`, from 1
        self._numbers: dict[tuple[int, tuple[str, ...]], tuple[int, ...]] = {}

    def learn(self, item: Item) -> bool:
        """Learn from the object that was made of `marked` what goes where; False where it does not tell."""
        if any(each in self.written for each in ("xmlns", "<!", "<?")) or len(item.tags) >= MOST_PARTS:
            return False
        if any(spectrum.points is not None for spectrum in item.spectra):
            return False  # whether they count depends on the blanks around them
        try:
            self.type, self.other_spectrum = _same(item.type), item.other_spectrum
            self.name, self.id = _where(item.name), _where(item.id)
            self.tags = [(_where(name), _where(text)) for name, text in item.tags.items()]
            self.spectra = [
                (
                    _same(one.specification),
                    _all(one.attributes),
                    _where(one.text),
                    self._after(one.at - item.at),
                )
                for one in item.spectra
            ]
            self.groups = [
                (one.element, _all(one.attributes), _all(one.parts), self._after(one.at - item.at))
                for one in item.groups
            ]
        except ValueError:
            return False
        self.elements = tuple(one.element for one in item.groups)
        return True

    def numbers(self, group: int, parts: tuple[str, ...]) -> tuple[int, ...]:
        """The values in parts of a group; KeyError where one is missing, () where one holds none."""
        known = self._numbers.get((group, parts))
        if known is None:
            places = [self.groups[group][2][part] for part in parts]
            known = tuple(where[1] for where in places if not isinstance(where, str))
            known = self._numbers[group, parts] = known if len(known) == len(places) > 1 else ()
        return known

    def _after(self, at: int) -> tuple[int, int]:
        """The last value before a place in the object, and how far after it. ValueError where none is."""
        number = max(number for number, end in enumerate(self._ends) if number and end <= at)
        return number, at - self._ends[number]


class Repeated:
    """An `Item` of a kind: where it was found, which is all that is kept of it."""

    __slots__ = ("found", "kind")

    def __init__(self, kind: ObjectKind, found: re.Match[str]) -> None:
        self.kind, self.found = kind, found

    def text(self, where: _Where) -> str:
        if isinstance(where, str):
            return where
        before, number, after = where
        text: str = self.found[number]
        if not self.kind.in_ascii:
            text = text.encode("latin-1").decode()
        return before + text + after if before or after else text

    def _texts(self, places: dict[str, _Where]) -> dict[str, str]:
        return {name: self.text(where) for name, where in places.items()}

    @property
    def type(self) -> str:
        return self.kind.type

    @property
    def name(self) -> str:
        return self.text(self.kind.name)

    @property
    def id(self) -> str:
        return self.text(self.kind.id)

    @property
    def at(self) -> int:
        return self.found.start()

    @property
    def spectra(self) -> list[Spectrum]:
        return [
            Spectrum(under, self._texts(attributes), self.text(where), self.found.end(number) + beyond)
            for under, attributes, where, (number, beyond) in self.kind.spectra
        ]

    @property
    def groups(self) -> list[Group]:
        return [
            Group(element, self._texts(attributes), self._texts(parts), self.found.end(number) + beyond)
            for element, attributes, parts, (number, beyond) in self.kind.groups
        ]

    @property
    def tags(self) -> dict[str, str]:
        tags = self.kind.tags
        return {self.text(name): self.text(where) for name, where in tags} if tags else {}

    @property
    def other_spectrum(self) -> str:
        return self.kind.other_spectrum

    @property
    def elements(self) -> tuple[str, ...]:
        return self.kind.elements

    @property
    def has_spectra(self) -> bool:
        return bool(self.kind.spectra)

    def spectrum(self, number: int) -> tuple[str, str]:
        _, attributes, where, _ = self.kind.spectra[number]
        return self.text(where), self.text(attributes.get("MeasureDate", ""))

    def texts(self, group: int, parts: tuple[str, ...]) -> tuple[str, ...]:
        numbers = self.kind.numbers(group, parts)
        if numbers and self.kind.in_ascii:
            return self.found.group(*numbers)
        places = self.kind.groups[group][2]
        return tuple(self.text(places[part]) for part in parts)

    def stated(self, group: int, name: str) -> str | None:
        _, attributes, parts, _ = self.kind.groups[group]
        if name not in attributes and name not in parts:
            return None
        return self.text(attributes.get(name, "")) or self.text(parts.get(name, "")) or None


def _where(text: str) -> _Where:
    """Where a text comes from. Raises ValueError for a mixture."""
    if MARK not in text:
        return text
    found = _MARKED.fullmatch(text)
    if found is None:
        raise ValueError(text)
    return found[1], int(found[2]), found[3]


def _all(texts: dict[str, str]) -> dict[str, _Where]:
    return {_same(name): _where(text) for name, text in texts.items()}


def _same(text: str) -> str:
    """A text without marks. Raises ValueError for others."""
    if MARK in text:
        raise ValueError(text)
    return text


def _follows_an_end(written: str, at: int) -> bool:
    """Whether the tag that ends at a place closes an element."""
    return written[written.rfind("<", 0, at) + 1] == "/" or written[at - 2] == "/"
