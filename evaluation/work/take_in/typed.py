"""Readings typed patch by patch: each line is on disk before it shows; what is shown back passes the gate.

All that one hand types under one condition is one run without a source. A line more, or one less, makes it
anew and takes it in in place of the run before, in one entry of the undo.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from typing import Any, Final, Literal, get_args

import numpy as np

from evaluation.archive import habits, runs, sessions
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.entry import Draft, Entry
from evaluation.errors import UsageProblem
from evaluation.plain_text import quoted
from evaluation.readings.plausible import LAB, XYZ
from evaluation.readings.run import CONDITIONS, Condition, PatchRef, Run, Stated
from evaluation.session import Session
from evaluation.sheet.layout import Patch, Sheet
from evaluation.sheet.patch_set import on_strip, short_list
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.gate import open_regions
from evaluation.work.log import Entered, refuse_read_only, say
from evaluation.work.take_in.read import reveal

Kind = Literal["CIELAB", "XYZ"]
KINDS: Final[tuple[Kind, ...]] = get_args(Kind)
Triple = tuple[float, float, float]

_READER: Final = "typed by hand"
_HABIT: Final = "readings typed by hand"
_NOT_SAVED: Final = "Nothing was saved."


@dataclass(frozen=True, slots=True)
class Hand:
    """What holds for all that is typed, entered once. Values are for D50 and the 2 degree observer.

    "" is not stated: it stays a caveat.
    """

    condition: str = ""
    instrument: str = ""
    backing: str = ""
    kind: Kind = "CIELAB"


ANSWERS: Final[Mapping[str, tuple[str, ...]]] = {
    "condition": CONDITIONS,
    "instrument": (),
    "backing": ("white", "black"),
    "kind": KINDS,
}


@dataclass(frozen=True, slots=True)
class TypedRow:
    """A patch of the sheet and how often it was typed. `values` are those typed last, behind the gate."""

    id: str
    name: str
    region: str  # title, "" for none
    count: int
    shown: bool  # whether its readings may be seen
    values: Triple | None = None


def hand(bench: Bench, session: Session) -> Hand:
    """What was entered about the readings typed last: in this session, else in any other."""
    for run in reversed(_typed(bench, session.id)):
        stated = run.stated
        kind: Kind = "CIELAB" if run.lab is not None else "XYZ"
        return Hand(stated.condition or "", stated.instrument or "", stated.backing or "", kind)
    kept = habits.recall(bench.archive, _HABIT)
    if not isinstance(kept, dict):
        return Hand()
    return Hand(**{field: value for field, value in kept.items() if field in ANSWERS})


def said(bench: Bench, before: Hand, field: str, answer: str) -> Hand:
    """What holds for all that is typed, one field more; remembered. Raises UsageProblem."""
    text = " ".join(answer.split())
    known = {each.casefold(): each for each in ANSWERS[field]}
    if field in ("condition", "kind") and text.casefold() not in known and (text or field == "kind"):
        raise UsageProblem("Nothing was changed.", expected=", ".join(known.values()), found=quoted(text))
    changed: Mapping[str, Any] = {field: known.get(text.casefold(), text)}
    after = replace(before, **changed)
    if not bench.archive.read_only:
        habits.remember(bench.archive, _HABIT, {name: getattr(after, name) for name in ANSWERS})
    return after


def by_hand(bench: Bench, action: Sequence[Entry], by: Hand) -> bool:
    """Whether the readings that these entries take in or leave out were all typed under that."""
    ids = [int(entry.subject) for entry in action if entry.kind == "readings"]
    return all(_run_of([runs.load(bench.archive, run_id)], by) for run_id in ids)


def listed(bench: Bench, session: Session, by: Hand) -> tuple[TypedRow, ...]:
    """Every patch of the sheet, the short list first. No value of an ungraded region is among them."""
    sheet = sheet_of(bench, session)
    titles = {region.id: region.title for region in sheet.regions}
    seen = open_regions(session, sheet) | {""}
    counts: dict[str, int] = {}
    last: dict[str, Triple] = {}
    run = _run_of(_typed(bench, session.id), by)
    for row, ref in enumerate(run.patches if run else ()):
        counts[ref.patch] = counts.get(ref.patch, 0) + 1
        last[ref.patch] = _values(run, row)
    return tuple(
        TypedRow(
            patch.id,
            patch.name,
            titles.get(patch.region, ""),
            counts.get(patch.id, 0),
            patch.region in seen,
            last.get(patch.id) if patch.region in seen else None,
        )
        for patch in _short_first(sheet)
    )


def _short_first(sheet: Sheet) -> tuple[Patch, ...]:
    """The thirty patches that tell most, in their order, then all others."""
    mono = any(region.kind.startswith("mono") for region in sheet.regions)
    short = on_strip(sheet) or short_list(sheet.patches, mono)
    known = {patch.id for patch in short}
    return (*short, *(patch for patch in sheet.patches if patch.id not in known))


def put(
    bench: Bench, session_id: int, patch_id: str, text: str, by: Hand, *, by_another: bool = False
) -> Entered:
    """Keep one reading of a patch as typed; a patch typed twice was read twice. Raises UsageProblem.

    Whoever types a number has seen it: a region without its grade is recorded as shown, which marks its later
    grades, unless somebody else types than the eye that grades (`by_another`).
    """
    refuse_read_only(bench)
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    patch = _patch(sheet, patch_id)
    values, rounding = understood(text, by.kind, patch.name)
    if not by_another and patch.region not in open_regions(session, sheet) | {""}:
        reveal(bench, session_id, [patch.region])
    with bench.archive.transaction():
        before = _run_of(_typed(bench, session_id), by)
        row = PatchRef(patch.id, patch.name, len(before) + 1 if before else 1, patch.id)
        patches = (*before.patches, row) if before else (row,)
        table = np.vstack([_table(before), values]) if before else np.array([values])
        coarsest = max(before.rounding, rounding) if before else rounding
        step = _instead(bench, session_id, before, _made(by, patches, table, coarsest))
    times = sum(ref.patch == patch_id for ref in patches)
    return replace(step, words=f"{patch.name}: typed" + (f", reading {times}" if times > 1 else ""))


def take_away(bench: Bench, session_id: int, patch_id: str, by: Hand) -> Entered:
    """Leave out the reading of a patch that was typed last. Raises UsageProblem when there is none."""
    refuse_read_only(bench)
    session = sessions.load(bench.archive, session_id)
    patch = _patch(sheet_of(bench, session), patch_id)
    with bench.archive.transaction():
        before = _run_of(_typed(bench, session_id), by)
        rows = [row for row, ref in enumerate(before.patches) if ref.patch == patch_id] if before else []
        if before is None or not rows:
            raise UsageProblem(f"No reading of {patch.name} was typed.", remedy="Nothing was changed.")
        stay = [row for row in range(len(before)) if row != rows[-1]]
        patches = tuple(replace(before.patches[row], row=place) for place, row in enumerate(stay, 1))
        after = _made(by, patches, _table(before)[stay], before.rounding) if stay else None
        step = _instead(bench, session_id, before, after)
    return replace(step, words=f"{patch.name}: reading taken away")


def understood(text: str, kind: Kind, where: str) -> tuple[Triple, float]:
    """Three typed numbers, and how coarsely they round CIELAB. A decimal comma is as good as a point.

    Trailing zeros are often left out, so the finest of the three digits counts for all of them. XYZ digits
    are carried over to CIELAB at that colour, where they weigh most in the dark.

    >>> understood("52,1 0.3 -1", "CIELAB", "N05")
    ((52.1, 0.3, -1.0), 0.1)
    """
    parts = [part.rstrip(",") for part in text.replace(";", " ").split()]
    try:
        exact = [Decimal(part.replace(",", ".")) for part in parts]
    except InvalidOperation:
        exact = []
    names = "L*, a* and b*" if kind == "CIELAB" else "X, Y and Z (Y of the perfect diffuser is 100)"
    if len(exact) != 3 or not all(number.is_finite() for number in exact):
        raise UsageProblem(_NOT_SAVED, where=where, expected=f"{names}, three numbers", found=quoted(text))
    values = (float(exact[0]), float(exact[1]), float(exact[2]))
    limits = LAB if kind == "CIELAB" else XYZ
    for value, low, high in zip(
        values, np.broadcast_to(limits.low, 3), np.broadcast_to(limits.high, 3), strict=True
    ):
        if not low - limits.slack <= value <= high + limits.slack:
            raise UsageProblem(
                _NOT_SAVED,
                where=where,
                expected=f"{names}, each from {low:g} to {high:g}",
                found=f"{value:g}",
            )
    step = 10.0 ** min(_exponent(number) for number in exact)
    return values, step if kind == "CIELAB" else _in_lab(values, step)


def _exponent(number: Decimal) -> int:
    exponent = number.as_tuple().exponent
    return min(exponent, 0) if isinstance(exponent, int) else 0


def _in_lab(xyz: Triple, step: float) -> float:
    """The largest change of L*, a* or b* that one step of the last digit makes at a colour."""
    half = np.eye(3) * step / 2
    return float(np.abs(lab_from_xyz(np.array(xyz) + half) - lab_from_xyz(np.array(xyz) - half)).max())


def _made(by: Hand, patches: Sequence[PatchRef], table: Any, rounding: float) -> Run:
    condition: Condition | None = next((each for each in CONDITIONS if each == by.condition), None)
    stated = {"condition": condition, "instrument": by.instrument or None, "backing": by.backing or None}
    named = frozenset(field for field, value in stated.items() if value) | {"illuminant", "observer"}
    return Run(
        tuple(patches),
        Stated(
            condition,
            "D50",
            "2",
            instrument=by.instrument or None,
            backing=by.backing or None,
            said_by_user=named,
        ),
        printed_as="managed",  # patches of the sheet itself, printed with its picture
        lab=table if by.kind == "CIELAB" else None,
        xyz=table if by.kind == "XYZ" else None,
        reader=_READER,
        rounding=rounding,
    )


def _instead(bench: Bench, session_id: int, before: Run | None, after: Run | None) -> Entered:
    """One run in the place of another, inside the open transaction."""
    drafts = [Draft("readings", str(before.id), "out")] if before else []
    if after is not None:
        kept = runs.keep(bench.archive, session_id, [after], bench.now())
        drafts = [Draft("readings", str(run_id), "in") for run_id in kept] + drafts
    return say(bench, session_id, drafts)


def _typed(bench: Bench, session_id: int) -> tuple[Run, ...]:
    return tuple(run for run in runs.of_session(bench.archive, session_id) if run.reader == _READER)


def _run_of(typed: Sequence[Run], by: Hand) -> Run | None:
    """The run that a line typed now belongs to: the one for which the same holds."""
    for run in typed:
        stated = run.stated
        kind: Kind = "CIELAB" if run.lab is not None else "XYZ"
        if Hand(stated.condition or "", stated.instrument or "", stated.backing or "", kind) == by:
            return run
    return None


def _table(run: Run) -> Any:
    return run.lab if run.lab is not None else run.xyz


def _values(run: Run | None, row: int) -> Triple:
    assert run is not None
    first, second, third = (float(value) for value in _table(run)[row])
    return first, second, third


def _patch(sheet: Sheet, patch_id: str) -> Patch:
    try:
        return sheet.patch(patch_id)
    except KeyError:
        raise UsageProblem(f"This sheet has no patch “{patch_id}”.", remedy=_NOT_SAVED) from None
