"""From the objects of a CxF3 file to measurements: values, each with how it was measured."""

import re
from dataclasses import dataclass
from math import isfinite
from typing import Final

import numpy as np

from evaluation.errors import FileProblem
from evaluation.plain_text import shortened
from evaluation.readings.cxf.document import CxfDocument, Item, Spectrum, place
from evaluation.readings.cxf.numbers import one_line, table_of_cells, table_of_lists
from evaluation.readings.cxf.specification import Meaning, condition_of_type, grid, grid_remarks, meaning
from evaluation.readings.cxf.triples import TRIPLES
from evaluation.readings.run import Array
from evaluation.readings.source import EXPORT_AGAIN, NOTHING_TAKEN, Source
from evaluation.readings.supplied import OpenQuestion, Supplied

Grid = tuple[float, ...]  # first, step and count; or every wavelength of an irregular spectrum

_NO_PRINT: Final = re.compile(r"transmi|emiss|radiance|luminance", re.I)


@dataclass(slots=True)
class Measurement:
    """One object under one specification, its values still text: numbers are made of a whole run at once."""

    item: Item
    meaning: Meaning
    grid: Grid = ()
    regular: bool = True
    spectrum: str | None = None  # one line
    lab: int | None = None  # which group of the object: CIELAB or CIELCh
    xyz: int | None = None
    measured: str = ""  # its own date and time, as written
    specification: str = ""  # the id of it
    shared: tuple[object, ...] = ()  # what measurements of one run share
    number: int = 0  # of its spectrum in the object

    @property
    def wavelengths(self) -> Array:
        """(bands,) nm."""
        if not self.regular:
            return np.array(self.grid)
        first, step, count = self.grid
        return np.asarray(first + step * np.arange(int(count)), np.float64)


class Measurements:
    """Reads objects one by one, collecting `remarks` and open `questions`."""

    def __init__(self, document: CxfDocument, source: Source, supplied: Supplied) -> None:
        self.document, self.source, self.supplied = document, source, supplied
        self.questions: dict[str, OpenQuestion] = {}
        self.remarks: dict[str, None] = {}  # kept in order, each once
        self._meanings: dict[str, Meaning] = {}
        self._kinds: dict[object, list[Measurement]] = {}
        self._grids: dict[str, tuple[dict[str, str], tuple[float, float, int]]] = {}  # last of each

    def of(self, item: Item) -> list[Measurement]:
        """Each spectrum with the colours of its own specification; without spectra, the colours alone.

        [] for an object that only states what to print. Raises FileProblem for anything but a measurement
        of a print.
        """
        known = self._kinds.get(item.kind) if item.kind else None
        found = self._like(item, known) if known else None
        if found is None:
            found = self._one(item)
            if item.kind and known is None:
                self._kinds[item.kind] = found if _tells(item, found) else []
        return found

    def _like(self, item: Item, known: list[Measurement]) -> list[Measurement] | None:
        """As the first object of its kind was understood; None where a spectrum has another length."""
        found = []
        text, measured = None, ""
        for first in known:
            if first.spectrum is not None:
                text, measured = item.spectrum(first.number)
                text = one_line(text)
                if not text or text.count(" ") + 1 != first.grid[2]:
                    return None
            found.append(
                Measurement(
                    item,
                    first.meaning,
                    first.grid,
                    first.regular,
                    text,
                    first.lab,
                    first.xyz,
                    measured,
                    first.specification,
                    first.shared,
                    first.number,
                )
            )
        return found

    def _one(self, item: Item) -> list[Measurement]:
        colours = [number for number, element in enumerate(item.elements) if element in TRIPLES]
        if not item.has_spectra and not colours:
            return []  # what is to be printed
        found: dict[str, Measurement] = {}
        for number, spectrum in enumerate(item.spectra):
            meant = self._meaning(spectrum.specification, item)
            measurement = self._spectrum(item, spectrum, meant, bool(colours))
            if measurement is not None:
                measurement.measured = spectrum.attributes.get("MeasureDate", "")
                measurement.specification, measurement.number = spectrum.specification, number
                found.setdefault(spectrum.specification, measurement)
        groups = item.groups
        for number in colours:
            specification = groups[number].attributes.get("ColorSpecification", "")
            of_group = found.get(specification)
            if of_group is None:
                of_group = found[specification] = Measurement(item, self._meaning(specification, item))
                of_group.specification = specification
            if groups[number].element == "ColorCIEXYZ":
                of_group.xyz = number if of_group.xyz is None else of_group.xyz
            else:
                of_group.lab = number if of_group.lab is None else of_group.lab
        every = list(found.values())
        every = [m for m in every if m.spectrum is not None] or every
        for measurement in every:
            measurement.shared = _shared(measurement)
        return every

    def _meaning(self, specification: str, item: Item) -> Meaning:
        known = self._meanings.get(specification)
        if known is not None:
            return known
        found = meaning(self.document.specifications.get(specification), self.document.created)
        if _NO_PRINT.search(found.kind):
            raise FileProblem(
                NOTHING_TAKEN,
                where=place(item, self.source, "MeasurementType"),
                expected="reflectance of a print",
                found=shortened(found.kind),
                remedy="Measure the print in reflectance.",
            )
        if not found.known:
            named = shortened(specification) or "none"
            self.remarks[f"specification {named} is missing: illuminant and observer not stated"] = None
        self._meanings[specification] = found
        return found

    def _spectrum(
        self, item: Item, spectrum: Spectrum, meant: Meaning, has_colours: bool
    ) -> Measurement | None:
        if spectrum.points is not None:
            return self._points(item, spectrum, meant)
        text = one_line(spectrum.text)
        if not text:
            table_of_lists([text], lambda _: place(item, self.source, "ReflectanceSpectrum", spectrum.at))
        count = text.count(" ") + 1
        before = self._grids.get(spectrum.specification)
        attributes = spectrum.attributes
        if "MeasureDate" in attributes:  # another for each spectrum, and nothing to do with wavelengths
            attributes = {name: value for name, value in attributes.items() if name != "MeasureDate"}
        if before is not None and before[0] == attributes and before[1][2] == count:
            return Measurement(item, meant, before[1], True, text)
        first, step = grid(attributes, meant, count)
        first = self.supplied.first_nm if first is None else first
        step = self.supplied.step_nm if step is None else step
        if first is not None and step is not None and step > 0 and isfinite(first + step * count):
            found = (first, step, count)
            self._grids[spectrum.specification] = attributes, found
            self.remarks |= dict.fromkeys(grid_remarks(attributes, meant, found))
            return Measurement(item, meant, found, True, text)
        where = place(item, self.source, "ReflectanceSpectrum", spectrum.at)
        if first is not None and step is not None:
            raise FileProblem(
                NOTHING_TAKEN,
                where=where,
                expected="wavelengths that rise",
                found=f"StartWL {first:g}, Increment {step:g}",
                remedy=EXPORT_AGAIN,
            )
        if has_colours and not meant.known:
            self.remarks["spectra without a specification left out: their step is not known"] = None
            return None
        for name, value, what in (("first_nm", first, "StartWL"), ("step_nm", step, "Increment")):
            if value is None:
                without = f"{count} values without it in {where}"
                self.questions.setdefault(
                    name, OpenQuestion(name, f"the {what} of WavelengthRange", ("NM",), without)
                )
        return None

    def _points(self, item: Item, spectrum: Spectrum, meant: Meaning) -> Measurement:
        """An irregular spectrum, sorted; a wavelength given twice with different values is refused."""
        where = place(item, self.source, "SpectralPoint", spectrum.at)
        points = spectrum.points or [""]
        nm = table_of_cells([points], lambda _: f"{where} WL")[0].tolist()
        texts = spectrum.values or []
        if len(nm) != len(texts):
            raise FileProblem(
                NOTHING_TAKEN,
                where=where,
                expected=f"a value for each of {len(nm)} wavelengths",
                found=str(len(texts)),
                remedy=EXPORT_AGAIN,
            )
        values = table_of_cells([texts], lambda _: where)[0].tolist()
        placed: dict[float, float] = {}
        for wavelength, value in sorted(zip(nm, values, strict=True)):
            if placed.setdefault(wavelength, value) != value:
                raise FileProblem(
                    NOTHING_TAKEN,
                    where=where,
                    expected=f"one value for {wavelength:g} nm",
                    found=f"{placed[wavelength]:g} and {value:g}",
                    remedy=EXPORT_AGAIN,
                )
        return Measurement(item, meant, tuple(placed), False, " ".join(map(repr, placed.values())))


def _tells(item: Item, found: list[Measurement]) -> bool:
    """Whether the first object of a kind tells how others are understood: each of its spectra was used."""
    return sum(1 for each in found if each.spectrum is not None) == len(item.spectra)


def _shared(measurement: Measurement) -> tuple[object, ...]:
    """What measurements of one run share."""
    kind = measurement.item.type
    if kind not in ("Standard", "Trial") and condition_of_type(kind) is None:
        kind = ""
    stated = measurement.meaning.stated
    lab = measurement.lab
    has = (
        measurement.spectrum is None,
        measurement.item.elements[lab] if lab is not None else "",
        measurement.xyz is None,
    )
    return (kind, stated.condition, stated.illuminant, stated.observer, measurement.grid, has)
