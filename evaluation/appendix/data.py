"""The data that goes with an appendix: readings as ISO 28178 text, grades and findings as JSON and CSV.

Readings of regions the eye has not graded are left out here as everywhere, and the file says how many.
"""

import base64
import json
import re
from collections.abc import Iterable, Mapping
from typing import Any, Final

from evaluation.appendix.case import Case, Edition, observer_words
from evaluation.appendix.document import Picture, harmless
from evaluation.appendix.drawing import figures
from evaluation.csv_text import csv_text
from evaluation.entry import encoded
from evaluation.readings.run import Run, Taken
from evaluation.telling.answers import answer_words
from evaluation.telling.figure import Figure
from evaluation.telling.wording import folded

_NOT_IN_NAMES: Final = re.compile(r"[^A-Za-z0-9._-]+")


def files(cases: tuple[Case, ...], edition: Edition) -> dict[str, bytes]:
    """Every file by its name: findings, numbers and grades of all sessions, readings one run a file."""
    findings = [dict(harmless(dict(case.findings))) for case in cases]
    grades = [row for case in cases for row in _grades(case, edition)]
    made = {
        "findings.json": _json({"version": edition.version, "sessions": findings}),
        "findings.csv": _csv(_finding_rows(cases)),
        "numbers.csv": _csv(_number_rows(cases)),
        "greys.csv": _csv(_grey_rows(cases)),
        "grades.json": _json({"version": edition.version, "grades": grades}),
        "grades.csv": _csv([{**row, "answer": row["words"]} for row in grades], _GRADE_COLUMNS),
    }
    for case in cases:
        for index, taken in enumerate(case.taken, 1):
            name = f"session-{case.session.id}-readings-{index}.txt"
            made[name] = readings(case, taken, edition.version).encode("utf-8")
    return made


def readings(case: Case, taken: Taken, version: str) -> str:
    """A run as ISO 28178 text, values exactly as they were taken in; reading it back gives the same run."""
    run = taken.run
    region_of = {patch.id: patch.region for patch in case.sheet.patches}
    hidden = {
        row
        for patch, rows in taken.matched.items()
        if region_of.get(patch, "") not in (*case.shown, "")
        for row in rows
    }
    rows = [row for row in range(len(run)) if row not in hidden]
    columns = _columns(run)
    stated = run.stated
    keywords = {
        "ORIGINATOR": f"drydown {version}",
        "DESCRIPTOR": folded(f"{case.session.condition.paper} {run.source_name}"),
        "INSTRUMENTATION": stated.instrument,
        "MEASUREMENT_GEOMETRY": stated.geometry,
        "MEASUREMENT_CONDITION": stated.condition,
        "SAMPLE_BACKING": stated.backing,
        "ILLUMINANT": stated.illuminant if run.spectra is None else None,
        "OBSERVER": stated.observer if run.spectra is None else None,
        "MEASUREMENT_DATE": stated.measured_at.isoformat(" ") if stated.measured_at else None,
        "PRINTED_AS": run.printed_as,
    }
    own = ("MEASUREMENT_CONDITION", "ILLUMINANT", "OBSERVER", "MEASUREMENT_DATE", "PRINTED_AS")
    lines = ["ISO28178"]
    for name, value in keywords.items():
        if value:
            lines += [f'KEYWORD "{name}"'] if name in own else []
            lines.append(f"{name} {_quoted(value)}")
    if hidden:
        lines.append(
            f"# {len(hidden)} of {len(run)} rows are left out: the eye has not graded their regions."
        )
    fields = ["SAMPLE_ID", "SAMPLE_NAME", *(name for names, _ in columns for name in names)]
    lines += [
        f"NUMBER_OF_FIELDS {len(fields)}",
        "BEGIN_DATA_FORMAT",
        "\t".join(fields),
        "END_DATA_FORMAT",
        f"NUMBER_OF_SETS {len(rows)}",
        "BEGIN_DATA",
    ]
    for row in rows:
        ref = run.patches[row]
        cells = [_quoted(ref.id or str(ref.row)), _quoted(ref.name or ref.id or str(ref.row))]
        cells += [repr(float(value)) for _, values in columns for value in values[row]]
        lines.append("\t".join(cells))
    lines.append("END_DATA")
    return "\n".join(lines) + "\n"


def figure_files(figure: Figure) -> dict[str, bytes]:
    """A figure as SVG, PNG, its numbers as CSV, and its caption with what it shows as text."""
    rows = [
        {
            "curve": series.name,
            "label": series.label,
            "point": series.names[index] if series.names else "",
            figure.x: x,
            figure.y or "row": y,
        }
        for series in figure.lines
        for index, (x, y) in enumerate(zip(series.x, series.y, strict=True))
    ]
    return {
        f"{figure.id}.svg": f"{figures.svg(figure)}\n".encode(),
        f"{figure.id}.png": figures.png(figure),
        f"{figure.id}.csv": _csv(rows),
        f"{figure.id}.txt": f"{figure.title}.\n{figure.alt}\n".encode(),
    }


def picture(block: Figure | Picture) -> bytes:
    """The picture of a figure (SVG) or an attached photograph (JPEG), as a file of its own."""
    if isinstance(block, Picture):
        return base64.b64decode(block.content)
    return f"{figures.svg(block)}\n".encode()


def file_name(text: str) -> str:
    """A name for a file from what a person called something: letters, digits, hyphens.

    >>> file_name("Brackmoor Rag 293 / matt")
    'brackmoor-rag-293-matt'
    """
    return _NOT_IN_NAMES.sub("-", text.lower()).strip("-.") or "appendix"


def _columns(run: Run) -> list[tuple[list[str], Any]]:
    """The columns of a run: their names and (n, k) values. Device values keep to the scale of their space."""
    found: list[tuple[list[str], Any]] = []
    if run.device is not None and run.device_space in ("RGB", "CMYK"):
        scale = 255.0 if run.device_space == "RGB" else 100.0
        found.append(([f"{run.device_space}_{ink}" for ink in run.device_space], run.device * scale))
    if run.lab is not None:
        found.append((["LAB_L", "LAB_A", "LAB_B"], run.lab))
    if run.xyz is not None:
        found.append((["XYZ_X", "XYZ_Y", "XYZ_Z"], run.xyz))
    if run.spectra is not None and run.wavelengths is not None:
        found.append(([f"SPECTRAL_NM_{nm:g}" for nm in run.wavelengths], run.spectra))
    return found


def _finding_rows(cases: tuple[Case, ...]) -> list[dict[str, Any]]:
    rows = []
    for case in cases:
        for region in case.findings.get("regions", ()):
            row: dict[str, Any] = {
                "session": case.session.id, "region": region["id"], "title": region["title"],
            }  # fmt: skip
            for voice in ("eye", "instrument", "combined"):
                said = region[voice] or {}
                row[f"{voice}_grade"], row[f"{voice}_spread"] = said.get("grade"), said.get("spread")
            row |= {"agreement": region["agreement"], "why": region["why"]}
            row["faults"] = ", ".join(region["faults"])
            rows.append(row)
    return rows


def _number_rows(cases: tuple[Case, ...]) -> list[dict[str, Any]]:
    return [
        {
            "session": case.session.id,
            "region": finding.region,
            "number": metric.name,
            "value": round(metric.value, 4),
            "spread": None if metric.spread is None else round(metric.spread, 4),
            "unit": metric.unit,
            "where": metric.where,
            "patches": metric.patches,
            "compared": metric.comparison,
        }
        for case in cases
        for finding in case.looked
        for metric in finding.metrics
    ]


def _grey_rows(cases: tuple[Case, ...]) -> list[dict[str, Any]]:
    """Every step of the greys on record, black to paper; a hollow step is left out of the cast."""
    return [
        {
            "session": case.session.id,
            "step": step.name,
            "L": round(step.L, 3),
            "a": round(step.a, 3),
            "b": round(step.b, 3),
            "density": None if step.density is None else round(step.density, 4),
            "aim_a": round(step.aim_a, 3),
            "aim_b": round(step.aim_b, 3),
            "dCh": round(step.dch, 3),
            "dE00": round(step.de00, 3),
            "left_out": step.hollow,
        }
        for case in cases
        if case.greys is not None
        and (record := case.greys.record) is not None
        and record.region in case.shown
        for step in record.steps
    ]


_GRADE_COLUMNS: Final = (
    "session", "viewing", "observer", "kind", "region", "question", "answer", "after_reading", "at",
)  # fmt: skip


def _grades(case: Case, edition: Edition) -> Iterable[dict[str, Any]]:
    for viewing in case.session.viewings:
        for (region, question), given in viewing.answers.items():
            yield {
                "session": case.session.id,
                "viewing": viewing.ordinal,
                "observer": observer_words(case.session, viewing, edition.choices.observers),
                "kind": viewing.kind,
                "region": region,
                "question": question,
                "answer": encoded(given.value),
                "words": answer_words(given.value, in_full=True),
                "after_reading": given.after_reveal,
                "at": given.at.isoformat(),
            }


def _json(value: Mapping[str, Any]) -> bytes:
    text = json.dumps(harmless(dict(value)), ensure_ascii=False, indent=1, allow_nan=False)
    return f"{text}\n".encode()


def _csv(rows: list[dict[str, Any]], columns: tuple[str, ...] = ()) -> bytes:
    names = columns or tuple(rows[0] if rows else ())
    return csv_text(names, ([row[name] for name in names] for row in rows)).encode("utf-8")


def _quoted(text: str) -> str:
    return '"' + folded(harmless(text)).replace('"', "'") + '"'
