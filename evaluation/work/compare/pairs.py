"""Two sessions against each other: their readings fetched once, each pair worked out once and kept."""

import contextlib
import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from evaluation.archive import comparisons
from evaluation.judgement import codec
from evaluation.judgement import two_prints as judgement
from evaluation.judgement.matrix import ComparedSession, Pair
from evaluation.judgement.opinion import Finding
from evaluation.judgement.tables import Tables
from evaluation.judgement.two_prints import Difference, Print
from evaluation.metrics.brightener_shift import brightener_shift
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.gather import Gathered, gather
from evaluation.metrics.pool import PREFERRED, judging
from evaluation.readings.run import Condition, Taken
from evaluation.session import PrintingCondition, Session
from evaluation.sheet.layout import Sheet
from evaluation.telling.caveats import sheets_unknown
from evaluation.work.bench import Bench
from evaluation.work.take_in import read

# Light levels of ISO 3664, viewing conditions P1 (2000 lx) and P2 (500 lx), each with its tolerance.
_LEVELS: Final = (("P1", 1500.0, 2500.0), ("P2", 375.0, 625.0))
_D50: Final = 5000.0
_KELVIN_STEP: Final = 500.0  # nearer colour temperatures are one light (project's own choice)


class Bringer:
    """Readings of the sessions on the table, fetched when a pair first needs them."""

    def __init__(self, bench: Bench, subjects: Sequence[ComparedSession], in_force: Tables) -> None:
        self._bench = bench
        self._subjects = {subject.session.id: subject for subject in subjects}
        self._tables = in_force
        self.inputs = inputs_of_pairs(subjects, in_force)
        self._copies = copies(subjects)
        self._taken: dict[int, tuple[Taken, ...]] = {}
        self._gathered: dict[tuple[int, Condition | None, bool], Gathered | None] = {}
        self._spread: dict[frozenset[int], Mapping[str, Array] | None] = {}

    def compared(self, each: Pair) -> tuple[Difference, ...]:
        """Every region of either sheet; kept beside the weighings."""
        found = self.worked_out(each)
        self.keep(each, codec.encoded(found))
        return found

    def keep(self, each: Pair, text: str) -> None:
        """Keep a comparison, as `codec` writes it, unless the archive is read-only."""
        archive = self._bench.archive
        if not archive.read_only:
            comparisons.put(archive, each, self._tables.digest, inputs=self.inputs(each), result=text)

    def worked_out(self, each: Pair) -> tuple[Difference, ...]:
        """Every region of either sheet; not kept."""
        sides = [self._subjects[session_id] for session_id in each]
        regions = dict.fromkeys(region.id for side in sides for region in side.sheet.regions)
        condition, shared = self._condition(each)
        a, b = (self._print(side, condition, shared) for side in sides)
        found = judgement.compare(a, b, tuple(regions), self._tables)
        if sides[0].sheet.digest != sides[1].sheet.digest:
            found = self._unread_apart(found, sides)
        return found

    def _unread_apart(
        self, found: Sequence[Difference], sides: Sequence[ComparedSession]
    ) -> tuple[Difference, ...]:
        """Regions without patches are one picture on one sheet only: another sheet may show another."""
        read_on = [{region.id for region in side.sheet.regions if region.patch_ids} for side in sides]
        return tuple(
            one
            if one.region in read_on[0] & read_on[1]
            else replace(one, difference=None, word="not comparable", reason="another sheet")
            for one in found
        )

    def taken(self, session_id: int) -> tuple[Taken, ...]:
        if session_id not in self._taken:
            self._taken[session_id] = read.taken_in(self._bench, self._subjects[session_id].session)
        return self._taken[session_id]

    def gathered(self, session_id: int, condition: Condition | None, shared: bool) -> Gathered | None:
        """Evidence of a session; of one measurement condition alone where two prints have to share it."""
        key = (session_id, condition, shared)
        if key not in self._gathered:
            subject, taken = self._subjects[session_id], self.taken(session_id)
            if shared:
                taken = tuple(part for part in taken if part.run.stated.condition == condition)
            self._gathered[key] = (
                gather(
                    subject.sheet,
                    taken,
                    subject.session.condition,
                    self._tables.limits_under(subject.session),
                )
                if taken
                else None
            )
        return self._gathered[key]

    def _condition(self, each: Pair) -> tuple[Condition | None, bool]:
        """The condition that both were read under, where each by itself would be judged under another."""
        has = [
            {part.run.stated.condition for part in self.taken(s) if part.run.printed_as != "unmanaged"}
            for s in each
        ]
        own = [judging(self.taken(session_id)) for session_id in each]
        if not all(own) or own[0][0].run.stated.condition == own[1][0].run.stated.condition:
            return None, False
        both = [condition for condition in PREFERRED if condition in has[0] & has[1]]
        return (both[0], True) if both else (None, False)

    def _print(self, subject: ComparedSession, condition: Condition | None, shared: bool) -> Print:
        session, sheet = subject.session, subject.sheet
        gathered = self.gathered(session.id, condition, shared)
        shown = Print(
            session.id,
            fields_digest(sheet),
            findings(subject),
            {},
            light=light(session),
            observers=frozenset(viewing.observer for viewing in session.heard),
            beside=bool(session.heard) and session.heard[-1].reference is not None,
        )
        if gathered is None:
            return shown
        stated = gathered.pool.runs[0].run.stated
        repeats = [part.repeats for part in gathered.pool.runs]
        freedom = sum(one.readings - one.patches for one in repeats)
        return replace(
            shown,
            evidence={name: one for name, one in gathered.regions.items() if name in subject.open},
            condition=gathered.pool.condition,
            instrument=stated.instrument,
            whitened=whitened(sheet, self.taken(session.id), self._tables),
            sheets=self._sheets(self._copies[session.id]),
            freedom=freedom if gathered.pool.repeats_known else None,
        )

    def _sheets(self, group: frozenset[int]) -> Mapping[str, Array] | None:
        """What another sheet of the same process adds, pooled over copies; None with too few of them."""
        if group not in self._spread:
            self._spread[group] = self._pooled(group) if len(group) >= self._tables["copies_least"] else None
        return self._spread[group]

    def _pooled(self, group: frozenset[int]) -> Mapping[str, Array] | None:
        """(3, 3) covariance of one patch over the sheets, pooled over each region's patches."""
        found = [gathered for one in sorted(group) if (gathered := self.gathered(one, None, False))]
        conditions = {gathered.pool.condition for gathered in found}
        if len(found) < self._tables["copies_least"] or len(conditions) > 1:
            return None
        shared = set(found[0].regions).intersection(*(gathered.regions for gathered in found[1:]))
        spreads = {name: _over_sheets([gathered.regions[name] for gathered in found]) for name in shared}
        return {name: spread for name, spread in spreads.items() if spread is not None}


def stored(
    bench: Bench, subjects: Sequence[ComparedSession], in_force: Tables
) -> dict[Pair, tuple[Difference, ...]]:
    """The kept comparisons that rest on the sessions as they stand."""
    weighed = [subject for subject in subjects if subject.weighing is not None]
    if not weighed:
        return {}
    settings = weighed[0].inputs.settings
    ids = [subject.session.id for subject in weighed]
    kept = comparisons.get(bench.archive, ids, settings, inputs_of_pairs(subjects, in_force))
    found: dict[Pair, tuple[Difference, ...]] = {}
    for each, text in kept.items():
        with contextlib.suppress(ValueError):  # of another version: compared anew
            found[each] = codec.decoded(tuple[Difference, ...], text)
    return found


def inputs_of_pairs(subjects: Sequence[ComparedSession], in_force: Tables) -> Callable[[Pair], str]:
    """What a comparison rests on, as one digest: both weighings with all they rest on, and the copies on the
    table that show the spread of either.
    """
    digests = {subject.session.id: subject.inputs.digest for subject in subjects}
    groups = copies(subjects)

    def rests_on(session_id: int) -> str:
        group = groups[session_id]
        beside = sorted(group - {session_id}) if len(group) >= in_force["copies_least"] else []
        return " ".join(digests[one] for one in (session_id, *beside))

    return lambda each: hashlib.sha256(f"{rests_on(each[0])}; {rests_on(each[1])}".encode()).hexdigest()


def copies(subjects: Sequence[ComparedSession]) -> dict[int, frozenset[int]]:
    """Sessions on the table by the condition they were printed under: copies of one print."""
    groups: dict[tuple[str, PrintingCondition], set[int]] = {}
    sheets = {subject.sheet.digest: subject.sheet for subject in subjects}
    fields = {digest: fields_digest(sheet) for digest, sheet in sheets.items()}
    for subject in subjects:
        said = replace(
            subject.session.condition,
            printed_at=None,
            drying="",
            made_for=None,
            tone_wanted="",
            black_from=None,
            sheet_width_mm=None,
            sheet_height_mm=None,
            absent=(),
        )
        key = (fields[subject.sheet.digest], said)
        own = groups.setdefault(key, set())
        if said.paper and said.printer:  # nobody knows that two undescribed prints are copies
            own.add(subject.session.id)
    by_session = {session_id: frozenset(group) for group in groups.values() for session_id in group}
    return {s.session.id: by_session.get(s.session.id, frozenset({s.session.id})) for s in subjects}


def caveats(subjects: Sequence[ComparedSession], in_force: Tables) -> tuple[str, ...]:
    """The caveat of the whole table: which spread from sheet to sheet was taken."""
    groups = copies(subjects)
    known = [one for one, group in groups.items() if len(group) >= in_force["copies_least"]]
    if len(known) == len(groups):
        return ()
    unknown = [one for one in groups if one not in known] if known else []
    return (sheets_unknown(unknown, judgement.default_spread(in_force), int(in_force["copies_least"])),)


def findings(subject: ComparedSession) -> dict[str, Finding]:
    """The findings of a weighing by region; a region that may not be shown says nothing."""
    found = () if subject.weighing is None else subject.weighing.findings
    return {one.region: one if one.region in subject.open else _closed(one) for one in found}


def _closed(one: Finding) -> Finding:
    agreement = one.agreement if one.agreement == "none" else "not graded yet"
    return Finding(one.region, one.title, one.kind, None, None, agreement, None, "")


def fields_digest(sheet: Sheet) -> str:
    """What two sheets must share to be compared: the fields and what each means, not where they lie.

    The same fields drawn for another size of paper are the same sheet in this sense.
    """
    region_of = {patch: region.id for region in sheet.absent for patch in region.patch_ids}
    fields = [
        (p.id, p.region or region_of.get(p.id, ""), p.role, p.source, p.aim_lab, p.series, p.step)
        for p in sheet.patches
    ]
    kinds = sorted((region.id, region.kind) for region in (*sheet.regions, *sheet.absent))
    return hashlib.sha256(repr((sheet.encoding, sheet.neutral_aim, kinds, fields)).encode()).hexdigest()


def light(session: Session) -> str:
    """The viewing light in a word or two, near ones alike: "P1", "P2, 4000 K"; "" where nobody said.

    Level by the class that was said, else by the measured illuminance (ISO 3664).
    """
    said = session.readiness.get("viewing_light")
    if said is None:
        return ""
    lux, kelvin = (_number(said.detail.get(name)) for name in ("lux", "kelvin"))
    level = str(said.detail.get("class", ""))
    if not level and lux is not None:
        level = next((name for name, low, high in _LEVELS if low <= lux <= high), f"{lux:.1g} lx")
    parts = [level] if level else []
    if kelvin is not None and (near := round(kelvin / _KELVIN_STEP) * _KELVIN_STEP) != _D50:
        parts.append(f"{near:g} K")
    return ", ".join(parts)


def whitened(sheet: Sheet, takens: Sequence[Taken], in_force: Tables) -> bool | None:
    """Whether the bare paper holds optical brightener (`whitener_weak`); None: not read for it."""
    shift = brightener_shift(sheet, takens)
    return None if shift is None else shift.db > in_force["whitener_weak"]


def _over_sheets(copies: Sequence[Evidence]) -> Array | None:
    """(3, 3) covariance of one patch, pooled over the patches that every copy was read at."""
    lab = [dict(zip((patch.id for patch in one.patches), one.absolute, strict=True)) for one in copies]
    common = sorted(set(lab[0]).intersection(*lab[1:]))
    if not common:
        return None
    values = np.array([[patches[name] for name in common] for patches in lab])
    off = (values - values.mean(axis=0)).reshape(-1, 3)
    covariance: Array = off.T @ off / ((len(copies) - 1) * len(common))
    return covariance


def _number(value: str | float | None) -> float | None:
    return float(value) if isinstance(value, int | float) else None
