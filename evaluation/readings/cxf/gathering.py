"""What is collected while a CxF3 file is parsed: objects with colours and spectra, and specifications."""

from typing import Final
from xml.parsers import expat

from evaluation.errors import FileProblem
from evaluation.published.limits import whole
from evaluation.readings.cxf.document import CxfDocument, Group, ReadItem, Spectrum
from evaluation.readings.source import (
    EXPORT_AGAIN,
    MOST_FIELDS,
    MOST_ROWS,
    MOST_VALUES,
    NOTHING_TAKEN,
    Source,
)

_MOST_SPECIFICATIONS: Final = whole("cxf_specifications")
MOST_PARTS: Final = whole("cxf_parts")


class Gathering:
    """The document so far and its open elements; `text` is everything since the last tag."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.document = CxfDocument()
        self.item: ReadItem | None = None
        self.group: Group | None = None
        self.spectrum: Spectrum | None = None
        self.specification: dict[str, str] | None = None
        self.text: list[str] = []
        self.characters = 0
        self.parser = expat.ParserCreate(namespace_separator=" ")

    def refused(self, expected: str, found: str, remedy: str = EXPORT_AGAIN) -> FileProblem:
        where = self.source.line(self.parser.CurrentLineNumber)
        return FileProblem(NOTHING_TAKEN, where=where, expected=expected, found=found, remedy=remedy)

    # --- objects ---------------------------------------------------------------------------------------

    def begin_object(self, attributes: dict[str, str]) -> None:
        if len(self.document.items) >= MOST_ROWS:
            raise self.refused(f"at most {MOST_ROWS:,} objects", "more", "Split the file.")
        named = attributes.get
        at = self.parser.CurrentByteIndex
        self.item = ReadItem(named("ObjectType", ""), named("Name", ""), named("Id", ""), at, [], [], {})
        self.document.items.append(self.item)

    def end_object(self) -> None:
        self.item = self.group = self.spectrum = None

    def tag(self, attributes: dict[str, str]) -> None:
        if self.item is not None and len(self.item.tags) < MOST_PARTS:
            self.item.tags[attributes.get("Name", "")] = attributes.get("Value", "")

    def created(self) -> None:
        if self.item is None and not self.document.created:
            self.document.created = "".join(self.text).strip()

    def other_spectrum(self, element: str, attributes: dict[str, str]) -> None:
        if self.item is not None:
            self.item.other_spectrum = element

    def begin_spectrum(self, attributes: dict[str, str]) -> None:
        specification = attributes.get("ColorSpecification", "")
        self.spectrum = Spectrum(specification, attributes, "", self.parser.CurrentByteIndex)

    def end_spectrum(self) -> None:
        if self.item is not None and self.spectrum is not None:
            self.spectrum.text = "".join(self.text)
            self.count(len(self.spectrum.text))
            self.item.spectra.append(self.spectrum)
        self.spectrum = None

    def count(self, characters: int) -> None:
        self.characters += 64 + characters
        if self.characters > MOST_VALUES * 16:
            raise self.refused(f"at most {MOST_VALUES:,} values", "more", "Split the file.")

    def point(self, attributes: dict[str, str]) -> None:
        if self.spectrum is not None:
            if self.spectrum.points is None:
                self.spectrum.points = []
            self.spectrum.points.append(attributes.get("WL", ""))
            if "Value" in attributes:
                self._value(attributes["Value"])
            if len(self.spectrum.points) > MOST_FIELDS:
                raise self.refused(f"at most {MOST_FIELDS:,} points in a spectrum", "more")

    def _value(self, text: str) -> None:
        if self.spectrum is not None:
            if self.spectrum.values is None:
                self.spectrum.values = []
            self.spectrum.values.append(text)

    def end_point(self) -> None:
        if self.spectrum is not None and (text := "".join(self.text).strip()):
            self._value(text)

    def end_custom(self) -> None:
        if self.item is not None and self.spectrum is not None:
            if self.spectrum.points is None:
                self.spectrum.points = []
            self.count(sum(map(len, self.spectrum.values or ())))
            self.item.spectra.append(self.spectrum)
        self.spectrum = None

    # --- specifications --------------------------------------------------------------------------------

    def begin_specification(self, attributes: dict[str, str]) -> None:
        if len(self.document.specifications) >= _MOST_SPECIFICATIONS:
            raise self.refused(f"at most {_MOST_SPECIFICATIONS:,} specifications", "more")
        self.specification = {}
        self.document.specifications[attributes.get("Id", "")] = self.specification

    def end_specification(self) -> None:
        self.specification = None
