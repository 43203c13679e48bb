"""Clues in what was said: condition, readiness, faults, and what is known of the profile.

Each answers True, False, or None: the session does not tell. Limits are the project's own choice.
"""

from evaluation.judgement.clues.facts import Answer, Clues
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
