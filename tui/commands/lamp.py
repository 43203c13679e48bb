"""`drydown lamp`: the report on a lamp, or the lights that go by a name."""

from argparse import Namespace
from typing import Final

from evaluation.work import lamp
from evaluation.work.lamp import TELLS_NOT, Asked, Lamp
from tui.out import Out

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


def run(args: Namespace, out: Out) -> int:
    """Each lamp with its numbers, what they leave open and what ISO 3664 asks; without one, all names."""
    if not args.lamps:
        _names(out)
        return 0
    found = [lamp.lamp(word) for word in args.lamps]
    if out.as_json:
        out.result({"lamps": [lamp.document(one) for one in found], "tells_not": dict(TELLS_NOT)})
        return 0
    for one in found:
        _told(one, out)
    return 0


def _names(out: Out) -> None:
    names = lamp.names()
    if out.as_json:
        out.result({"lights": list(names)})
        return
    rows = [
        (one["name"], one["what"], "" if one["kelvin"] is None else f"{one['kelvin']} K") for one in names
    ]
    out.table(("name", "light", "about"), rows, right=(2,))


def _told(one: Lamp, out: Out) -> None:
    light = one.light
    kind = f", {one.what}" if one.what else ""
    out.line(f"{light.name}{kind}: {light.first:g} to {light.last:g} nm in steps of {light.step:g} nm")
    for remark in one.remarks:
        out.line(remark)
    out.line()
    x, y = one.colour.xy
    out.line(f"{'chromaticity x, y, 2 degree observer':<40}{x:.4f}, {y:.4f}")
    for key, (name, written) in _NUMBERS.items():
        value = one.value(key)
        out.line(f"{name:<40}{'not known' if value is None else written.format(value)}")
        out.line(f"    {TELLS_NOT[key]}")
    out.line()
    out.line("What ISO 3664 asks of a viewing booth")
    answered = [ask for ask in one.asked if not ask.instead]
    out.table(("asked", "limit", "found", "met"), [_row(ask) for ask in answered], right=(2,))
    out.line()
    out.line("What it asks besides, and no spectrum tells")
    for ask in one.asked:
        if ask.instead:
            out.line(f"{ask.what}: {ask.limit}.")
            out.line(f"    {ask.instead}")
    out.line("Limits: the 2009 edition as recalled, unconfirmed. Your own copy decides.")
    out.line()


def _row(ask: Asked) -> tuple[str, str, str, str]:
    found = "-" if ask.found is None else f"{ask.found:.1f}" if abs(ask.found) >= 1 else f"{ask.found:.4f}"
    return ask.what, ask.limit, found, "-" if ask.met is None else "yes" if ask.met else "no"
