"""Clues in the age of the print and in what the eye named: casts, stripes, viewings that differ.

Each answers True, False, or None where the session cannot tell. Limits: `tables/clues.toml`.
"""

from collections.abc import Iterator
from typing import Final

import numpy as np

from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.metrics.cast import cast_word
from evaluation.metrics.drying import means
from evaluation.readings.age import Age, age
from evaluation.session import Cast, CastWord

_FIRST_LIGHT: Final = ("cast", "colour")
_OTHER_LIGHT: Final = ("second_light", "change")


def read_or_seen_young(clues: Clues) -> Answer:
    """Whether some reading or viewing certainly met a fresh print."""
    known = [one for one in _ages_met(clues) if one is not None]
    return min(one.most for one in known) < clues.tables["drying_wait"] if known else None


def dry_when_read(clues: Clues) -> Answer:
    """Whether every reading and every viewing certainly met a dry print; a missing time leaves it open."""
    met = _ages_met(clues)
    known = [one for one in met if one is not None]
    if not known or len(known) < len(met):
        return None
    return min(one.least for one in known) >= clues.tables["drying_wait"]


def _ages_met(clues: Clues) -> list[Age | None]:
    """The age of the print at each reading and each viewing; None where the times leave it open."""
    printed = clues.session.condition.printed_at
    managed = [taken for taken in clues.takens if taken.run.printed_as != "unmanaged"]
    moments = [taken.run.stated.measured_at for taken in managed]
    moments += [viewing.started for viewing in clues.session.heard]
    return [None if at is None or printed is None else age(printed, at) for at in moments]


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
    if len(shared) < clues.tables["ages_patches"]:
        return None
    before, after = (means(taken, shared) for taken in (first, last))
    return after - before, (last_at - first_at).total_seconds() / 3600


def ages_differ_one_way(clues: Clues) -> Answer:
    """Whether readings of two ages, a sitting or more apart, differ in one direction (`ages_shift`)."""
    ages = _ages(clues)
    if ages is None or ages[1] < clues.tables["sitting"]:
        return None
    shift, each = np.linalg.norm(ages[0].mean(axis=0)), np.linalg.norm(ages[0], axis=1).mean()
    return bool(shift > clues.tables["ages_shift"] and shift > clues.tables["ages_one_way"] * each)


def ages_alike(clues: Clues) -> Answer:
    """Whether readings of two ages, `settled_after` or more apart, differ by less than `ages_alike`."""
    ages = _ages(clues)
    if ages is None or ages[1] < clues.tables["settled_after"]:
        return None
    return bool(
        np.linalg.norm(ages[0], axis=1).mean() < clues.tables["ages_alike"] * clues.tables["sheet_mean"]
    )


def _casts(clues: Clues, *questions: str) -> Iterator[tuple[str, str, CastWord]]:
    """(region, part, word) of every cast that answers these questions."""
    for viewing in clues.session.heard:
        for (region, question), answer in viewing.answers.items():
            if question in questions and isinstance(answer.value, Cast) and region in clues.findings:
                for part, word, _ in answer.value.parts:
                    yield region, part, word


def cast_only_under_second_light(clues: Clues) -> Answer:
    """Whether the eye named a cast under the second light and none under the first."""
    first, second = list(_casts(clues, *_FIRST_LIGHT)), list(_casts(clues, *_OTHER_LIGHT))
    if not first or not second:
        return None
    return all(word == "none" for _, _, word in first) and any(word != "none" for _, _, word in second)


def cast_under_first_light(clues: Clues) -> Answer:
    """Whether the eye named a cast under the first light."""
    first = list(_casts(clues, *_FIRST_LIGHT))
    return any(word != "none" for _, _, word in first) if first else None


def eye_cast_readings_neutral(clues: Clues) -> Answer:
    """Whether the eye named highlights yellow or blue where the readings' cast is graded `faultless`."""
    highlights = [
        region
        for region, part, word in _casts(clues, *_FIRST_LIGHT)
        if part in ("light", "whole") and word in ("yellow", "blue")
    ]
    if not highlights:
        return False if list(_casts(clues, *_FIRST_LIGHT)) else None
    graded = [
        float(clues.tables.anchors["cast_by_third"].grade(metric.value))
        for region in highlights
        for metric in clues.findings[region].metrics
        if metric.name == "cast_by_third"
    ]
    return min(graded) >= clues.tables["faultless"] if graded else None


def eye_cast_as_paper(clues: Clues) -> Answer:
    """Whether every cast named in the shadows, by whomever, has the hue of the bare paper."""
    dark = [word for _, part, word in _casts(clues, *_FIRST_LIGHT) if part == "dark" and word != "none"]
    if clues.paper is None:
        return None
    a, b = clues.paper[1:]
    return bool(dark) and set(dark) <= set(cast_word(float(a), float(b)).split(" to "))


def eye_lower_on_all_greys(clues: Clues) -> Answer:
    """Whether the eye lies lower in every question on greys (`eye_lower`) where readings are `faultless`."""
    found = [
        (pair.eye, pair.instrument)
        for finding in clues.kind("neutral", "mono_neutral")
        for pair in finding.pairs
    ]
    if len(found) < 2:
        return None
    calm = min(read for _, read in found) >= clues.tables["faultless"]
    return calm and all(eye < read - clues.tables["eye_lower"] for eye, read in found)


def readings_far_below_eye(clues: Clues) -> Answer:
    """Whether in some region the eye finds nothing wrong and the readings lie `readings_lower` below it."""
    both = [
        (finding.eye.grade, finding.instrument.grade)
        for finding in clues.findings.values()
        if finding.eye is not None and finding.instrument is not None
    ]
    calm, lower = clues.tables["faultless"], clues.tables["readings_lower"]
    return any(eye >= calm and read <= eye - lower for eye, read in both) if both else None


def eye_sees_stripes_readings_even(clues: Clues) -> Answer:
    """Whether the eye graded a region low for banding (`stripes_seen`) whose readings are even."""
    rows = [finding for finding in clues.kind("tints", "gradient") if finding.eye is not None]
    if not rows:
        return None
    return any(
        finding.eye is not None
        and finding.eye.grade < clues.tables["stripes_seen"]
        and not {"banding", "microbanding"}.isdisjoint(finding.faults)
        and finding.instrument is not None
        and finding.instrument.grade >= clues.tables["stripes_even"]
        for finding in rows
    )


def viewings_differ(clues: Clues) -> Answer:
    """Whether grades of one region differ by `viewings_apart` or more between viewings."""
    spans = _spans(clues)
    return max(spans) >= clues.tables["viewings_apart"] if spans else None


def observers_agree(clues: Clues) -> Answer:
    """Whether several observers grade every region alike, to within `observers_agree`."""
    if len({viewing.observer for viewing in clues.session.heard}) < 2:
        return None
    spans = _spans(clues)
    return max(spans) <= clues.tables["observers_agree"] if spans else None


def _spans(clues: Clues) -> list[int]:
    """Largest difference of the whole-region grades between viewings, region by region."""
    grades: dict[str, list[int]] = {}
    for viewing in clues.session.heard:
        for (region, question), answer in viewing.answers.items():
            if question == "overall" and hasattr(answer.value, "value"):
                grades.setdefault(region, []).append(answer.value.value)
    return [max(given) - min(given) for given in grades.values() if len(given) > 1]
