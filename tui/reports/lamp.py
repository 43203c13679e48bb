"""A lamp as a report: its numbers with what they leave open, and what ISO 3664 asks of a viewing booth."""

from typing import Final

from evaluation.telling.table import Table
from evaluation.work import lamp
from evaluation.work.lamp import TELLS_NOT, Asked, Lamp
from tui.reports import Block

# Each number's name, how its digits are written, and its unit.
_NUMBERS: Final = {
    "kelvin": ("colour temperature", "{:.0f} K"),
    "duv": ("distance from the Planckian locus, Duv", "{:+.4f}"),
    "from_d50": ("distance from D50, u'10 v'10", "{:.4f}"),
    "general_rendering": ("colour rendering index Ra, CIE 13.3", "{:.0f}"),
    "lowest_rendering": ("lowest of R1 to R8", "{:.0f}"),
    "strong_red": ("R9, strong red", "{:.0f}"),
    "fidelity": ("colour fidelity index Rf, CIE 224", "{:.0f}"),
    "metamerism": ("two greys that match under D50, dE*ab", "{:.1f}"),
    "ultraviolet": ("ultraviolet, D50 has 0.30", "{:.2f}"),
}


def names() -> Table:
    """The lights that go by a name."""
    return Table(
        "",
        ("name", "light", "about"),
        tuple(
            (one["name"], one["what"], "" if one["kelvin"] is None else f"{one['kelvin']} K")
            for one in lamp.names()
        ),
        (2,),
    )


def report(one: Lamp) -> list[Block]:
    """One lamp, from its spectrum."""
    light = one.light
    kind = f", {one.what}" if one.what else ""
    x, y = one.colour.xy
    blocks: list[Block] = [
        f"{light.name}{kind}: {light.first:g} to {light.last:g} nm in steps of {light.step:g} nm",
        *one.remarks,
        "",
        f"{'chromaticity x, y, 2 degree observer':<40}{x:.4f}, {y:.4f}",
    ]
    for key, (name, written) in _NUMBERS.items():
        value = one.value(key)
        blocks.append(f"{name:<40}{'not known' if value is None else written.format(value)}")
        blocks.append(f"    {TELLS_NOT[key]}")
    answered = tuple(_row(ask) for ask in one.asked if not ask.instead)
    asks = Table("What ISO 3664 asks of a viewing booth", ("asked", "limit", "found", "met"), answered, (2,))
    blocks += ["", asks, "", "What it asks besides, and no spectrum tells"]
    for ask in one.asked:
        if ask.instead:
            blocks += [f"{ask.what}: {ask.limit}.", f"    {ask.instead}"]
    return [*blocks, "Limits: the 2009 edition as recalled, unconfirmed. Your own copy decides."]


def _row(ask: Asked) -> tuple[str, str, str, str]:
    found = "-" if ask.found is None else f"{ask.found:.1f}" if abs(ask.found) >= 1 else f"{ask.found:.4f}"
    return ask.what, ask.limit, found, "-" if ask.met is None else "yes" if ask.met else "no"
