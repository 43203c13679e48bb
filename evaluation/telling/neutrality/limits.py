"""What limits the numbers of one neutrality record, a sentence each."""

from typing import Final

from evaluation.judgement.greys import NeutralityRecord
from evaluation.plain_text import lower_first, shortened

DIFFERENT_PAPERS: Final = "Different papers: each print is held against the grey of its own."


def limits(record: NeutralityRecord, black_from: int | None = None) -> tuple[str, ...]:
    """The sentences that go with a record; `black_from` is the session its black was taken from, if any."""
    said = []
    number = f"session {record.session}"
    if record.black_from == "this print":
        said.append(f"Black level of {number} taken from this print: its density is not judged.")
    if record.black_from == "earlier session":
        said.append(f"Black level of {number} taken from session {black_from}, an accepted print.")
    if not record.lights:
        said.append(f"No spectra in {number}: nothing can be said about other lights.")
    under = {light.condition for light in record.lights.values()}
    if record.lights and "M2" not in under:
        named = next(iter(under)) or "no stated condition"
        said.append(
            f"No readings without ultraviolet (M2) in {number}: under lamps those of {named} are taken."
        )
    if record.evenness is not None and record.evenness.against != "the aim":
        said.append(f"The mode of {number} has no aim of tone: evenness against a straight line of L*.")
    if record.black is not None and record.black.note:
        said.append(f"D {record.black.d_max:.2f} in {number}: {lower_first(record.black.note)}")
    return tuple(said)


def no_greys(session: int) -> str:
    return f"Session {session} has no readings of its greys."


def no_scale(session: int) -> str:
    return f"The sheet of session {session} has no neutral scale."


def nothing_read(session: int) -> str:
    return f"Nothing was read in session {session} yet."


def no_tone(session: int) -> str:
    return f"Session {session} has no tone to give."


def own_grey(why: str) -> str:
    return f"{why} Casts are measured against the paper's own grey."


def a_side(side: str) -> str:
    return f"{side.capitalize()} names no number: casts are reported, and only a turn counts as a fault."


def no_curve(tone: str) -> str:
    return (
        f"No curve is known for the tone “{shortened(tone, 40)}”: casts are reported, not judged. "
        "A tone “like session 3” takes the readings of that print as the aim."
    )


def tone_not_found(tone: str, why: str) -> str:
    return f"Tone wanted, “{shortened(tone, 40)}”: {why}"
