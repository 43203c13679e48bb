"""Faults outside the printer model, on several sheets: what is named for them.

uv run pytest -m long tests/validation/test_causes_outside.py    # writes OUTSIDE.md
uv run python -m tests.validation.outside --draws 1    # a look; writes nothing
"""

import argparse
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np

from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.judgement.weigh import weigh
from evaluation.metrics.gather import aim_relative
from evaluation.profile.engine import open_profile
from evaluation.profile.prediction import Prediction
from evaluation.readings.match import match
from evaluation.readings.run import Run, Stated
from evaluation.session import READINESS, Grade, PrintingCondition, Readiness, Session, Viewing
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Sheet
from evaluation.sheet.load import map_text, read_map
from fixtures.printer import icc
from fixtures.printer.faults import inject
from fixtures.printer.instrument import next_sheet
from fixtures.printer.machine import Machine
from fixtures.printer.papers import PAPERS
from fixtures.printer.path import Path as Way
from fixtures.printer.printing import Job, readings
from tests.validation.draws import LUSTRE, MADE, NOW, RAG, TABLES, sound_profile
from tests.validation.observer import viewing

DOCUMENT: Final = Path(__file__).with_name("OUTSIDE.md")
BARYTA: Final = next(name for name in PAPERS if "aryta" in name)
SEEDS: Final = 80_000_000  # of OUTSIDE.md
TUNING: Final = 2_000_000
DRAWS: Final = 4
CELLS: Final = (
    ("four regions", "colour-4", LUSTRE),
    ("four regions", "colour-4", RAG),
    ("full sheet", "colour-9", LUSTRE),
    ("full sheet", "colour-9", RAG),
    ("full sheet", "colour-9", BARYTA),
    ("black and white", "mono-7", LUSTRE),
    ("black and white", "mono-7", RAG),
)
# What was done to the print or its reading, and which causes would be right.
RIGHT: Final[Mapping[str, tuple[str, ...]]] = {
    "sound": (),
    "even stripes": ("c29",),
    "the wrong side": ("c11",),
    "marks on 8 patches": ("c30",),
    "a harsh eye": ("c28",),
    "a lamp that drifts": ("c23",),
    "two faults": ("c06", "c12", "c15", "c21"),
}
_SIDE: Final = {"d_max": 1.25, "mottle": 0.05, "texture": 0.03}
_HARSH: Final = 1.5  # grades


@dataclass(frozen=True)
class Row:
    """One print: what was done, on which sheet and paper, and what was named; "none" for nothing known."""

    fault: str
    sheet: str
    paper: str
    named: tuple[str, ...]

    @property
    def word(self) -> str:
        """first, second, wrong, or silent: nothing was named, or none of the known causes."""
        known = [name for name in self.named if name != "none"]
        if not known:
            return "silent"
        right = RIGHT[self.fault]
        return "first" if known[0] in right else "second" if set(known[:2]) & set(right) else "wrong"


@cache
def _sheet(name: str) -> Sheet:
    return read_map(map_text(name), name)


@cache
def _promise(sheet: str, paper: str) -> Prediction:
    own = sound_profile(paper)
    profile = open_profile(icc.written(own, MADE), f"{own.description}.icc")
    patches = _sheet(sheet)
    aims = lab_from_xyz(aim_relative(patches, source_lab(patches), False))
    return Prediction(profile, "relative colorimetric", True, patches.patches, aims, patches.encoding)


def drawn(fault: str, title: str, name: str, paper: str, seed: int) -> Row:
    """One print of a sheet with that fault, looked at, read and weighed as shipped."""
    sheet, promise = _sheet(name), _promise(name, paper)
    cell = next(k for k, one in enumerate(CELLS) if one[1:] == (name, paper))
    rng = np.random.default_rng([seed, list(RIGHT).index(fault), cell])
    stock = replace(PAPERS[paper], **_SIDE) if fault == "the wrong side" else PAPERS[paper]
    job = replace(
        Job(Machine(stock, dose=next_sheet(rng)), Way(sound_profile(paper), "srgb")), conditions=("M1",)
    )
    if fault == "two faults":
        for cause in rng.choice(RIGHT[fault], 2, replace=False):
            job = inject(job, str(cause), float(rng.uniform(0.3, 0.8)), sheet, rng)
    ids = [patch.id for patch in sheet.patches if patch.source is not None]
    stated = Stated(backing="white", instrument="hand-held", measured_at=NOW)
    runs = [
        replace(run, spectra=_spoilt(fault, run, sheet, rng))
        for run in readings(sheet, job, rng, twice=ids[::6], stated=stated)
    ]
    takens = [match(run, sheet) for run in runs]
    condition = PrintingCondition(
        driver_mode="through the profile",
        intent="relative colorimetric",
        black_point_compensation=True,
        printed_at=NOW.replace(day=NOW.day - 3),
    )
    seen = viewing(sheet, job, promise, condition, TABLES, rng, at=NOW, ultraviolet=True)
    if fault == "a harsh eye":
        seen = _harsher(seen)
    light = Readiness("done", NOW, {"uv": "yes", "lux": 2000.0})
    session = Session(
        id=1,
        uid="0" * 32,
        sheet_digest=sheet.digest,
        created=NOW,
        revision=1,
        condition=condition,
        readiness={item: Readiness("done", NOW) for item in READINESS} | {"viewing_light": light},
        viewings=(seen,),
    )
    weighing = weigh(session, sheet, takens, TABLES, expected=promise)
    return Row(fault, title, paper, tuple(cause.id for cause in weighing.causes))


def _spoilt(fault: str, run: Run, sheet: Sheet, rng: np.random.Generator) -> np.ndarray:
    """The spectra as they are read where the fault is one of stripes, of marks, or of the lamp."""
    assert run.spectra is not None
    names = [ref.id for ref in run.patches]
    if fault == "even stripes":
        pitch, size = rng.uniform(10, 45), rng.uniform(0.05, 0.12)
        axis = int(rng.integers(2))
        at = np.array([_at(sheet, name, axis, rng) for name in names])
        wave = np.sin(2 * np.pi * at / pitch + rng.uniform(0, 6))
        return np.asarray(run.spectra ** (1 + size * wave[:, None]))
    if fault == "marks on 8 patches":
        touched = rng.choice(len(names), 8, replace=False)
        spectra = run.spectra.copy()
        spectra[touched] *= rng.uniform(0.7, 0.9, 8)[:, None]
        return spectra
    if fault == "a lamp that drifts":
        grows = rng.choice((-1.0, 1.0)) * rng.uniform(0.02, 0.05)
        return np.asarray(run.spectra * (1 + grows * np.linspace(0, 1, len(names)))[:, None])
    return run.spectra


def _at(sheet: Sheet, name: str, axis: int, rng: np.random.Generator) -> float:
    area = sheet.patch(name).area
    if area is None:  # read from a page of its own, where stripes have another phase
        return float(rng.uniform(0, sheet.size_mm[axis]))
    share = area.left + area.width / 2 if axis == 0 else area.top + area.height / 2
    return share * sheet.size_mm[axis]


def _harsher(seen: Viewing) -> Viewing:
    answers = {
        key: replace(one, value=Grade(max(1, round(one.value.value - _HARSH))))
        if isinstance(one.value, Grade)
        else one
        for key, one in seen.answers.items()
    }
    return replace(seen, answers=answers)


def drawn_all(seed: int, draws: int) -> Iterator[Row]:
    for fault in RIGHT:
        for title, name, paper in CELLS:
            for k in range(draws):
                yield drawn(fault, title, name, paper, seed + k)


def document(rows: Sequence[Row]) -> str:
    """The page, from what was drawn."""
    sheets = list(dict.fromkeys(row.sheet for row in rows))
    lines = [
        "# Faults outside the printer model",
        "",
        _HEAD,
        "",
        "First, second, wrong, silent (nothing named, or none of the known causes):",
        "",
        f"| what was wrong | right would be | {' | '.join(sheets)} | named first |",
        "|---" * (len(sheets) + 3) + "|",
    ]
    for fault, right in RIGHT.items():
        own = [row for row in rows if row.fault == fault]
        cells = []
        for sheet in sheets:
            words = Counter(row.word for row in own if row.sheet == sheet)
            cells.append(" ".join(str(words[word]) for word in ("first", "second", "wrong", "silent")))
        firsts = Counter(row.named[0] if row.named else "nothing" for row in own).most_common(4)
        told = ", ".join(f"{name} {count}" for name, count in firsts)
        lines.append(f"| {fault} | {' or '.join(right) or 'nothing'} | {' | '.join(cells)} | {told} |")
    return "\n".join([*lines, ""])


_HEAD: Final = """\
Written by `uv run pytest -m long tests/validation/test_causes_outside.py`; do not edit. CONFUSION.md counts
faults that the printer model makes, on the sheet of four regions, lustre and matt. Here are faults that it
does not make, laid on its readings, on that sheet, on the full sheet (lustre, matt, baryta) and on the
black-and-white sheet through the profile (lustre, matt), each at drawn strength; and two of its own at once.
Even stripes: density modulated by 5 to 12 % every 10 to 45 mm. The wrong side: black of D 1.25, mottled.
Marks: eight patches darker by 10 to 30 %. A harsh eye: 1.5 grades under what it sees. A lamp that drifts: 2
to 5 % from the first reading to the last. No real print and no real observer is behind it."""


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--draws", type=int, default=1)
    print(document(list(drawn_all(TUNING, parser.parse_args().draws))))


if __name__ == "__main__":
    main()
