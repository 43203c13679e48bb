"""Clues in the circumstances: printing condition, readiness, faults named, what is known of the profile.

Each answers True, False, or None where the session cannot tell. Limits: `tables/clues.toml`.
"""

from evaluation.judgement.clues.facts import Answer, Clues
from evaluation.judgement.clues.inks import shadows_deeper
from evaluation.judgement.clues.paper import black_deeper_on_own_paper
from evaluation.judgement.clues.readings import readings_smooth
from evaluation.sheet.sizes import SCALE_MM


def _fault(clues: Clues, *names: str) -> Answer:
    """Whether one of these faults was named."""
    return not clues.faults().isdisjoint(names)


def _open(clues: Clues, *items: str) -> Answer:
    """Whether one of these items of readiness has no mark, or "not done"."""
    marks = [clues.session.readiness.get(item) for item in items]
    return any(mark is None or mark.mark in (None, "not done") for mark in marks)


def driver_mode_open(clues: Clues) -> Answer:
    """Whether the driver's colour setting is not stated to be off, or through the profile."""
    mode = clues.session.condition.driver_mode.casefold()
    return not any(word in mode for word in ("through the profile", "off", "none", "no colour"))


def intent_rerenders(clues: Clues) -> Answer:
    """Whether the intent changes colours that the gamut holds (perceptual, saturation)."""
    intent = clues.session.condition.intent
    return None if intent is None else intent in ("perceptual", "saturation")


def fault_of_wet_ink(clues: Clues) -> Answer:
    """Whether a fault of too much ink was named."""
    return _fault(clues, "puddling", "mottle", "bronzing")


def fault_fill_in(clues: Clues) -> Answer:
    """Whether fill-in of fine lines was named."""
    return _fault(clues, "fill-in")


def fault_gloss_difference(clues: Clues) -> Answer:
    """Whether a gloss difference was named."""
    return _fault(clues, "gloss difference", "gloss step")  # as earlier maps name it


def fault_banding(clues: Clues) -> Answer:
    """Whether banding, coarse or fine, was named."""
    return _fault(clues, "banding", "microbanding")


def fault_false_moire(clues: Clues) -> Answer:
    """Whether a moire that the picture does not have was named."""
    return _fault(clues, "false moire")


def faults_of_a_bare_side(clues: Clues) -> Answer:
    """Whether mottle, fill-in and blurriness were named together, as on an uncoated side."""
    return {"mottle", "fill-in", "blurriness"} <= clues.faults()


def fault_of_alignment(clues: Clues) -> Answer:
    """Whether passes do not meet, or fine lines end apart along and across the feed (`line_groups`)."""
    counts = {
        question: answer.value.number
        for viewing in clues.session.viewings
        for (_, question), answer in viewing.answers.items()
        if question in ("finest_h", "finest_v") and hasattr(answer.value, "number")
    }
    apart = abs(counts["finest_h"] - counts["finest_v"]) if len(counts) == 2 else 0
    uneven = apart >= clues.tables["line_groups"]
    return bool(_fault(clues, "misregistration", "line split")) or uneven


def contours_smooth_readings(clues: Clues) -> Answer:
    """Whether contours were named where the readings are smooth."""
    return bool(_fault(clues, "contour")) and readings_smooth(clues) is True


def nozzle_check_open(clues: Clues) -> Answer:
    """Whether the nozzle check has no mark, or "not done"."""
    return _open(clues, "nozzle_check")


def alignment_open(clues: Clues) -> Answer:
    """Whether the alignment has no mark, or "not done"."""
    return _open(clues, "alignment")


def viewing_open(clues: Clues) -> Answer:
    """Whether adaptation, surround or viewing light has no mark, or "not done"."""
    return _open(clues, "adapted", "surround", "viewing_light")


def backing_black_or_open(clues: Clues) -> Answer:
    """Whether readings were taken on black, or on a backing that is not stated."""
    managed = [taken for taken in clues.takens if taken.run.printed_as != "unmanaged"]
    return any(taken.run.stated.backing in (None, "black") for taken in managed)


def light_without_uv(clues: Clues) -> Answer:
    """Whether the viewing light holds no ultraviolet, as stated when preparing."""
    light = clues.session.readiness.get("viewing_light")
    holds = None if light is None else light.detail.get("uv")
    return None if holds is None else str(holds).casefold() in ("no", "none", "0", "without")


def light_with_uv(clues: Clues) -> Answer:
    """Whether the viewing light holds ultraviolet, as stated when preparing."""
    without = light_without_uv(clues)
    return None if without is None else not without


def _scale(clues: Clues) -> float | None:
    """Length in mm of the sheet's scale, nominally 100 mm, as measured when preparing."""
    for readiness in clues.session.readiness.values():
        value = readiness.detail.get("mm")
        if isinstance(value, (int, float)):
            return float(value)
    return None


def scale_bar_off(clues: Clues) -> Answer:
    """Whether the sheet's scale is too long or too short (`scale_bar`)."""
    length = _scale(clues)
    return None if length is None else abs(length - SCALE_MM) > clues.tables["scale_bar"]


def scale_bar_right(clues: Clues) -> Answer:
    """Whether the sheet's scale has its length (`scale_bar`)."""
    length = _scale(clues)
    return None if length is None else abs(length - SCALE_MM) <= clues.tables["scale_bar"]


def profile_read_otherwise(clues: Clues) -> Answer:
    """Whether the profiling data have another measurement condition or backing than the print's readings."""
    apart = [own != other for own, other in _profile_and_print(clues)]
    return any(apart) if apart else None


def profile_read_alike(clues: Clues) -> Answer:
    """Whether condition and backing are both known and the same, and nothing points to a chart read wet."""
    known = _profile_and_print(clues)
    if len(known) < 2:
        return None
    wet = black_deeper_on_own_paper(clues) or shadows_deeper(clues)
    return all(own == other for own, other in known) and not wet


def _profile_and_print(clues: Clues) -> list[tuple[str, str]]:
    """Condition, then backing, of the profiling data and of the print's readings, where both are stated."""
    if clues.gathered is None:
        return []
    stated = clues.gathered.pool.runs[0].run.stated
    pairs = ((clues.profile.condition, stated.condition), (clues.profile.backing, stated.backing))
    return [(own, other) for own, other in pairs if own is not None and other is not None]


def profile_fit_poor(clues: Clues) -> Answer:
    """Whether the profile fits its own data badly (`fit_poor`)."""
    return None if clues.profile.fit_p95 is None else clues.profile.fit_p95 > clues.tables["fit_poor"]


def profile_fit_middling(clues: Clues) -> Answer:
    """Whether the profile fits its own data no better than middling (`fit_middling`)."""
    fit = clues.profile.fit_p95
    return None if fit is None else clues.tables["fit_middling"] < fit <= clues.tables["fit_poor"]


def profile_fit_good(clues: Clues) -> Answer:
    """Whether half of the patches are predicted to within what sheets differ by (`sheet_mean`)."""
    fit = clues.profile.fit_median
    return None if fit is None else fit <= clues.tables["sheet_mean"]


def profile_patches_moved(clues: Clues) -> Answer:
    """Whether the profile's own patches, read again, have moved (`profile_moved`)."""
    moved, sheets = clues.profile.moved, clues.tables["sheet_mean"]
    return None if moved is None else moved > clues.tables["profile_moved"] * sheets


def profile_patches_still(clues: Clues) -> Answer:
    """Whether the profile's own patches, read again, lie within what sheets differ by."""
    return None if clues.profile.moved is None else clues.profile.moved <= clues.tables["sheet_mean"]
