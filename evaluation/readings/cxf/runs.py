"""A parsed CxF3 file to runs: one for each kind of object, measurement condition and grid of wavelengths."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from evaluation.errors import FileProblem
from evaluation.plain_text import shortened
from evaluation.readings.cxf.device import device_values
from evaluation.readings.cxf.parse import Document, Group, Item, Spectrum
from evaluation.readings.cxf.specification import (
    Meaning,
    condition_of_type,
    grid,
    meaning,
    numbers,
    refuse_other_kinds,
)
from evaluation.readings.cxf.targets import device_group, is_measured, joined, number_in
from evaluation.readings.limits import LAB, REFLECTANCE, XYZ, refuse_beyond
from evaluation.readings.run import Array, PatchRef, Run, Stated
from evaluation.readings.said import Ask, Asked, Said
from evaluation.readings.scales import spectral_scale, xyz_scale
from evaluation.readings.source import EXPORT_AGAIN, NOTHING_TAKEN, Progress, Source
from evaluation.readings.spectral import checked_bands
from evaluation.readings.stated import open_points, with_said

_BETWEEN_PROGRESS = 2_000  # objects
_TRIPLES = {
    "ColorCIELab": ("L", "A", "B"),
    "ColorCIELCh": ("L", "C", "H"),
    "ColorCIEXYZ": ("X", "Y", "Z"),
}


@dataclass(slots=True)
class _Measurement:
    """One object under one specification, values as numbers; `lab` of CIELCh is converted."""

    item: Item
    meaning: Meaning
    nm: tuple[float, ...] = ()
    spectrum: list[float] | None = None
    lab: list[float] | None = None
    xyz: list[float] | None = None


def runs_of(
    document: Document,
    source: Source,
    said: Said,
    reader: str,
    asking: bool = True,
    progress: Progress | None = None,
) -> tuple[Run, ...]:
    """Every run of a file; objects that only say what to print give one run of device values.

    Raises FileProblem, Asked (unless not `asking`) and UsageProblem as `detect.read_readings`.
    """
    return _Reader(document, source, said, reader, asking).runs(progress)


class _Reader:
    def __init__(self, document: Document, source: Source, said: Said, reader: str, asking: bool) -> None:
        self.document, self.source, self.said = document, source, said
        self.reader, self.asking = reader, asking
        self.asks: dict[str, Ask] = {}
        self.remarks: dict[str, None] = {}  # kept in order, each once
        self.meanings: dict[str, Meaning] = {}

    def runs(self, progress: Progress | None) -> tuple[Run, ...]:
        if not self.document.items:
            raise FileProblem(
                NOTHING_TAKEN,
                where=self.source.name,
                expected="Object elements with colours",
                found="none",
                remedy=EXPORT_AGAIN,
            )
        groups: dict[tuple[object, ...], list[_Measurement]] = {}
        for number, item in enumerate(self.document.items):
            if progress and number % _BETWEEN_PROGRESS == 0:
                progress(len(self.source.data), len(self.source.data))
            for measurement in self._measurements(item):
                groups.setdefault(self._key(measurement), []).append(measurement)
        targets = [
            item for item in self.document.items if not is_measured(item) and device_group(item) is not None
        ]
        if self.asks and self.asking:
            raise Asked(self.source.name, tuple(self.asks.values()))
        if not groups and targets:
            return (self._targets_only(targets),)
        if not groups:
            self._refuse_without_colour()
        names = [self._part(group) for group in groups.values()]
        runs = tuple(
            self._run(group, targets, "" if len(groups) == 1 else self._told_apart(names, number))
            for number, group in enumerate(groups.values())
        )
        if self.asks and self.asking:
            raise Asked(self.source.name, tuple(self.asks.values()))
        return runs

    # --- one object ------------------------------------------------------------------------------------

    def _where(self, item: Item, element: str = "", line: int = 0) -> str:
        named = f"object {shortened(item.name or item.id, 30)}"
        return self.source.line(line or item.line, f"{named}, {element}" if element else named)

    def _meaning(self, specification: str) -> Meaning:
        if specification not in self.meanings:
            found = meaning(self.document.specifications.get(specification), self.document.created)
            self.meanings[specification] = found
            if not found.known:
                named = shortened(specification) or "none"
                self.remarks[f"specification {named} does not exist: illuminant and observer not stated"] = (
                    None
                )
        return self.meanings[specification]

    def _measurements(self, item: Item) -> list[_Measurement]:
        """Each spectrum with the colours of its own specification; the other colours by themselves."""
        by_specification: dict[str, _Measurement] = {}
        colours = [group for group in item.groups if group.element in _TRIPLES]
        for spectrum in item.spectra:
            found = self._meaning(spectrum.specification)
            refuse_other_kinds(found, self._where(item, "MeasurementType"))
            placed = self._spectrum(item, spectrum, found, bool(colours))
            if placed is not None:
                nm, values = placed
                measurement = _Measurement(item, found, nm, values)
                by_specification.setdefault(spectrum.specification, measurement)
        for group in colours:
            specification = group.attributes.get("ColorSpecification", "")
            found = self._meaning(specification)
            refuse_other_kinds(found, self._where(item, "MeasurementType"))
            measurement = by_specification.setdefault(specification, _Measurement(item, found))
            values = self._triple(item, group)
            if group.element == "ColorCIEXYZ":
                measurement.xyz = measurement.xyz or values
            else:
                measurement.lab = measurement.lab or values
        with_spectra = [m for m in by_specification.values() if m.spectrum is not None]
        return with_spectra or list(by_specification.values())

    def _spectrum(
        self, item: Item, spectrum: Spectrum, found: Meaning, has_colours: bool
    ) -> tuple[tuple[float, ...], list[float]] | None:
        if spectrum.points is not None:
            return self._points(item, spectrum)
        where = self._where(item, "ReflectanceSpectrum", spectrum.line)
        element = f"object {shortened(item.name or item.id, 30)}, ReflectanceSpectrum"
        values = numbers(spectrum.text, self.source, spectrum.line, element)
        first, step = grid(spectrum.attributes, found, len(values))
        first = first if first is not None else self.said.first_nm
        step = step if step is not None else self.said.step_nm
        if first is not None and step is not None and np.isfinite([first, step]).all() and step > 0:
            return tuple(first + step * np.arange(len(values))), values
        if has_colours and not found.known:
            self.remarks["spectra without a specification are left out: their step is not known"] = None
            return None
        for name, value, what in (("first_nm", first, "StartWL"), ("step_nm", step, "Increment")):
            if value is None:
                count = f"{len(values)} values without it in {where}"
                self.asks.setdefault(name, Ask(name, f"the {what} of WavelengthRange", ("NM",), count))
        if first is not None and step is not None:
            raise FileProblem(
                NOTHING_TAKEN,
                where=where,
                expected="wavelengths that rise",
                found=f"StartWL {first:g}, Increment {step:g}",
                remedy=EXPORT_AGAIN,
            )
        return None

    def _points(self, item: Item, spectrum: Spectrum) -> tuple[tuple[float, ...], list[float]]:
        """An irregular spectrum: sorted; a wavelength given twice with different values is refused."""
        element = f"object {shortened(item.name or item.id, 30)}, SpectralPoint"
        nm = numbers(spectrum.points or [], self.source, spectrum.line, f"{element} WL")
        values = numbers(spectrum.values, self.source, spectrum.line, element)
        where = self._where(item, "SpectralPoint", spectrum.line)
        if len(nm) != len(values):
            raise FileProblem(
                NOTHING_TAKEN,
                where=where,
                expected=f"a value for each of {len(nm)} wavelengths",
                found=str(len(values)),
                remedy=EXPORT_AGAIN,
            )
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
        return tuple(placed), list(placed.values())

    def _triple(self, item: Item, group: Group) -> list[float]:
        parts = _TRIPLES[group.element]
        where = self._where(item, group.element, group.line)
        if missing := [part for part in parts if part not in group.parts]:
            raise FileProblem(
                NOTHING_TAKEN,
                where=where,
                expected=f"{', '.join(parts)}",
                found=f"no {' and no '.join(missing)}",
                remedy=EXPORT_AGAIN,
            )
        element = f"object {shortened(item.name or item.id, 30)}, {group.element}"
        values = [numbers([group.parts[part]], self.source, group.line, element)[0] for part in parts]
        if group.element == "ColorCIELCh":
            angle = np.radians(values[2])
            return [values[0], float(values[1] * np.cos(angle)), float(values[1] * np.sin(angle))]
        return values

    # --- one run ---------------------------------------------------------------------------------------

    def _key(self, measurement: _Measurement) -> tuple[object, ...]:
        stated = measurement.meaning.stated
        own = condition_of_type(measurement.item.type)
        kind = measurement.item.type if own or measurement.item.type in ("Standard", "Trial") else ""
        has = (measurement.spectrum is not None, measurement.lab is not None, measurement.xyz is not None)
        return (kind, stated.condition, stated.illuminant, stated.observer, measurement.nm, has)

    def _stated(self, group: list[_Measurement]) -> tuple[Stated, list[str]]:
        stated = group[0].meaning.stated
        by_type = condition_of_type(group[0].item.type)
        if by_type and stated.condition and by_type != stated.condition:
            both = f"{by_type} by the type of the objects and {stated.condition} by their specification"
            return replace(stated, condition=None), [
                f"the measurement condition is {both}: taken as not stated"
            ]
        return replace(stated, condition=stated.condition or by_type), []

    def _part(self, group: list[_Measurement]) -> str:
        stated, _ = self._stated(group)
        return stated.condition or group[0].item.type or "objects"

    @staticmethod
    def _told_apart(names: list[str], number: int) -> str:
        name = names[number]
        return name if names.count(name) == 1 else f"{name}, part {names[: number + 1].count(name)}"

    def _run(self, group: list[_Measurement], targets: list[Item], part: str) -> Run:
        remarks: list[str] = []
        found, joined_by = joined([m.item for m in group], targets)
        if targets and (left := sum(1 for target in found if target is None)):
            remarks.append(f"{left} of {len(group)} measurements have no object that says what was printed")
        if joined_by:  # in the order of the targets: that of the sheet
            order = {id(target): place for place, target in enumerate(targets)}
            places = [order[id(target)] if target is not None else len(order) for target in found]
            sequence = sorted(range(len(group)), key=places.__getitem__)
            group, found = [group[at] for at in sequence], [found[at] for at in sequence]
        items = [m.item for m in group]
        device, space = device_values(
            [target or item for target, item in zip(found, items, strict=True)],
            self.source,
            self.said,
            self.asks,
            remarks,
        )
        spectra, nm = self._spectra(group, remarks)
        lab = self._colours(group, "lab")
        xyz = self._colours(group, "xyz")
        stated, contradictions = self._stated(group)
        stated = with_said(stated, self.said, self.source.name)
        return Run(
            patches=_refs(items, found),
            stated=stated,
            printed_as=self.said.printed_as,
            wavelengths=nm,
            spectra=spectra,
            lab=lab,
            xyz=xyz,
            device=device,
            device_space=space,
            part=part,
            source_name=self.source.name,
            source_digest=self.source.digest,
            reader=self.reader,
            remarks=(
                *self.remarks,
                *remarks,
                *contradictions,
                *(f"{a.question} not stated, {a.found}; {a.flag} says it" for a in self.asks.values()),
                *open_points(stated, given_colours=spectra is None),
            ),
        )

    def _spectra(self, group: list[_Measurement], remarks: list[str]) -> tuple[Array | None, Array | None]:
        if group[0].spectrum is None:
            return None, None
        nm = np.array(group[0].nm)
        has_colours = group[0].lab is not None or group[0].xyz is not None
        where = self._where(group[0].item, "ReflectanceSpectrum")
        if not checked_bands(nm, where, has_colours, remarks):
            return None, None
        values = np.array([m.spectrum for m in group])
        lab = np.array([m.lab for m in group]) if group[0].lab is not None else None
        scale = spectral_scale(values, self.said, wavelengths=nm, lab=lab)
        if isinstance(scale, Ask):
            self.asks.setdefault(scale.field, scale)
            return None, None
        refuse_beyond(values, REFLECTANCE.times(scale), self._place(group, "ReflectanceSpectrum"))
        return values / scale, nm

    def _colours(self, group: list[_Measurement], which: str) -> Array | None:
        if getattr(group[0], which) is None:
            return None
        values = np.array([getattr(m, which) for m in group])
        if which == "lab":
            refuse_beyond(values, LAB, self._place(group, "ColorCIELab"))
            return values
        factor = xyz_scale(values, self.said)
        if isinstance(factor, Ask):
            self.asks.setdefault(factor.field, factor)
            return None
        refuse_beyond(values, XYZ.times(1 / factor), self._place(group, "ColorCIEXYZ"))
        return values * factor

    def _place(self, group: list[_Measurement], element: str) -> Callable[[int, int], str]:
        return lambda row, column: self._where(group[row].item, element)

    # --- no measurement --------------------------------------------------------------------------------

    def _targets_only(self, targets: list[Item]) -> Run:
        remarks: list[str] = []
        device, space = device_values(targets, self.source, self.said, self.asks, remarks)
        if self.asks and self.asking:
            raise Asked(self.source.name, tuple(self.asks.values()))
        remarks += [f"{a.question} not stated, {a.found}; {a.flag} says it" for a in self.asks.values()]
        return Run(
            patches=_refs(targets, [None] * len(targets)),
            stated=Stated(),
            printed_as=self.said.printed_as,
            device=device,
            device_space=space,
            source_name=self.source.name,
            source_digest=self.source.digest,
            reader=self.reader,
            remarks=tuple(remarks),
        )

    def _refuse_without_colour(self) -> None:
        other = next((item for item in self.document.items if item.other_spectrum), None)
        preview = any(group.element == "ColorSRGB" for item in self.document.items for group in item.groups)
        item = other or self.document.items[0]
        raise FileProblem(
            NOTHING_TAKEN,
            where=self._where(item),
            expected="ReflectanceSpectrum, ColorCIELab or ColorCIEXYZ",
            found=item.other_spectrum or ("preview colours (ColorSRGB) only" if preview else "no colour"),
            remedy="Export the measurements of a print.",
        )


def _refs(items: list[Item], targets: list[Item | None]) -> tuple[PatchRef, ...]:
    """Patches are called as their target is; measurements alone by their number, alike in every condition."""
    refs = []
    for row, (item, target) in enumerate(zip(items, targets, strict=True), start=1):
        named = target or item
        identity = named.id or named.name
        if target is None and condition_of_type(item.type):
            identity = number_in(item.name) or identity
        refs.append(PatchRef(identity or str(row), named.name, row))
    return tuple(refs)
