"""Clues in what a person said: condition, readiness, faults, casts, ages. True, False, or None: not told."""

from collections.abc import Iterator

import numpy as np

from evaluation.judgement.clues import Clues
from evaluation.metrics.cast import cast_word
from evaluation.readings.colours import colours
from evaluation.session import Cast, CastWord

Answer = bool | None


def _fault(clues: Clues, *names: str) -> Answer:
    return not clues.faults().isdisjoint(names)


def _open(clues: Clues, *items: str) -> Answer:
    marks = [clues.session.readiness.get(item) for item in items]
    return any(mark is None or mark.mark in (None, "not done") for mark in marks)


def driver_mode_open(clues: Clues) -> Answer:
    mode = clues.session.condition.driver_mode.casefold()
    return not any(word in mode for word in ("through the profile", "off", "none", "no colour"))


def intent_rerenders(clues: Clues) -> Answer:
    intent = clues.session.condition.intent
    return None if intent is None else intent in ("perceptual", "saturation")


def fault_of_wet_ink(clues: Clues) -> Answer:
    return _fault(clues, "puddling", "mottle", "bronzing")


def fault_fill_in(clues: Clues) -> Answer:
    return _fault(clues, "fill-in")


def fault_gloss_step(clues: Clues) -> Answer:
    return _fault(clues, "gloss step")


def fault_banding(clues: Clues) -> Answer:
    return _fault(clues, "banding", "microbanding")


def fault_false_moire(clues: Clues) -> Answer:
    return _fault(clues, "false moire")


def faults_of_a_bare_side(clues: Clues) -> Answer:
    return {"mottle", "fill-in", "blurriness"} <= clues.faults()


def fault_of_alignment(clues: Clues) -> Answer:
    """A fault of two passes that do not meet, or line groups that end two apart along and across the feed."""
    counts = {
        question: answer.value.number
        for viewing in clues.session.viewings
        for (_, question), answer in viewing.answers.items()
        if question in ("finest_h", "finest_v") and hasattr(answer.value, "number")
    }
    uneven = len(counts) == 2 and abs(counts["finest_h"] - counts["finest_v"]) >= 2
    return bool(_fault(clues, "misregistration", "line split")) or uneven


def contours_smooth_readings(clues: Clues) -> Answer:
    from evaluation.judgement.clues_read import readings_smooth

    return bool(_fault(clues, "contour")) and readings_smooth(clues) is True


def nozzle_check_open(clues: Clues) -> Answer:
    return _open(clues, "nozzle_check")


def alignment_open(clues: Clues) -> Answer:
    return _open(clues, "alignment")


def viewing_open(clues: Clues) -> Answer:
    return _open(clues, "adapted", "surround", "viewing_light")


def backing_black_or_open(clues: Clues) -> Answer:
    return any(taken.run.stated.backing in (None, "black") for taken in clues.takens)


def light_without_uv(clues: Clues) -> Answer:
    """Prepare says of the viewing light whether it holds ultraviolet, as `uv`: yes or no."""
    light = clues.session.readiness.get("viewing_light")
    said = None if light is None else light.detail.get("uv")
    return None if said is None else str(said).casefold() in ("no", "none", "0", "without")


def _scale(clues: Clues) -> float | None:
    """Measured length of the sheet's 100 mm scale, as Prepare has it."""
    for readiness in clues.session.readiness.values():
        value = readiness.detail.get("scale_mm")
        if isinstance(value, (int, float)):
            return float(value)
    return None


def scale_bar_off(clues: Clues) -> Answer:
    length = _scale(clues)
    return None if length is None else abs(length - 100) > 0.3


def scale_bar_right(clues: Clues) -> Answer:
    length = _scale(clues)
    return None if length is None else abs(length - 100) <= 0.3


# --- ages -------------------------------------------------------------------------------------------------


def read_or_seen_young(clues: Clues) -> Answer:
    printed = clues.session.condition.printed_at
    if printed is None:
        return None
    moments = [taken.run.stated.measured_at for taken in clues.takens]
    moments += [viewing.started for viewing in clues.session.viewings]
    ages = [(moment - printed).total_seconds() / 3600 for moment in moments if moment is not None]
    return min(ages) < clues.tables["drying_wait"] if ages else None


def _ages(clues: Clues) -> tuple[np.ndarray, float] | None:
    """(k, 3) change from the oldest to the newest dated run of one condition, and the hours between."""
    if clues.gathered is None:
        return None
    dated = sorted(
        (taken.run.stated.measured_at, index, taken)
        for index, taken in enumerate(clues.gathered.pool.runs)
        if taken.run.stated.measured_at is not None
    )
    if len(dated) < 2:
        return None
    (first_at, _, first), (last_at, _, last) = dated[0], dated[-1]
    shared = [
        patch_id
        for patch_id in first.matched
        if patch_id in last.matched and clues.sheet.patch(patch_id).region in clues.findings
    ]
    if len(shared) < 5:
        return None
    lab = [
        np.array([colours(taken.run).lab_d50[list(taken.matched[p])].mean(axis=0) for p in shared])
        for taken in (first, last)
    ]
    return lab[1] - lab[0], (last_at - first_at).total_seconds() / 3600


def ages_differ_one_way(clues: Clues) -> Answer:
    ages = _ages(clues)
    if ages is None or ages[1] < clues.tables["sitting"]:
        return None
    mean = ages[0].mean(axis=0)
    return bool(
        np.linalg.norm(mean) > 0.5 and np.linalg.norm(mean) > 0.5 * np.linalg.norm(ages[0], axis=1).mean()
    )


def ages_alike(clues: Clues) -> Answer:
    ages = _ages(clues)
    if ages is None or ages[1] < clues.tables["settled_after"]:
        return None
    return bool(np.linalg.norm(ages[0], axis=1).mean() < 2 * clues.tables["sheet_mean"])


# --- casts that the eye named -----------------------------------------------------------------------------


def _casts(clues: Clues, *questions: str) -> Iterator[tuple[str, str, CastWord]]:
    """(region, part, word) of every cast answered to these questions."""
    for viewing in clues.session.viewings:
        for (region, question), answer in viewing.answers.items():
            if question in questions and isinstance(answer.value, Cast) and region in clues.findings:
                for part, word, _ in answer.value.parts:
                    yield region, part, word


_FIRST_LIGHT = ("cast", "colour")
_OTHER_LIGHT = ("second_light", "change")


def cast_only_under_second_light(clues: Clues) -> Answer:
    first, second = list(_casts(clues, *_FIRST_LIGHT)), list(_casts(clues, *_OTHER_LIGHT))
    if not first or not second:
        return None
    return all(word == "none" for _, _, word in first) and any(word != "none" for _, _, word in second)


def cast_under_first_light(clues: Clues) -> Answer:
    first = list(_casts(clues, *_FIRST_LIGHT))
    return any(word != "none" for _, _, word in first) if first else None


def eye_leans_readings_neutral(clues: Clues) -> Answer:
    """The lights named yellow or blue where the readings' cast is graded 4.5 or better."""
    lights = [
        region
        for region, part, word in _casts(clues, *_FIRST_LIGHT)
        if part in ("light", "whole") and word in ("yellow", "blue")
    ]
    if not lights:
        return False if list(_casts(clues, *_FIRST_LIGHT)) else None
    graded = [
        float(clues.tables.anchors["cast_by_third"].grade(metric.value))
        for region in lights
        for metric in clues.findings[region].metrics
        if metric.name == "cast_by_third"
    ]
    return min(graded) >= 4.5 if graded else None


def eye_cast_as_paper(clues: Clues) -> Answer:
    dark = [word for _, part, word in _casts(clues, *_FIRST_LIGHT) if part == "dark" and word != "none"]
    if clues.paper is None:
        return None
    a, b = clues.paper[1:]
    return bool(dark) and dark[-1] in cast_word(float(a), float(b)).split(" to ")


def eye_apart_on_all_greys(clues: Clues) -> Answer:
    """Every pair of the neutral questions apart, the eye always lower, while the instrument is calm."""
    found = [
        (pair.eye, pair.instrument)
        for finding in clues.kind("neutral", "mono_neutral")
        for pair in finding.pairs
    ]
    if len(found) < 2:
        return None
    return all(eye < read - 1 for eye, read in found) and min(read for _, read in found) >= 4.5


def eye_sees_stripes_readings_even(clues: Clues) -> Answer:
    rows = [finding for finding in clues.kind("tints", "gradient") if finding.eye is not None]
    if not rows:
        return None
    return any(
        finding.eye is not None
        and finding.eye.grade < 3
        and not {"banding", "microbanding"}.isdisjoint(finding.faults)
        and (finding.instrument is None or finding.instrument.grade >= 4)
        for finding in rows
    )


def viewings_differ(clues: Clues) -> Answer:
    spans = _spans(clues)
    return max(spans) >= 2 if spans else None


def observers_agree(clues: Clues) -> Answer:
    if len({viewing.observer for viewing in clues.session.viewings}) < 2:
        return None
    spans = _spans(clues)
    return max(spans) <= 1 if spans else None


def _spans(clues: Clues) -> list[int]:
    """Largest difference of the whole-region grades between viewings, region by region."""
    grades: dict[str, list[int]] = {}
    for viewing in clues.session.viewings:
        for (region, question), answer in viewing.answers.items():
            if question == "overall" and hasattr(answer.value, "value"):
                grades.setdefault(region, []).append(answer.value.value)
    return [max(given) - min(given) for given in grades.values() if len(given) > 1]


# --- the profile ------------------------------------------------------------------------------------------


def profile_condition_differs(clues: Clues) -> Answer:
    own = clues.profile.condition
    if own is None or clues.gathered is None or clues.gathered.pool.condition is None:
        return None
    return own != clues.gathered.pool.condition


def profile_condition_equal(clues: Clues) -> Answer:
    differs = profile_condition_differs(clues)
    return None if differs is None else not differs


def profile_fit_poor(clues: Clues) -> Answer:
    return None if clues.profile.fit_p95 is None else clues.profile.fit_p95 > 3.0


def profile_fit_good(clues: Clues) -> Answer:
    return None if clues.profile.fit_median is None else clues.profile.fit_median < 0.7


def profile_patches_moved(clues: Clues) -> Answer:
    return None if clues.profile.moved is None else clues.profile.moved > 2 * clues.tables["sheet_mean"]


def profile_patches_still(clues: Clues) -> Answer:
    return None if clues.profile.moved is None else clues.profile.moved <= clues.tables["sheet_mean"]
