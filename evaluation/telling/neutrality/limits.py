"""What limits the numbers of one neutrality record, a sentence each."""

from evaluation.judgement.greys import Record
from evaluation.plain_text import lower_first


def limits(record: Record, black_from: int | None = None) -> tuple[str, ...]:
    """The sentences that go with a record; `black_from` is the session its black was taken from, if any."""
    said = []
    number = f"session {record.session}"
    if record.black_from == "this print":
        said.append(f"Black level of {number} taken from this print: depth of black not judged.")
    if record.black_from == "earlier session":
        said.append(f"Black level of {number} taken from session {black_from}, an accepted print.")
    if not record.lights:
        said.append(f"No spectra in {number}: nothing is said about other lights.")
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
