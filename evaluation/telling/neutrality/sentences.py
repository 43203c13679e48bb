"""A neutrality record in sentences: what a reader can quote of one print, and of several side by side."""

from collections.abc import Mapping, Sequence

from evaluation.judgement.greys import GreyStep, NeutralityRecord
from evaluation.judgement.greys_compared import BLACK, LIGHTS, GreysCompared, ranked, worst_third
from evaluation.judgement.toning import Toning
from evaluation.plain_text import listed
from evaluation.session import THIRD_WORDS, THIRDS
from evaluation.telling.neutrality import values


def sentence(record: NeutralityRecord, toning: Toning | None = None, *, gives_tone: bool = False) -> str:
    """The cast of a print's greys, where it changes, what other light sources do to it.

    `gives_tone`: its own tone is the aim.
    """
    said = "is the tone wanted" if gives_tone else _cast(record)
    if toning is not None:
        said = _tone(record, toning)
    return f"Session {record.session} {said}{_under_lights(record)}."


def _cast(record: NeutralityRecord) -> str:
    turn = record.crossover
    if turn is not None and not turn.only:
        return f"changes from {turn.light} to {turn.dark} towards the shadows, near L* {turn.near_l:.0f}"
    found = [third for third in record.thirds.values() if third.cast != "none"]
    if not record.thirds:
        return "has no step that counts for a cast"
    if not found:
        return _no_cast(record)
    off = "is off the tone wanted" if record.aim == "toned" else "has a cast"
    words = {third.cast for third in found}
    if len(found) == len(record.thirds) and len(words) == 1:
        most = max(third.de00 for third in found)
        return f"{off}, {words.pop()} {_span(record)}, up to {most:.1f} dE00 in a third"
    parts = [f"{third.cast} in the {_part(third.name)} by {third.de00:.1f} dE00" for third in found]
    return f"{off}, {listed(parts)}"


def _no_cast(record: NeutralityRecord) -> str:
    """Neutral only as far as steps count, noise allows it and no step is far off."""
    rows = record.thirds.values()
    if noisy := [third.name for third in rows if third.basis == "noise"]:
        where = listed([_part(name) for name in noisy])
        return f"has no cast beyond its noise {_span(record)}; one in the {where} would stay hidden"
    far = max(rows, key=lambda third: third.de00)
    if far.basis == "scattered":
        return (
            f"has no cast in one direction {_span(record)}, but lies {far.de00:.1f} dE00 off on average in "
            f"the {_part(far.name)}, most at {far.where}"
        )
    word = "has the tone wanted" if record.aim == "toned" else "is neutral"
    return f"{word} {_span(record)}"


def _span(record: NeutralityRecord) -> str:
    """From where to where steps count for a cast, and how many between do not."""
    steps = sorted(record.steps, key=lambda step: -step.source_l)
    counts = [k for k, step in enumerate(steps) if not step.hollow]
    first, last = steps[counts[0]], steps[counts[-1]]
    if len(counts) == 1:
        return f"at {_called(first)}, the only step that counts"
    left_out = counts[-1] - counts[0] + 1 - len(counts)
    without = f" without {left_out} of the steps between" if left_out else ""
    read = len(record.steps)
    unread = f" ({read} of {read + record.unread} steps read)" if record.unread else ""
    return f"from {_called(first)} to {_called(last)}{without}{unread}"


def _called(step: GreyStep) -> str:
    return step.name or step.patch


def _tone(record: NeutralityRecord, toning: Toning) -> str:
    """A tone that was wanted is described and no fault; a change of it along the scale is."""
    match toning.held:
        case "barely toned":
            said = f"is barely {toning.family} where {toning.family} was wanted ({toning.shift:.1f} dCh)"
        case "as wanted":
            said = f"is {toning.family} as wanted ({toning.word}, {toning.shift:.1f} dCh)"
        case _:
            said = f"is {toning.word} where {toning.family} was wanted ({toning.shift:.1f} dCh)"
    turn = record.crossover
    if toning.turns and turn is not None:
        said += f", changing from {turn.light} to {turn.dark} towards the shadows, near L* {turn.near_l:.0f}"
    return said


def _under_lights(record: NeutralityRecord) -> str:
    if record.worst_light is None:
        return ""
    worst = record.lights[record.worst_light]
    return f", and its greys shift apart by up to {values.shift(worst)}"


def quote(
    records: Mapping[int, NeutralityRecord],
    found: Sequence[GreysCompared],
    names: Mapping[int, str],
    paper: str,
) -> str:
    """Modes side by side in one sentence: ranked by worst third, with what exceeds the repeats of both.

    `found` holds the first of the ranking against every other. Empty for fewer than two records.
    """
    order = ranked(records)
    if len(order) < 2:
        return ""
    values = {one: third.de00 for one in order if (third := worst_third(records[one])) is not None}
    on = f"On {paper}, by" if paper else "By"
    told = [f"{_named(one, names)} {values[one]:.1f}" for one in order if one in values]
    off = " from the tone wanted" if any(record.aim == "toned" for record in records.values()) else ""
    said = f"{on} the worst third of the greys, dE00{off}: {', '.join(told)}"
    return f"{said}; {'; '.join(_against(one, only=len(found) == 1) for one in found)}."


def difference_words(found: GreysCompared) -> str:
    """One pair in a sentence, row by row."""
    if found.reason:
        return f"{found.a} and {found.b} are not comparable: {found.reason}."
    parts = [
        f"{_what(row.what)} {row.word}" + (f" ({row.difference:.1f} dCh)" if row in found.casts else "")
        for row in found.rows
    ]
    return f"{found.b} against {found.a}: {', '.join(parts)}."


def _against(found: GreysCompared, *, only: bool) -> str:
    """What separates two prints, in the shortest words."""
    if found.reason:
        return f"{found.b} is not comparable with {found.a} ({found.reason})"
    pair = "" if only else f"{found.b} against {found.a}: "
    casts = [row for row in found.casts if row.beyond]
    if not casts:
        said = f"{pair}their casts are alike as read"
    else:
        large = [row.what for row in casts if row.word == "large"]
        thirds = large or [row.what for row in casts]
        where = f"in the {listed([_part(third) for third in thirds])}"
        enough = ", by enough to be seen" if large else ""
        said = f"{pair}they differ measurably {where}, beyond the repeats of both{enough}"
    lights = found.row(LIGHTS)
    if lights is None:
        return said
    if not lights.beyond:
        return f"{said}; under other lights they are alike as read"
    how = "by enough to be seen" if lights.word == "large" else "measurably"
    return f"{said}; under other lights {how}, {lights.a:.1f} against {lights.b:.1f} dCh along the scale"


def _named(session: int, names: Mapping[int, str]) -> str:
    name = names.get(session, "")
    return f"session {session} ({name})" if name else f"session {session}"


def _part(third: str) -> str:
    """A third as a reader knows it: shadows, mid-tones, highlights."""
    return THIRD_WORDS[THIRDS.index(third)]


def _what(what: str) -> str:
    return {LIGHTS: "shift along the scale", BLACK: "black"}.get(what) or f"cast of the {_part(what)}"
