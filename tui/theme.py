"""Neutral greys: the eyes in front of the screen are adapted to a viewing booth, and colour would bias them.

Meaning is carried by words, signs and weight of type. Contrast of every text grey is at least 4.5:1
(WCAG 2.2, 1.4.3), which a test works out.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from rich.style import Style
from textual.theme import Theme

from tui.widgets.lines import Weight


@dataclass(frozen=True, slots=True)
class Greys:
    """Five greys of one appearance, as hexadecimal triples with equal parts."""

    ground: str
    text: str
    quiet: str  # notes and labels
    rule: str  # lines: no text stands in it
    shade: str  # ground of an open row
    tones: tuple[int, int]  # darkest and lightest on the map of the sheet, 0 to 255


GREYS: Final[Mapping[str, Greys]] = {
    "dark": Greys(
        ground="#1e1e1e", text="#d0d0d0", quiet="#a0a0a0", rule="#6a6a6a", shade="#2c2c2c", tones=(8, 208)
    ),
    "dim": Greys(
        ground="#080808", text="#8c8c8c", quiet="#7e7e7e", rule="#3a3a3a", shade="#101010", tones=(0, 120)
    ),
    "light": Greys(
        ground="#e4e4e4", text="#1c1c1c", quiet="#505050", rule="#8a8a8a", shade="#cacaca", tones=(28, 246)
    ),
}
PLAIN: Final = "plain"
APPEARANCES: Final = (*GREYS, PLAIN)


def themes() -> list[Theme]:
    """Every appearance as a Textual theme; "plain" sends no colour at all, only bold and reverse."""
    made = [_theme(name, greys) for name, greys in GREYS.items()]
    made.append(_theme(PLAIN, Greys(*["ansi_default"] * 5, tones=(0, 0))))
    return made


def tones(appearance: str) -> tuple[int, int, int] | None:
    """Darkest, lightest and ground of a drawing in greys; None where no colour is sent."""
    greys = GREYS.get(appearance)
    return (*greys.tones, int(greys.ground[1:3], 16)) if greys else None


@lru_cache(maxsize=len(APPEARANCES))
def styles(appearance: str) -> Mapping[Weight, Style]:
    """How each weight of text is drawn. "plain" leaves both colours to the terminal."""
    greys = GREYS.get(appearance)
    if greys is None:
        base = Style(color="default", bgcolor="default")
        return {"": base, "strong": base + Style(bold=True), "quiet": base, "rule": base}
    base = Style(color=greys.text, bgcolor=greys.ground)
    return {
        "": base,
        "strong": base + Style(bold=True),
        "quiet": base + Style(color=greys.quiet),
        "rule": base + Style(color=greys.rule),
    }


def appearance(wanted: str, environ: Mapping[str, str]) -> str:
    """The appearance to start in: "plain" where NO_COLOR is set or there are fewer than 256 colours."""
    if environ.get("NO_COLOR") or few_colours(environ):
        return PLAIN
    return wanted


def few_colours(environ: Mapping[str, str]) -> bool:
    """Whether greys would be bent into 16 colours, which are not neutral on most terminals."""
    if environ.get("COLORTERM", "").lower() in ("truecolor", "24bit") or "WT_SESSION" in environ:
        return False
    term = environ.get("TERM", "")
    return not term.endswith(("256color", "direct", "-kitty", "-truecolor"))


def _theme(name: str, greys: Greys) -> Theme:
    ansi = name == PLAIN
    return Theme(
        name=name,
        primary=greys.text,
        secondary=greys.quiet,
        warning=greys.text,
        error=greys.text,
        success=greys.text,
        accent=greys.text,
        foreground=greys.text,
        background=greys.ground,
        surface=greys.ground,
        panel=greys.ground,
        boost=greys.ground,
        dark=name != "light",
        ansi=ansi,
        variables={
            "quiet": greys.quiet,
            "rule": greys.rule,
            "shade": greys.shade,
            "input-cursor-background": greys.text,
            "input-cursor-foreground": greys.ground,
            "input-selection-background": greys.shade,
            "scrollbar": greys.rule,
            "scrollbar-hover": greys.rule,
            "scrollbar-active": greys.quiet,
            "scrollbar-background": greys.ground,
            "scrollbar-background-hover": greys.ground,
            "scrollbar-background-active": greys.ground,
            "scrollbar-corner-color": greys.ground,
        }
        | (
            {
                "input-cursor-background": "ansi_default",
                "input-cursor-foreground": "ansi_default",
                "ansi-background": "ansi_black",
                "ansi-foreground": "ansi_white",
                "border": "ansi_default",
                "border-blurred": "ansi_default",
            }
            if ansi
            else {}
        ),
    )
