"""Weigh a session: the grades of eye and instrument for each region, how far they agree, and what follows."""

from collections.abc import Callable, Collection, Mapping, Sequence

from evaluation.judgement import calibrations, eye, offset
from evaluation.judgement.causes import likely
from evaluation.judgement.caveats import calibrated, caveats, serious_open, whole_sheet
from evaluation.judgement.clues.facts import UNKNOWN_PROFILE, ProfileFacts, clues
from evaluation.judgement.finding import Heard, finding, hear, hidden
from evaluation.judgement.opinion import Inputs, Weighing
from evaluation.judgement.posterior import posterior
from evaluation.judgement.rules import RULES
from evaluation.judgement.tables import Tables
from evaluation.judgement.verdict import decide
from evaluation.judgement.worded_by import WORDLESS, Words
from evaluation.metrics.catalogue import worked_out
from evaluation.metrics.evidence import Array, Evidence, Metric, undrawn
from evaluation.metrics.gather import chosen, gather
from evaluation.metrics.light_shifts import light_shifts, named_lights, under_lights
from evaluation.metrics.predicted import Predicted
from evaluation.metrics.stages import paper_change, stages
from evaluation.plain_text import lower_first
from evaluation.readings.run import Taken
from evaluation.session import Session
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Sheet, SheetRegion

Progress = Callable[[int, int, str], None]  # done, in all, what is being done; may raise to stop


def untold(done: int, parts: int, about: str) -> None:
    """Nobody waits for it."""


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
    words: Words = WORDLESS,
    tell: Progress = untold,
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
    words : make the sentences that are kept with the result.
    tell : told before each region how many are done, of how many, and its title; may raise Cancelled.
    """
    gathered = gather(
        sheet,
        takens,
        session.condition,
        tables.limits_under(session),
        draws=int(tables["bootstrap_draws"]) + 1,
        predicted=expected,
        earlier_black=earlier_black,
        tone=tone,
    )
    regions = {} if gathered is None else _under_lights(session, sheet, takens, gathered.regions)
    source = source_lab(sheet) if gathered is None else gathered.source
    aims = {patch.id: (patch, lab) for patch, lab in zip(sheet.patches, source, strict=True)}
    read = {region.id: _read(region, takens) for region in sheet.regions}
    leans = eye.leans(session, sheet, tables)
    heard: dict[str, Heard] = {}
    open_ones = [region for region in sheet.regions if looked is None or region.id in looked]
    for done, region in enumerate(open_ones):
        tell(done, len(open_ones), lower_first(region.title))
        heard[region.id] = hear(session, region, regions.get(region.id), aims, tables, leans)
    together = [
        (one.eye.grade, one.instrument.grade)
        for one in heard.values()
        if one.eye is not None and one.instrument is not None and not one.unseen
    ]
    off = offset.offset(together, tables)
    steps = stages({name: one.evidence for name, one in heard.items() if one.evidence is not None})
    findings = tuple(
        finding(
            session,
            region,
            heard[region.id],
            aims,
            off,
            tables,
            words.finding,
            was_read=read[region.id],
            steps=steps.get(region.id, ()),
        )
        if region.id in heard
        else hidden(session, region, tables, words.finding, was_read=read[region.id])
        for region in sheet.regions
    )
    serious = serious_open(session)
    known, spread = calibrations.of_session(session, tables), calibrations.spread_of(session, tables)
    true = posterior(findings, tables, known, spread)
    apart = offset.apart(together, tables)
    facts = clues(session, sheet, findings, takens, gathered, expected, profile, tables, apart)
    return Weighing(
        session=session.id,
        revision=session.revision,
        inputs=own_inputs(session, tables),
        findings=findings,
        verdicts={
            use: words.verdict(decide(row, findings, true, serious, tables))
            for use, row in tables.uses.items()
        },
        causes=likely(facts),
        caveats=tuple(
            words.caveat(one)
            for one in (
                *caveats(session, sheet, takens, gathered, tables),
                *whole_sheet(apart, tables),
                *calibrated(session, tables),
            )
        ),
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
    evidence = chosen(undrawn(whole), rows)
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


def _read(region: SheetRegion, takens: Sequence[Taken]) -> bool:
    return any(patch_id in taken.matched for taken in takens for patch_id in region.patch_ids)
