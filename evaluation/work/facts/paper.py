"""Facts of the bare paper, from what was read of it: whiteness, tint, brightness, brightener, opacity."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.archive import sessions
from evaluation.colorimetry.brightener import LIT, amount_words
from evaluation.colorimetry.brightness import brightness
from evaluation.colorimetry.whiteness import whiteness
from evaluation.errors import FileProblem
from evaluation.facts.paper_fact import PaperFact
from evaluation.plain_text import percent
from evaluation.readings.colours import colours
from evaluation.readings.density_range import device_paper
from evaluation.readings.run import Array, Run
from evaluation.telling import facts as words
from evaluation.work import gate
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.take_in import read

_BACKINGS: Final = ("black", "white")


@dataclass(frozen=True, slots=True, eq=False)
class _Read:
    """The bare paper as one run has it: mean CIELAB and Y, and the mean spectrum where there is one."""

    condition: str | None
    backing: str | None
    lab: Array
    luminance: float
    wavelengths: Array | None
    spectrum: Array | None


def paper_facts(bench: Bench, session_id: int) -> tuple[PaperFact, ...]:
    """What readings say of the paper of a session; nothing where it was not read bare, or may not show."""
    found = _papers(bench, session_id)
    if not found:
        return ()
    return (*_white(found), _brightener(found), _opacity(found))


def _papers(bench: Bench, session_id: int) -> list[_Read]:
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    found = []
    for taken in gate.visible_part(session, sheet, read.taken_in(bench, session)):
        rows = list(taken.matched.get(sheet.paper_patch or "", ()))
        if not rows and taken.run.printed_as == "unmanaged":
            rows = device_paper(taken.run)
        if rows and (one := _of(taken.run, rows)) is not None:
            found.append(one)
    return found


def _of(run: Run, rows: Sequence[int]) -> _Read | None:
    try:
        known = colours(run)
    except FileProblem:
        return None
    spectral = run.spectra is not None and run.wavelengths is not None
    return _Read(
        run.stated.condition,
        run.stated.backing,
        known.lab_d50[rows].mean(axis=0),
        float(known.xyz_d50[rows, 1].mean()),
        run.wavelengths if spectral else None,
        run.spectra[rows].mean(axis=0) if spectral and run.spectra is not None else None,
    )


def _white(found: Sequence[_Read]) -> Iterator[PaperFact]:
    """Whiteness, tint and brightness of the same reading: M1, else M0, as papers are seen by daylight."""
    lit = [one for condition in LIT for one in found if one.condition == condition]
    one = next((each for each in lit if each.spectrum is not None), None)
    if one is None or one.wavelengths is None or one.spectrum is None:
        why = "no spectrum under M1 or M0"
        yield words.whiteness(None, None, why, "")
        yield words.brightness(None, why, "")
        return
    condition = one.condition or ""
    try:
        white = whiteness(one.wavelengths, one.spectrum)
    except FileProblem as problem:
        yield words.whiteness(None, None, problem.particulars, condition)
    else:
        beyond = "outside of the limits that the formula is made for" if not white.is_white else ""
        yield words.whiteness(float(white.whiteness), float(white.tint), beyond, condition)
    bright = brightness(one.wavelengths, one.spectrum)
    nm = one.wavelengths
    bands = f"the bands, {nm[0]:g} to {nm[-1]:g} nm by {np.diff(nm).max():g}, do not follow 400 to 510 nm"
    yield words.brightness(
        None if bright is None else float(bright), "" if bright is not None else bands, condition
    )


def _brightener(found: Sequence[_Read]) -> PaperFact:
    """M2 less M1, or less M0, on one backing."""
    for condition in LIT:
        for lit in (one for one in found if one.condition == condition):
            for dark in (one for one in found if one.condition == "M2" and one.backing == lit.backing):
                db = float(dark.lab[2] - lit.lab[2])
                return words.brightener(db, amount_words(db), "", f"M2 less {condition}")
    return words.brightener(None, "", "not read with and without ultraviolet on one backing", "")


def _opacity(found: Sequence[_Read]) -> PaperFact:
    """Y over black as a share of Y over white, under one measurement condition."""
    for one in found:
        for other in found:
            if (one.backing, other.backing) == _BACKINGS and one.condition == other.condition:
                share = one.luminance / other.luminance
                return words.opacity(share, percent(share, 1), "", one.condition or "not stated")
    return words.opacity(None, "", "not read over black and over white backing", "")
