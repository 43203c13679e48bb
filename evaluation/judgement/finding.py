"""A region's finding: what eye and readings say of it, and how far the two agree."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from evaluation.judgement import combine, eye, instrument, ring, voices
from evaluation.judgement.ground import Explain, Ground
from evaluation.judgement.instrument import Graded
from evaluation.judgement.opinion import Finding, Opinion
from evaluation.judgement.pairs import Aims, eye_sides, pairs
from evaluation.judgement.tables import Tables
from evaluation.metrics.catalogue import shown
from evaluation.metrics.evidence import Evidence
from evaluation.metrics.reach import reach
from evaluation.metrics.stages import Stage
from evaluation.session import Session
from evaluation.sheet.layout import SheetRegion


@dataclass(frozen=True, slots=True, eq=False)
class Heard:
    """What eye and readings say of a region, before they are held against each other.

    left_out: the region shows nothing in this mode.
    """

    evidence: Evidence | None
    faults: tuple[str, ...]
    found: Mapping[str, Graded] = field(default_factory=dict)
    keys: tuple[Graded, ...] = ()
    eye: Opinion | None = None
    instrument: Opinion | None = None
    unseen: tuple[str, ...] = ()
    left_out: bool = False


def hear(
    session: Session,
    region: SheetRegion,
    evidence: Evidence | None,
    aims: Aims,
    tables: Tables,
    leans: Mapping[str, float],
) -> Heard:
    faults = _faults(session, region)
    if region.kind == "ring" and evidence is not None:
        stated = {patch.id: aims[patch.id][1] for patch in evidence.patches}
        if ring.colourless(evidence, stated, tables):
            return Heard(evidence, faults, left_out=True)
    found: Mapping[str, Graded] = {} if evidence is None else instrument.graded(region, evidence, tables)
    keys = instrument.key_metrics(region.kind, found, tables)
    return Heard(
        evidence,
        faults,
        found,
        keys,
        eye.whole_region(session, region, tables, leans),
        None if evidence is None else instrument.opinion(keys, evidence, tables),
        tuple(fault for fault in faults if not any(fault in one.anchor.faults for one in found.values())),
    )


def finding(
    session: Session,
    region: SheetRegion,
    heard: Heard,
    aims: Aims,
    off: float,
    tables: Tables,
    explain: Explain,
    *,
    was_read: bool,
    steps: tuple[Stage, ...] = (),
) -> Finding:
    evidence, found, by_eye, by_instrument = heard.evidence, heard.found, heard.eye, heard.instrument
    if heard.left_out:
        return Finding(
            region.id, region.title, region.kind, None, None, "left out", None,
            explain("left out", Ground(region)), faults=heard.faults,
        )  # fmt: skip
    together = pairs(session, region, evidence, found, aims, off, tables)
    agreement = combine.agreement(by_eye, by_instrument, together, heard.unseen, off, tables)
    combined: Opinion | None = None
    match agreement:
        case "agree" if by_eye is not None and by_instrument is not None:
            combined = combine.combined(by_eye, by_instrument, tables)
        case "eye only":
            combined = by_eye
        case "instrument only":
            combined = by_instrument
    sides = eye_sides(region, found, aims, tables)
    ground = Ground(
        region,
        eye=by_eye,
        instrument=by_instrument,
        keys=heard.keys,
        found=found,
        evidence=evidence,
        pairs=together,
        unseen=heard.unseen,
        said=voices.voices(session, region, sides, tables),
        heard={name: voices.heard(session, region, name, side) for name, side in sides.items()},
        reach=None if evidence is None else reach(region.kind, evidence),
        read=was_read,
    )
    return Finding(
        region=region.id,
        title=region.title,
        kind=region.kind,
        eye=by_eye,
        instrument=by_instrument,
        agreement=agreement,
        combined=combined,
        why=explain(agreement, ground),
        metrics=(
            *(one.worked.metric for one in found.values()),
            *(() if evidence is None else shown(region.kind, evidence)),
        ),
        pairs=together,
        faults=heard.faults,
        viewings=0 if by_eye is None else by_eye.count,
        steps=steps,
    )


def hidden(
    session: Session, region: SheetRegion, tables: Tables, explain: Explain, *, was_read: bool
) -> Finding:
    """A region that must not be weighed yet. Nothing of its readings is worked out."""
    agreement = combine.NOT_LOOKED if was_read else combine.NONE
    ground = Ground(region, said=voices.voices(session, region, {}, tables))
    why = explain(agreement, ground)
    return Finding(region.id, region.title, region.kind, None, None, agreement, None, why)


def _faults(session: Session, region: SheetRegion) -> tuple[str, ...]:
    """Faults named in any viewing, each once, in the order they were named."""
    named = (fault for viewing in session.viewings for fault in viewing.faults)
    return tuple(dict.fromkeys(fault.name for fault in named if fault.region == region.id))
