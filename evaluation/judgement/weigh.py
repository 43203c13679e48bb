"""Weigh a session: the grades of eye and instrument for each region, how far they agree, and what follows."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from evaluation.judgement import combine, eye, instrument, ring, voices
from evaluation.judgement.causes import likely
from evaluation.judgement.caveats import caveats, serious_open
from evaluation.judgement.clues.facts import UNKNOWN_PROFILE, ProfileFacts, clues
from evaluation.judgement.ground import Explain, Ground, unexplained
from evaluation.judgement.instrument import Graded
from evaluation.judgement.opinion import Finding, Inputs, Opinion, Weighing
from evaluation.judgement.pairs import Aims, eye_sides, pairs
from evaluation.judgement.rules import RULES
from evaluation.judgement.tables import Tables
from evaluation.judgement.verdict import verdict
from evaluation.metrics.cast import readings_themselves
from evaluation.metrics.catalogue import shown, worked_out
from evaluation.metrics.evidence import Array, Evidence, Metric
from evaluation.metrics.gather import chosen, gather
from evaluation.metrics.light_shifts import light_shifts, named_lights, under_lights
from evaluation.metrics.predicted import Predicted
from evaluation.metrics.reach import reach
from evaluation.metrics.stages import paper_change, stages
from evaluation.readings.run import Taken
from evaluation.session import Session
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Sheet, SheetRegion


def weigh(
    session: Session,
    sheet: Sheet,
    takens: Sequence[Taken],
    tables: Tables,
    *,
    looked: Collection[str] | None = None,
    expected: Predicted | None = None,
    earlier_black: float | None = None,
    tone: Array | None = None,
    profile: ProfileFacts = UNKNOWN_PROFILE,
    explain: Explain = unexplained,
) -> Weighing:
    """Findings of all regions of the sheet, a verdict for each use, likely causes, caveats.

    Parameters
    ----------
    takens : the runs that were taken in and not left out again, matched to the sheet.
    looked : ids of the regions whose readings may be weighed; readings of others are not computed. None: all.
    expected : what the profile predicts, where it can be read.
    earlier_black : luminance, 0..100 relative to paper, of the black of an accepted earlier print.
    tone : (m, 3) absolute CIELAB of a wanted tone, the curve that greys are compared with.
    profile : what is known of the profile beside its colours, for the causes.
    explain : makes the sentences of a finding from what it rests on.
    """
    gathered = gather(
        sheet,
        takens,
        session.condition,
        tables.limits,
        draws=int(tables["bootstrap_draws"]) + 1,
        predicted=expected,
        earlier_black=earlier_black,
        tone=tone,
    )
    regions = {} if gathered is None else _under_lights(session, sheet, takens, gathered.regions)
    aims = {patch.id: (patch, lab) for patch, lab in zip(sheet.patches, source_lab(sheet), strict=True)}
    read = {region.id: _read(region, takens) for region in sheet.regions}
    findings = tuple(
        _finding(session, region, regions.get(region.id), aims, tables, explain, was_read=read[region.id])
        if looked is None or region.id in looked
        else _hidden(session, region, tables, explain, was_read=read[region.id])
        for region in sheet.regions
    )
    serious = serious_open(session)
    causes = likely(clues(session, sheet, findings, takens, gathered, expected, profile, tables))
    return Weighing(
        session=session.id,
        revision=session.revision,
        inputs=own_inputs(session, tables),
        findings=findings,
        verdicts={use: verdict(row, findings, serious, tables) for use, row in tables.uses.items()},
        causes=causes,
        caveats=caveats(session, sheet, takens, gathered, tables),
        paper=None
        if gathered is None or not _paper_shown(sheet, looked)
        else paper_change(expected, gathered.pool.bare),
        print_step=() if gathered is None else _print_step(gathered.whole, sheet, looked),
    )


def own_inputs(session: Session, tables: Tables) -> Inputs:
    """What a weighing rests on: session, settings, sheet and profile; no other session and no light named."""
    return Inputs(
        rules=RULES,
        settings=tables.digest,
        session=f"{session.uid}, revision {session.revision}",
        sheet=session.sheet_digest,
        profile=session.condition.profile_digest or "",
    )


def _paper_shown(sheet: Sheet, looked: Collection[str] | None) -> bool:
    """Whether the reading of bare paper may be shown: its patches belong to regions as others do."""
    papers = {
        patch.region for patch in sheet.patches if patch.role == "paper" or patch.id == sheet.paper_patch
    }
    return looked is None or papers <= set(looked)


def _print_step(whole: Evidence, sheet: Sheet, looked: Collection[str] | None) -> tuple[Metric, ...]:
    """How far the print lies from what its profile expects, over the regions that may be shown.

    Facts of the whole sheet: shown, never graded.
    """
    shown = {region.id for region in sheet.regions if looked is None or region.id in looked}
    rows = [k for k, patch in enumerate(whole.patches) if patch.region in shown]
    if whole.predicted is None or not rows:
        return ()
    first = replace(whole, measured=readings_themselves(whole.measured))  # a fact, so without draws
    evidence = chosen(first, rows)
    found = [worked_out(name, evidence) for name in ("print_mean", "print_p95")]
    return tuple(one.metric for one in found if one is not None)


def _under_lights(
    session: Session, sheet: Sheet, takens: Sequence[Taken], regions: Mapping[str, Evidence]
) -> Mapping[str, Evidence]:
    """The shifts under the lights of the session, for skins and for greys whose map lists that metric."""
    wanted = {
        region.id
        for region in sheet.regions
        if "light_shift_differential" in region.metrics or region.kind == "skin"
    }
    if not wanted & set(regions):
        return regions
    moved = {patch.id for name in wanted & set(regions) for patch in regions[name].patches}
    shifts = light_shifts(sheet, takens, named_lights(session), moved)
    return {
        name: under_lights(evidence, sheet, shifts) if name in wanted else evidence
        for name, evidence in regions.items()
    }


def _finding(
    session: Session,
    region: SheetRegion,
    evidence: Evidence | None,
    aims: Aims,
    tables: Tables,
    explain: Explain,
    *,
    was_read: bool,
) -> Finding:
    faults = _faults(session, region)
    if region.kind == "ring" and evidence is not None:
        stated = {patch.id: aims[patch.id][1] for patch in evidence.patches}
        if ring.colourless(evidence, stated, tables):
            return Finding(
                region.id, region.title, region.kind, None, None, "left out", None, ring.COLOURLESS,
                faults=faults,
            )  # fmt: skip
    found: Mapping[str, Graded] = {} if evidence is None else instrument.graded(region, evidence, tables)
    keys = instrument.key_metrics(region.kind, found, tables)
    by_eye = eye.whole_region(session, region, tables)
    by_instrument = None if evidence is None else instrument.opinion(keys, evidence, tables)
    together = pairs(session, region, evidence, found, aims, tables)
    unseen = tuple(fault for fault in faults if not any(fault in one.anchor.faults for one in found.values()))
    agreement = combine.agreement(by_eye, by_instrument, together, unseen, tables)
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
        keys=keys,
        found=found,
        evidence=evidence,
        pairs=together,
        unseen=unseen,
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
        faults=faults,
        viewings=0 if by_eye is None else by_eye.count,
        steps=() if evidence is None else stages(evidence),
    )


def _hidden(
    session: Session, region: SheetRegion, tables: Tables, explain: Explain, *, was_read: bool
) -> Finding:
    """A region that must not be weighed yet. Nothing of its readings is worked out."""
    agreement = combine.NOT_LOOKED if was_read else combine.NONE
    ground = Ground(region, said=voices.voices(session, region, {}, tables))
    why = explain(agreement, ground)
    return Finding(region.id, region.title, region.kind, None, None, agreement, None, why)


def _read(region: SheetRegion, takens: Sequence[Taken]) -> bool:
    return any(patch_id in taken.matched for taken in takens for patch_id in region.patch_ids)


def _faults(session: Session, region: SheetRegion) -> tuple[str, ...]:
    """Faults named in any viewing, each once, in the order they were named."""
    named = (fault for viewing in session.viewings for fault in viewing.faults)
    return tuple(dict.fromkeys(fault.name for fault in named if fault.region == region.id))
