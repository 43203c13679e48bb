"""How it was measured: instrument, condition, geometry, backing, observer, formula, aims, black, repeats."""

from collections.abc import Iterator
from datetime import datetime

from evaluation.appendix import three_steps
from evaluation.appendix.case import Case
from evaluation.appendix.document import Block, Facts, Paragraph, Points, Section
from evaluation.appendix.paper_and_black import paper_and_black, spectra
from evaluation.readings.age import day_alone
from evaluation.readings.match import oddities
from evaluation.readings.run import Run, Taken
from evaluation.telling.caveats import BLACK_FROM_PRINT
from evaluation.telling.numbers import NOTHING, number
from evaluation.telling.table import Table
from evaluation.telling.wording import counted, day, folded, sentence, spaced, utc

_NOT_STATED = "not stated"
_AIMS = {
    "paper": "the grey of the paper itself at each lightness, in absolute CIELAB",
    "line": "a line from the colour of the paper towards neutral at the darkest grey, in absolute CIELAB",
    "absolute": "a* = b* = 0 in absolute CIELAB",
    "toned": "the curve that the map states, in absolute CIELAB",
}
_PRINTED = {
    "managed": "as a picture, as described above",
    "unmanaged": "as device values: they do not judge the picture",
    "not stated": _NOT_STATED,
}
_BLACKS = {
    "profile": "The black of the aim is neutral, as deep as the profile says this condition reaches.",
    "earlier session": "The black of the aim is neutral, as deep as in the earlier session named for it.",
    "this print": BLACK_FROM_PRINT,
    "not mapped": "The black of the aim was not mapped: darker aims were out of reach by choice.",
    "not read": "No black was read; the aim was not mapped to one.",
}


_COMPARED = {
    "media-relative": (
        "Print and aim were compared media-relative, each scaled by its own white, component by component; "
        "neutrality was judged in absolute CIELAB."
    ),
    "absolute": "Print and aim were compared in absolute CIELAB, as the intent asks.",
}


def how_measured(case: Case, prefix: str) -> Section:
    """The section "How it was measured" of one session; it holds facts of the files, no patch's value."""
    if not case.taken:
        told = Paragraph("No readings were taken in.", "caution")
        return Section(f"{prefix}-measured", "How it was measured", (told,))
    blocks: list[Block] = []
    for index, taken in enumerate(case.taken, 1):
        blocks.append(Facts(tuple(_run(index, len(case.taken), taken))))
    blocks.append(_repeats(case.taken))
    blocks.append(Paragraph(_computed(case)))
    blocks.append(Paragraph(_aims(case)))
    blocks += list(three_steps.of_session(case))
    blocks += list(paper_and_black(case))
    blocks += list(spectra(case, prefix))
    remarks = tuple(
        dict.fromkeys(
            sentence(remark)
            for taken in case.taken
            for remark in (
                *taken.run.remarks,
                *(oddities(taken, case.sheet) if _all_shown(case, taken) else ()),
            )
        )
    )
    if remarks:
        blocks.append(Points("Remarks on the files", remarks))
    return Section(f"{prefix}-measured", "How it was measured", tuple(blocks))


def _all_shown(case: Case, taken: Taken) -> bool:
    """Remarks on suspicious rows speak of values: they wait until every region of the run may be shown."""
    return all(case.sheet.patch(patch).region in (*case.shown, "") for patch in taken.matched)


def _run(index: int, count: int, taken: Taken) -> Iterator[tuple[str, str]]:
    run, stated = taken.run, taken.run.stated
    where = folded(run.source_name) or "typed by hand"
    yield (f"readings {index}" if count > 1 else "readings"), where + (f", {run.part}" if run.part else "")
    yield "condition (ISO 13655)", stated.condition or _NOT_STATED
    yield "instrument", folded(stated.instrument or "") or _NOT_STATED
    yield "geometry", folded(stated.geometry or "") or _NOT_STATED
    yield "backing", folded(stated.backing or "") or _NOT_STATED
    yield "measured", _when(stated.measured_at) if stated.measured_at else _NOT_STATED
    yield "patches printed", _PRINTED[run.printed_as]
    yield "what was read", _kind(run)
    matched = f"{counted(len(taken.matched), 'patch', 'patches')} by {taken.matched_by}"
    missing = (
        f"; {counted(len(taken.unmatched_patches), 'patch', 'patches')} of the sheet not in the file"
        if taken.unmatched_patches
        else ""
    )
    spare = (
        f"; {counted(len(taken.unmatched_rows), 'row')} of the file not of the sheet"
        if taken.unmatched_rows
        else ""
    )
    none = "none: the profile's own patches"
    yield "matched to the sheet", matched + missing + spare if taken.matched else none
    if stated.said_by_user:
        names = ", ".join(spaced(name) for name in sorted(stated.said_by_user))
        yield "said by the user, not by the file", names
    if run.reader:
        yield "file format", run.reader


def _when(at: datetime) -> str:
    """A file that states the day alone is not given an hour."""
    return day(at) if day_alone(at) else utc(at)


def _kind(run: Run) -> str:
    """What the file holds, and for which light and observer its colours were written."""
    if run.wavelengths is not None and len(run.wavelengths) > 1:
        first, last = float(run.wavelengths[0]), float(run.wavelengths[-1])
        step = (last - first) / (len(run.wavelengths) - 1)
        kind = f"spectra, {first:g} to {last:g} nm in steps of {step:g} nm"
    else:
        light = run.stated.illuminant or "illuminant not stated"
        observer = f"{run.stated.observer}° observer" if run.stated.observer else "observer not stated"
        kind = f"{'CIELAB' if run.lab is not None else 'XYZ'} ({light}, {observer})"
    return f"{counted(len(run), 'reading')}, {kind}"


def _repeats(taken: tuple[Taken, ...]) -> Block:
    """Spread of patches read more than once: the only place where mean and 95th percentile stand alone."""
    rows = []
    for index, part in enumerate(taken, 1):
        repeats = part.repeats
        if repeats.mcdm is None:
            continue
        rows.append(
            (
                f"readings {index}",
                f"{counted(repeats.readings, 'reading')} of {counted(repeats.patches, 'patch', 'patches')}",
                number(repeats.mcdm, 2),
                number(repeats.p95, 2) if repeats.p95 is not None else NOTHING,
                number(repeats.largest, 2) if repeats.largest is not None else NOTHING,
            )
        )
    if not rows:
        return Paragraph(
            "No patch was read twice, so the spread of the readings is an assumption "
            "(threshold “reading sd”).",
            "caution",
        )
    return Table(
        "Repeats: difference of single readings from their mean, dE*ab",
        ("readings", "repeated", "mean", "95th percentile", "largest"),
        tuple(rows),
        right=(2, 3, 4),
    )


def _computed(case: Case) -> str:
    from_spectra = any(taken.run.spectra is not None for taken in case.taken)
    colours = (
        "Colours were worked out from the spectra with the 10 nm weights of ASTM E308, unused ends folded in"
        if from_spectra
        else "Colours are those of the file"
    )
    return (
        f"{colours}; CIELAB for D50 and the CIE 1931 2° observer. Differences are CIEDE2000 unless a unit "
        f"says otherwise, aim first, so that signs are print minus aim. {_compared(case)}"
    ).strip()


def _compared(case: Case) -> str:
    """In which frame; nothing where no reading was compared with an aim."""
    evidence = next(iter(case.evidence.values()), None)
    return "" if evidence is None else _COMPARED[evidence.comparison]


def _aims(case: Case) -> str:
    evidence = next(iter(case.evidence.values()), None)
    name = evidence.aim_name if evidence else case.sheet.neutral_aim
    told = f"The aim of greys is “{name}”: {_AIMS[name]}."
    return f"{told} {_BLACKS.get(case.black_from, '')}".strip()


def _odd(case: Case, taken: Taken) -> tuple[str, ...]:
    """What looks odd tells of colours, so it stays away until every region of the run may be shown."""
    return oddities(taken, case.sheet) if _all_shown(case, taken) else ()
