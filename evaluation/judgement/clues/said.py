"""Clues in what was said: condition, readiness, faults, and what is known of the profile.

Each answers True, False, or None: the session does not tell. Limits are the project's own choice.
"""

from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.inks import darks_deeper
from evaluation.judgement.clues.paper import black_deeper_on_own_paper
from evaluation.judgement.clues.readings import readings_smooth


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
    return _fault(clues, "gloss difference", "gloss step")  # as earlier maps name it


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
    return bool(_fault(clues, "contour")) and readings_smooth(clues) is True


def nozzle_check_open(clues: Clues) -> Answer:
    return _open(clues, "nozzle_check")


def alignment_open(clues: Clues) -> Answer:
    return _open(clues, "alignment")


def viewing_open(clues: Clues) -> Answer:
    return _open(clues, "adapted", "surround", "viewing_light")


def backing_black_or_open(clues: Clues) -> Answer:
    managed = [taken for taken in clues.takens if taken.run.printed_as != "unmanaged"]
    return any(taken.run.stated.backing in (None, "black") for taken in managed)


def light_without_uv(clues: Clues) -> Answer:
    """Prepare says of the viewing light whether it holds ultraviolet, as `uv`: yes or no."""
    light = clues.session.readiness.get("viewing_light")
    said = None if light is None else light.detail.get("uv")
    return None if said is None else str(said).casefold() in ("no", "none", "0", "without")


def light_with_uv(clues: Clues) -> Answer:
    without = light_without_uv(clues)
    return None if without is None else not without


def _scale(clues: Clues) -> float | None:
    """Measured length of the sheet's 100 mm scale, as Prepare has it."""
    for readiness in clues.session.readiness.values():
        value = readiness.detail.get("mm")
        if isinstance(value, (int, float)):
            return float(value)
    return None


def scale_bar_off(clues: Clues) -> Answer:
    length = _scale(clues)
    return None if length is None else abs(length - 100) > 0.3


def scale_bar_right(clues: Clues) -> Answer:
    length = _scale(clues)
    return None if length is None else abs(length - 100) <= 0.3


def profile_read_otherwise(clues: Clues) -> Answer:
    """Another measurement condition, or another backing, than the print's readings."""
    apart = [said[0] != said[1] for said in _profile_and_print(clues)]
    return any(apart) if apart else None


def profile_read_alike(clues: Clues) -> Answer:
    """Condition and backing are both known, and the same; a chart read wet may still lie behind it."""
    known = _profile_and_print(clues)
    if len(known) < 2:
        return None
    wet = black_deeper_on_own_paper(clues) or darks_deeper(clues)
    return all(own == other for own, other in known) and not wet


def _profile_and_print(clues: Clues) -> list[tuple[str, str]]:
    """Condition, then backing, of the profiling data and of the print's readings, where both are stated."""
    if clues.gathered is None:
        return []
    stated = clues.gathered.pool.runs[0].run.stated
    pairs = ((clues.profile.condition, stated.condition), (clues.profile.backing, stated.backing))
    return [(own, other) for own, other in pairs if own is not None and other is not None]


def profile_fit_poor(clues: Clues) -> Answer:
    return None if clues.profile.fit_p95 is None else clues.profile.fit_p95 > 3.0


def profile_fit_middling(clues: Clues) -> Answer:
    return None if clues.profile.fit_p95 is None else 2.0 < clues.profile.fit_p95 <= 3.0


def profile_fit_good(clues: Clues) -> Answer:
    """No patch of two is missed by more than sheets differ."""
    fit = clues.profile.fit_median
    return None if fit is None else fit <= clues.tables["sheet_mean"]


def profile_patches_moved(clues: Clues) -> Answer:
    return None if clues.profile.moved is None else clues.profile.moved > 2 * clues.tables["sheet_mean"]


def profile_patches_still(clues: Clues) -> Answer:
    return None if clues.profile.moved is None else clues.profile.moved <= clues.tables["sheet_mean"]
