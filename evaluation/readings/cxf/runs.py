"""From a parsed CxF3 file to runs: one per kind of object, measurement condition and grid of wavelengths."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Final

from evaluation.errors import FileProblem
from evaluation.published.limits import limit
from evaluation.readings.cxf.densities import ELEMENT, densities_of
from evaluation.readings.cxf.device import device_values
from evaluation.readings.cxf.document import CxfDocument, Item, place, place_on_sheet
from evaluation.readings.cxf.measured import Measurement, Measurements
from evaluation.readings.cxf.numbers import table_of_lists
from evaluation.readings.cxf.specification import condition_of_type
from evaluation.readings.cxf.targets import device_group, is_measured, joined, number_in
from evaluation.readings.cxf.triples import triples
from evaluation.readings.given_colours import given_colour_remarks
from evaluation.readings.ids import id_remarks
from evaluation.readings.plausible import LAB, REFLECTANCE, XYZ, refuse_beyond
from evaluation.readings.run import Array, PatchRef, Run, Stated
from evaluation.readings.scales import THOUSANDTHS, spectral_scale, xyz_scale
from evaluation.readings.source import EXPORT_AGAIN, NOTHING_TAKEN, Progress, Source
from evaluation.readings.stated import left_out, moment, open_points, supplied_for_each, with_supplied
from evaluation.readings.supplied import (
    OpenQuestion,
    OpenQuestions,
    Supplied,
    date_remark,
    open_remark,
    unanswered,
)
from evaluation.readings.wavelength_grid import checked_bands

_BETWEEN_PROGRESS: Final = 2_000  # objects
_ONE_SITTING: Final = timedelta(hours=limit("sitting_file"))  # to measure a chart in

Group = list[Measurement]


def runs_of(
    document: CxfDocument,
    source: Source,
    supplied: Supplied,
    reader: str,
    asking: bool = True,
    progress: Progress | None = None,
) -> tuple[Run, ...]:
    """Every run of a file; objects that only state what to print give one run of device values.

    Parameters and errors as `detect.read_source`; `reader` is the name and version to keep with the runs.
    """
    if not document.items:
        raise FileProblem(
            NOTHING_TAKEN,
            where=source.name,
            expected="Object elements with colours",
            found="none",
            remedy=EXPORT_AGAIN,
        )
    measurements = Measurements(document, source, supplied)
    groups = _grouped(document, measurements, source, progress)
    targets = [item for item in document.items if not is_measured(item) and device_group(item) is not None]
    if not groups and not targets and not measurements.questions:
        _refuse_without_colour(document, source)
    maker = _Maker(source, supplied, reader, measurements, targets)
    if groups:
        names = [_part(group) for group in groups]
        parts = [_told_apart(names, number) if len(groups) > 1 else "" for number in range(len(groups))]
        for_each = supplied_for_each([_stated(group)[0].condition for group in groups], supplied)
        measurements.remarks |= dict.fromkeys(left_out(for_each))
        runs = tuple(
            maker.run(group, part, supplied_for_it)
            for group, part, supplied_for_it in zip(groups, parts, for_each, strict=True)
            if supplied_for_it is not None
        )
    elif targets:
        runs = (maker.targets_only(),)
    else:
        raise OpenQuestions(source.name, tuple(measurements.questions.values()))
    if measurements.questions and asking:
        raise OpenQuestions(source.name, tuple(measurements.questions.values()))
    return runs


def _grouped(
    document: CxfDocument, measurements: Measurements, source: Source, progress: Progress | None
) -> list[Group]:
    groups: dict[tuple[object, ...], Group] = {}
    for number, item in enumerate(document.items):
        if progress and number % _BETWEEN_PROGRESS == 0:
            progress(len(source.data), len(source.data))
        for measurement in measurements.of(item):
            groups.setdefault(measurement.shared, []).append(measurement)
    return list(groups.values())


def _stated(group: Group) -> tuple[Stated, tuple[str, ...]]:
    """How a run was measured, with remarks on its dates and on what contradicts its specification."""
    stated, remarks = _dated(group)
    by_type = condition_of_type(group[0].item.type)
    if by_type and stated.condition and by_type != stated.condition:
        both = f"{by_type} by the type of the objects and {stated.condition} by their specification"
        remarks += (f"the measurement condition is {both}: taken as not stated",)
        return replace(stated, condition=None), remarks
    return replace(stated, condition=stated.condition or by_type), remarks


def _dated(group: Group) -> tuple[Stated, tuple[str, ...]]:
    """When a run was measured: the last MeasureDate of its spectra, else when the file was made."""
    stated = group[0].meaning.stated
    written = {m.measured for m in group} - {""}
    found = sorted(at for text in written if (at := moment(text)) is not None)
    remarks = tuple(date_remark(text) for text in sorted(written)[:1] if not found)
    if not found:
        return stated, remarks
    first, last = found[0], found[-1]
    if last - first > _ONE_SITTING:
        remarks = (f"measured between {first:%Y-%m-%d %H:%M} and {last:%Y-%m-%d %H:%M}: the last counts",)
    return replace(stated, measured_at=last), remarks


def _part(group: Group) -> str:
    return _stated(group)[0].condition or group[0].item.type or "objects"


def _told_apart(names: list[str], number: int) -> str:
    name = names[number]
    return name if names.count(name) == 1 else f"{name}, part {names[: number + 1].count(name)}"


class _Maker:
    """Makes runs of groups; what is open is collected in the questions of `measurements`."""

    def __init__(
        self, source: Source, supplied: Supplied, reader: str, measurements: Measurements, targets: list[Item]
    ) -> None:
        self.source, self.supplied, self.reader = source, supplied, reader
        self.questions, self.targets = measurements.questions, targets
        self.remarks = measurements.remarks

    def run(self, group: Group, part: str, supplied: Supplied) -> Run:
        """One run, its rows in the order of the targets where there are any."""
        remarks: list[str] = []
        found, joined_by = joined([m.item for m in group], self.targets)
        if self.targets and (left := sum(1 for target in found if target is None)):
            remarks.append(f"{left} of {len(group)} measurements have no object that states what was printed")
        if joined_by:
            order = {id(target): place for place, target in enumerate(self.targets)}
            places = [order[id(target)] if target is not None else len(order) for target in found]
            sequence = sorted(range(len(group)), key=places.__getitem__)
            group, found = [group[at] for at in sequence], [found[at] for at in sequence]
        items = [m.item for m in group]
        printed = [target or item for target, item in zip(found, items, strict=True)]
        device, space = device_values(printed, self.source, self.supplied, self.questions, remarks)
        lab, xyz = self._lab(group), self._xyz(group)
        spectra, wavelengths = self._spectra(group, lab, remarks)
        stated, contradictions = _stated(group)
        stated = with_supplied(stated, supplied, self.source.name)
        remarks += [
            *unanswered(contradictions, supplied),
            *self._open(),
            *open_points(stated, given_colours=spectra is None),
        ]
        patches = _refs(items, found)
        remarks += given_colour_remarks(stated, wavelengths, spectra, lab, xyz)
        remarks += id_remarks(patches, device, lab, spectra)
        return Run(
            patches=patches,
            stated=stated,
            printed_as=self.supplied.printed_as,
            wavelengths=wavelengths,
            spectra=spectra,
            lab=lab,
            xyz=xyz,
            device=device,
            densities=densities_of(group),
            device_space=space,
            part=part,
            source_name=self.source.name,
            source_digest=self.source.digest,
            reader=self.reader,
            rounding=_rounding(group) if spectra is None and lab is not None else 0.0,
            remarks=(*self.remarks, *remarks),
        )

    def targets_only(self) -> Run:
        """What is to be printed: a run without measured colour."""
        remarks: list[str] = []
        device, space = device_values(self.targets, self.source, self.supplied, self.questions, remarks)
        return Run(
            patches=_refs(self.targets, [None] * len(self.targets)),
            stated=Stated(),
            printed_as=self.supplied.printed_as,
            device=device,
            device_space=space,
            source_name=self.source.name,
            source_digest=self.source.digest,
            reader=self.reader,
            remarks=(*self.remarks, *remarks, *self._open()),
        )

    def _open(self) -> list[str]:
        return [open_remark(question) for question in self.questions.values()]

    def _spectra(
        self, group: Group, lab: Array | None, remarks: list[str]
    ) -> tuple[Array | None, Array | None]:
        if group[0].spectrum is None:
            return None, None
        place_in = self._place(group, "ReflectanceSpectrum")
        texts = [m.spectrum for m in group if m.spectrum is not None]
        values = table_of_lists(texts, lambda row: place_in(row, 0))
        wavelengths = group[0].wavelengths
        has_colours = group[0].lab is not None or group[0].xyz is not None
        where = place(group[0].item, self.source, "ReflectanceSpectrum")
        if not checked_bands(wavelengths, where, has_colours, remarks):
            return None, None
        refuse_beyond(values, REFLECTANCE.times(THOUSANDTHS), place_in)
        scale = spectral_scale(values, self.supplied, wavelengths=wavelengths, lab=lab)
        if isinstance(scale, OpenQuestion):
            self.questions.setdefault(scale.field, scale)
            return None, None
        refuse_beyond(values, REFLECTANCE.times(scale), place_in)
        return values / scale, wavelengths

    def _lab(self, group: Group) -> Array | None:
        if group[0].lab is None:
            return None
        colours = [m.lab for m in group if m.lab is not None]
        values = triples([m.item for m in group], colours, self.source)
        refuse_beyond(values, LAB, self._place(group, group[0].item.elements[colours[0]]))
        return values

    def _xyz(self, group: Group) -> Array | None:
        if group[0].xyz is None:
            return None
        colours = [m.xyz for m in group if m.xyz is not None]
        values = triples([m.item for m in group], colours, self.source)
        factor = xyz_scale(values, self.supplied)
        if isinstance(factor, OpenQuestion):
            self.questions.setdefault(factor.field, factor)
            return None
        refuse_beyond(values, XYZ.times(1 / factor), self._place(group, "ColorCIEXYZ"))
        return values * factor

    def _place(self, group: Group, element: str) -> Callable[[int, int], str]:
        return lambda row, column: place(group[row].item, self.source, element)


def _rounding(group: Group) -> float:
    """The value of the last digit of the CIELAB values, from the first objects; 0 where there are none."""
    cells = [
        part
        for m in group[:50]
        for colour in m.item.groups
        if colour.element == "ColorCIELab"
        for part in colour.parts.values()
    ]
    decimals = [len(cell.strip().lower().partition("e")[0].partition(".")[2]) for cell in cells]
    return 10.0 ** -min(max(decimals), 12) if cells else 0.0


def _refs(items: list[Item], targets: list[Item | None]) -> tuple[PatchRef, ...]:
    """Patches carry the name of their target; without one, the number that all conditions share."""
    under_condition = {kind: condition_of_type(kind) is not None for kind in {item.type for item in items}}
    refs = []
    for row, (item, target) in enumerate(zip(items, targets, strict=True), start=1):
        named = target or item
        name = named.name
        identity = named.id or name
        if target is None and under_condition[item.type]:
            identity = number_in(name) or identity
        at = place_on_sheet(item) or (place_on_sheet(target) if target else "")
        refs.append(PatchRef(identity or str(row), name, row, "", at, not identity))
    return tuple(refs)


def _refuse_without_colour(document: CxfDocument, source: Source) -> None:
    item = next((one for one in document.items if one.other_spectrum), document.items[0])
    elements = {element for item in document.items for element in item.elements}
    others = {ELEMENT: f"densities ({ELEMENT}) only", "ColorSRGB": "preview colours (ColorSRGB) only"}
    raise FileProblem(
        NOTHING_TAKEN,
        where=place(item, source),
        expected="ReflectanceSpectrum, ColorCIELab or ColorCIEXYZ",
        found=item.other_spectrum
        or next((found for element, found in others.items() if element in elements), "no colour"),
        remedy="Export the measurements of a print.",
    )
