"""One caution where three meet: a whitened paper, a profile that counts on its glow, a light without it."""

from collections.abc import Sequence
from typing import Final

from evaluation.colorimetry.brightener import print_turns_yellower
from evaluation.colorimetry.illuminants import Light
from evaluation.judgement.tables import Tables
from evaluation.metrics.brightener_shift import brightener_shift
from evaluation.plain_text import shortened
from evaluation.readings.run import Taken
from evaluation.session import Session
from evaluation.sheet.layout import Sheet
from evaluation.telling.caveats import yellower
from evaluation.work import gate

_GLASS: Final = "glass"  # glass with a filter against ultraviolet, as pictures are framed with


def caution(
    session: Session,
    sheet: Sheet,
    taken: Sequence[Taken],
    profile_condition: str | None,
    light: Light | None,
    in_force: Tables,
) -> tuple[str, ...]:
    """The caution, or none: all three have to be known. `light` is the second one that Prepare names."""
    if profile_condition is None:
        return ()
    second = _second(session, light)
    shift = brightener_shift(sheet, gate.visible_part(session, sheet, taken))
    if second is None or shift is None:
        return ()
    name, ultraviolet = second
    if not print_turns_yellower(
        shift.db,
        profile_condition=profile_condition,
        light_has_ultraviolet=ultraviolet,
        limit=in_force["whitener_caution"],
    ):
        return ()
    return (yellower(shift.db, name, profile_condition),)


def _second(session: Session, light: Light | None) -> tuple[str, bool] | None:
    """The second light as it was named, and whether it makes whitener glow; None where that is not known."""
    readiness = session.readiness.get("viewing_light")
    said = str(readiness.detail.get("second", "")) if readiness is not None else ""
    if _GLASS in said.casefold():
        return shortened(said, 40), False
    return None if light is None else (shortened(said, 40), light.has_ultraviolet)
