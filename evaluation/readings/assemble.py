"""From a table to a run: scales decided, ranges checked, what was not stated noted."""

from collections.abc import Callable
from typing import Final

import numpy as np

from evaluation.plain_text import counted, shortened
from evaluation.readings.cgats.bands import unknown
from evaluation.readings.densities import as_given
from evaluation.readings.file_table import FileTable
from evaluation.readings.given_colours import given_colour_remarks
from evaluation.readings.ids import id_remarks
from evaluation.readings.plausible import DEVICE, LAB, REFLECTANCE, XYZ, refuse_beyond
from evaluation.readings.reflectance import refuse_other_kinds, refuse_other_numbers
from evaluation.readings.run import Array, Densities, PatchRef, Run
from evaluation.readings.scales import THOUSANDTHS, device_scale, spectral_scale, xyz_scale
from evaluation.readings.source import Source
from evaluation.readings.stated import density_status, open_points, stated_by, with_supplied
from evaluation.readings.supplied import OpenQuestion, OpenQuestions, Supplied, open_remark, unanswered
from evaluation.readings.wavelength_grid import (
    checked_bands,
    labelled_wavelengths,
    paired_wavelengths,
    wavelengths_of_header,
)

COLUMNS_NOT_USED: Final = "columns not used: "
_NAMED: Final = 5  # of them


def run_from_table(
    table: FileTable, source: Source, supplied: Supplied, reader: str, part: str, asking: bool = True
) -> Run:
    """One run, its values as given, on the scales of `Run`.

    A table without measured colour gives a run of device values only: a list of patches to print.

    Parameters
    ----------
    table, source
        The table and the file it stands in.
    supplied
        What the user states about the file.
    reader, part
        Name and version of the reader, and which table of the file this is; kept with the run.
    asking
        False: open questions become remarks, and the values they concern are left out.

    Raises
    ------
    FileProblem
        For a value outside its range or wavelengths that cannot carry a colour.
    OpenQuestions
        With every question that the table leaves open, unless not `asking`.
    UsageProblem
        When the user contradicts the file.
    """
    refuse_other_kinds(table, source.name, supplied)
    questions: list[OpenQuestion] = []
    remarks = list(table.remarks)
    device = _device(table, source, supplied, questions)
    lab = _lab(table, source)
    wavelengths, spectra = _spectra(table, source, supplied, questions, remarks, lab)
    xyz = _xyz(table, source, supplied, questions)
    if questions and asking:
        raise OpenQuestions(f"{source.name}{f', {part}' if part else ''}", tuple(questions))
    stated, contradictions = stated_by(table)
    stated = with_supplied(stated, supplied, source.name)
    if wavelengths is not None and spectra is not None:
        refuse_other_numbers(table, source.name, supplied, stated, wavelengths, spectra)
    patches = tuple(
        PatchRef(identity or str(row), label, row, "", "", not identity)
        for row, (identity, label) in enumerate(zip(table.ids, table.labels, strict=True), start=1)
    )
    remarks += map(open_remark, questions)
    remarks += unanswered(contradictions, supplied)
    if table.columns.measured:
        remarks += open_points(stated, given_colours=spectra is None)
    remarks += given_colour_remarks(stated, wavelengths, spectra, lab, xyz)
    remarks += id_remarks(patches, device, lab, spectra)
    remarks += _left_out(table)
    return Run(
        patches=patches,
        stated=stated,
        printed_as=supplied.printed_as,
        wavelengths=wavelengths,
        spectra=spectra,
        lab=lab,
        xyz=xyz,
        device=device,
        densities=_densities(table),
        device_space=table.columns.device_space,
        part=part,
        source_name=source.name,
        source_digest=source.digest,
        reader=reader,
        rounding=10.0**-table.decimals if lab is not None and spectra is None else 0.0,
        remarks=tuple(remarks),
    )


def _left_out(table: FileTable) -> list[str]:
    """A remark on columns that were not used."""
    columns = table.columns
    names = unknown(table.names, (*columns.numeric, columns.id, columns.name))
    if not names:
        return []
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    listed = ", ".join(shortened(name, 20) for name in names[:_NAMED])
    return [f"{COLUMNS_NOT_USED}{listed}{more}"]


def _densities(table: FileTable) -> Densities | None:
    """As given, without those that no instrument reads."""
    columns = table.columns
    if not columns.density:
        return None
    return as_given(columns.filters, table.pick(columns.density), density_status(table))


def _device(
    table: FileTable, source: Source, supplied: Supplied, questions: list[OpenQuestion]
) -> Array | None:
    columns = table.columns
    if columns.device_space is None:
        return None
    values = table.pick(columns.device)
    scale = device_scale(values, columns.device_space, table, supplied)
    if isinstance(scale, OpenQuestion):
        questions.append(scale)
        return None
    refuse_beyond(values, DEVICE.times(scale), _place(table, source, columns.device))
    return np.clip(values / scale, 0.0, 1.0)


def _spectra(
    table: FileTable,
    source: Source,
    supplied: Supplied,
    questions: list[OpenQuestion],
    remarks: list[str],
    lab: Array | None,
) -> tuple[Array | None, Array | None]:
    columns = table.columns
    if not columns.bands:
        return None, None
    if columns.band_nm:
        wavelengths = paired_wavelengths(table, source)
    elif columns.wavelengths is None:
        from_header = wavelengths_of_header(table, supplied)
        if isinstance(from_header, tuple):
            questions += from_header
            return None, None
        wavelengths = from_header
    else:
        wavelengths = labelled_wavelengths(table, remarks)
    first_row = source.line(table.band_lines[0] if table.band_lines else int(table.lines[0]))
    if not checked_bands(wavelengths, first_row, bool(columns.lab or columns.xyz), remarks):
        return None, None
    values, place = table.pick(columns.bands), _place(table, source, columns.bands)
    refuse_beyond(values, REFLECTANCE.times(THOUSANDTHS), place)
    scale = spectral_scale(
        values, supplied, by_name=columns.in_percent, table=table, wavelengths=wavelengths, lab=lab
    )
    if isinstance(scale, OpenQuestion):
        questions.append(scale)
        return None, None
    refuse_beyond(values, REFLECTANCE.times(scale), place)
    if (below := int((values < -0.002 * scale).any(axis=1).sum())) > 0:
        remarks.append(f"{counted(below, 'spectrum falls', 'spectra fall')} below zero, of {len(table)}")
    return wavelengths, values / scale


def _xyz(table: FileTable, source: Source, supplied: Supplied, questions: list[OpenQuestion]) -> Array | None:
    columns = table.columns
    if not columns.xyz:
        return None
    values = table.pick(columns.xyz)
    factor = xyz_scale(values, supplied)
    if isinstance(factor, OpenQuestion):
        questions.append(factor)
        return None
    refuse_beyond(values, XYZ.times(1 / factor), _place(table, source, columns.xyz))
    return values * factor


def _lab(table: FileTable, source: Source) -> Array | None:
    columns = table.columns
    if not columns.lab:
        return None
    values = table.pick(columns.lab)
    if columns.polar:
        angle = np.radians(values[:, 2])
        lab = np.column_stack((values[:, 0], values[:, 1] * np.cos(angle), values[:, 1] * np.sin(angle)))
    else:
        lab = values
    refuse_beyond(lab, LAB, _place(table, source, columns.lab))
    return lab


def _place(table: FileTable, source: Source, columns: tuple[int, ...]) -> Callable[[int, int], str]:
    """The place, line and field, of a value picked from these columns."""
    if table.band_lines:
        return lambda row, column: source.line(table.band_lines[column], shortened(table.ids[row]))
    return lambda row, column: source.line(int(table.lines[row]), shortened(table.names[columns[column]]))
