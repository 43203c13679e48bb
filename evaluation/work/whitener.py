"""One caution where three meet: a whitened paper, a profile that counts on its glow, a light without it."""

from collections.abc import Sequence
from typing import Final

from evaluation.colorimetry.brightener import print_turns_yellower
from evaluation.judgement.tables import Tables
from evaluation.metrics.brightener_shift import brightener_shift
from evaluation.plain_text import shortened
from evaluation.readings.run import Taken
from evaluation.session import Session
from evaluation.sheet.layout import Sheet
from evaluation.work import gate
from evaluation.work.bench import Bench
from evaluation.work.neutrality_lamps import kept, of_session

_GLASS: Final = "glass"  # glass with a filter against ultraviolet, as pictures are framed with


def caution(
    bench: Bench,
    session: Session,
    sheet: Sheet,
    taken: Sequence[Taken],
    profile_condition: str | None,
    in_force: Tables,
) -> tuple[str, ...]:
    """The caution, or none: all three have to be known. The light is the second one that Prepare names."""
    if profile_condition is None:
        return ()
    light = _second(bench, session)
    db = brightener_shift(sheet, gate.visible_part(session, sheet, taken))
    if light is None or db is None:
        return ()
    name, ultraviolet = light
    if not print_turns_yellower(
        db,
        profile_condition=profile_condition,
        light_has_ultraviolet=ultraviolet,
        limit=in_force["whitener_caution"],
    ):
        return ()
    return (
        f"Expect the whole print yellower by about {db:.1f} b* under {name}: the profile was made from "
        f"{profile_condition} and counts on the glow of the paper's whitener, which that light lacks.",
    )


def _second(bench: Bench, session: Session) -> tuple[str, bool] | None:
    """The second light as it was named, and whether it makes whitener glow; None where that is not known."""
    readiness = session.readiness.get("viewing_light")
    said = str(readiness.detail.get("second", "")) if readiness is not None else ""
    if _GLASS in said.casefold():
        return shortened(said, 40), False
    lamps = kept(bench)
    known = of_session(session, lamps)
    plain = "".join(char for char in said.casefold() if char.isalnum())
    named = [
        light
        for name, light in known.lights.items()
        if plain and "".join(char for char in name.casefold() if char.isalnum()) == plain
    ]
    return (shortened(said, 40), named[0].has_ultraviolet) if named else None
