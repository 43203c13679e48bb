"""Agreement question by question: the eye's answer and the metric of the same attribute, both as grades."""

from collections.abc import Mapping, Sequence

import numpy as np

from evaluation.colorimetry.difference import delta_e_2000
from evaluation.judgement import eye, instrument
from evaluation.judgement.instrument import Graded
from evaluation.judgement.offset import agrees
from evaluation.judgement.opinion import Pair
from evaluation.judgement.table_rows import WORST, Anchor
from evaluation.judgement.tables import Tables
from evaluation.judgement.voices import AsGrade, by_places, plainly
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.gather import chosen
from evaluation.session import Count, Pick, Place, Session, Value
from evaluation.sheet.layout import Patch, SheetRegion

Field = tuple[Patch, Array]  # a patch and the CIELAB (3,) of its own source, before any mapping
Aims = Mapping[str, Field]  # by patch id


def pairs(
    session: Session,
    region: SheetRegion,
    evidence: Evidence | None,
    found: Mapping[str, Graded],
    aims: Aims,
    offset: float,
    tables: Tables,
) -> tuple[Pair, ...]:
    """The questions of a region that are answered and whose metric was worked out, as two grades each.

    `offset`: what the eye lies above the readings throughout the session.

    A pick is made at one lightness of the ring-around and compared with that lightness alone.
    """
    result: list[Pair] = []
    sides = eye_sides(region, found, aims, tables)
    for question in region.questions:
        metric = found.get(question.pairs_with)
        if metric is None or not metric.counts or evidence is None or question.whole_region:
            continue
        if question.answer == "pick" and question.parts:
            metric = instrument.graded_of(metric.anchor, _of_series(evidence, question.parts))
            if metric is None:
                continue
        by_eye = eye.opinion(eye.seen(session, region.id, question.id, sides[question.id]), tables)
        if by_eye is not None:
            agree = agrees(by_eye.grade, metric.grade, offset, tables)
            result.append(Pair(question.id, question.pairs_with, by_eye.grade, metric.grade, agree))
    return tuple(result)


def eye_sides(
    region: SheetRegion, found: Mapping[str, Graded], aims: Aims, tables: Tables
) -> dict[str, AsGrade]:
    """By question id, how its answers become grades; questions without a metric worked out are missing."""
    return {
        question.id: eye_side(found[question.pairs_with].anchor, region, aims, tables)
        for question in region.questions
        if question.pairs_with in found and not question.whole_region
    }


def _of_series(evidence: Evidence, series: Sequence[str]) -> Evidence:
    """The patches of some series alone."""
    return chosen(evidence, [k for k, patch in enumerate(evidence.patches) if patch.series in series])


def eye_side(anchor: Anchor, region: SheetRegion, aims: Aims, tables: Tables) -> AsGrade:
    """How an answer becomes a grade, 5 to 1: by the metric's anchor where it names a place on the sheet.

    Counts and picks have a source colour, places a share of a ramp; other answers are graded by `plainly`.
    """

    def fields() -> Sequence[Field]:
        return [aims[patch_id] for patch_id in region.patch_ids]

    def grade(value: Value) -> float | None:
        match value:
            case Count():
                return _counted(value.number, anchor, fields())
            case Pick():
                return _picked(value, anchor, fields())
            case Place():
                return _placed(value, anchor, fields(), tables)
            case _:
                return plainly(value, tables)

    return grade


def _counted(number: int, anchor: Anchor, fields: Sequence[Field]) -> float | None:
    """The figure's own source L* through the anchor: what the metric would be if it had separated there."""
    if number == 0:
        return WORST
    L = next((float(lab[0]) for patch, lab in fields if patch.step == number), float("nan"))
    from_paper = anchor.metric == "last_highlight_step"
    return float(anchor.grade(100 - L if from_paper else L)) if np.isfinite(L) else None


def _picked(pick: Pick, anchor: Anchor, fields: Sequence[Field]) -> float | None:
    """Nominal dE00 of the picked patch from the centre of its group; "none" and "outside" lie beyond."""
    if not pick.numbers:
        return WORST
    numbered = {patch.name: (patch, lab) for patch, lab in fields}
    chosen = [numbered[str(number)] for number in pick.numbers if str(number) in numbered]
    if not chosen:
        return None
    group = [lab for patch, lab in fields if patch.series == chosen[0][0].series]
    centre = min(group, key=lambda lab: float(np.hypot(lab[1], lab[2])))  # the patch meant as grey
    middle = np.mean([lab for _, lab in chosen], axis=0)
    return float(anchor.grade(delta_e_2000(centre, middle)))


def _placed(place: Place, anchor: Anchor, fields: Sequence[Field], tables: Tables) -> float:
    """Share of ramp lost for a collapse; otherwise by how many ramps there are."""
    if anchor.metric != "collapse_step":
        return by_places(len(place.places), tables)
    last: dict[str, int] = {}
    for patch, _ in fields:
        if patch.series and patch.step is not None:
            last[patch.series] = max(last.get(patch.series, 0), patch.step)
    lost = dict.fromkeys(last, 0.0)
    for name, step in place.places:
        if step is not None and last.get(name, 0) > 1:
            lost[name] = max(0.0, min(1.0, (last[name] - step + 1) / (last[name] - 1)))
    return float(anchor.grade(np.mean(list(lost.values())) if lost else 0.0))
