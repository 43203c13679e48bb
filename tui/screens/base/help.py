"""Help: what one does here, the keys here beside those of all screens, grades and signs, a key check."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import zip_longest
from typing import Final

from textual.binding import ActiveBinding
from textual.events import Key as KeyPress

from evaluation.session import GRADE_WORDS
from evaluation.work.bench import Bench
from tui import keys
from tui.keys import Key
from tui.screens.base.text import TextPage
from tui.widgets.lines import Line, cell, wrapped

_NAMES: Final[Mapping[str, str]] = {
    "home": "Home",
    "compare": "Compare",
    "sidebyside": "Side by side",
    "triangle": "Triangles",
    "observers": "Observers",
    "neutrality": "Neutrality record",
    "plan": "Plan",
    "loan": "The loan",
    "questions": "What readers ask",
    "typed": "Readings typed by hand",
    "draw_sheet": "The test image",
    "patches": "Patches",
    "tools": "Tools",
    "choose": "Choosing a file",
    "lamps": "Light sources",
    "gamut": "Gamut of profiles",
    "attach": "A picture of a fault",
    **keys.STEPS,
}
_SIGNS: Final = (
    ("▸", "here"),
    ("*", "marked"),
    ("≠", "eye and readings disagree; in a list: in that session"),
    ("dE00", "colour difference by CIEDE2000; 1 is hardly seen side by side"),
    ("dCh", "distance of a grey from its aim in a* and b*, lightness left aside"),
    ("+ ·", "in the course of a viewing: answered, not yet answered"),
    ("-", "nothing there"),
    (".", "not yet"),
    ("E I B", "on the ruler: eye, instrument, both at one place"),
    ("0 1 2 3", "in a curve: read under M0, M1, M2, M3; * where they meet"),
)
_WORDS: Final = (
    ("agree", "eye and readings lie within what both can explain"),
    ("DISAGREE", "they do not: no mean is given, look and read again"),
    ("eye only", "no reading speaks of it, or nothing was read"),
    ("instrument only", "read; nothing here for the eye to answer"),
    ("not graded yet", "readings are in, and stay out of sight until the region has its grade"),
    ("left out", "the ring-around in a mode that prints no colour: it shows nothing"),
    ("managed", "printed through the profile, as a picture is"),
    ("unmanaged", "device values sent to the printer as they are, as for profiling"),
    ("not stated", "printed without a word on how: asked, never guessed"),
    ("undecided", "more than one verdict is still possible; the reason says what would decide"),
    ("about 9 in 10", "share of simulated gradings that give the word; no observer has been asked"),
    ("incomplete", "a region that counts most has no grade yet"),
)


class HelpPage(TextPage):
    """Opened over a screen; knows its name only."""

    PAGE = "help"
    BINDINGS = keys.bindings("help")

    def __init__(self, bench: Bench, page: str, text: str, bindings: Sequence[ActiveBinding]) -> None:
        super().__init__(bench, f"Help: {_NAMES.get(page, page)}", self._lines, f"help-{page}")
        self.about = page
        self.text = text
        self.bindings = bindings
        self.checking = False

    def _lines(self, width: int) -> list[Line]:
        return help_lines(self.about, self.text, self.bindings, width, self.room)

    def foot_state(self) -> str:
        return "help.check" if self.checking else "help"

    def action_check(self) -> None:
        self.checking = True
        self.tell("Press a key to see what arrives here. Esc ends the check.")

    async def on_key(self, event: KeyPress) -> None:
        if not self.checking:
            return
        event.stop()
        event.prevent_default()
        if event.key == "escape":
            self.checking = False
            self.tell("")
        else:
            self.tell(arrived(event.key, self.bindings))


def arrived(name: str, bindings: Iterable[ActiveBinding]) -> str:
    """What a key is called and does on a screen, in words."""
    for active in bindings:
        if active.binding.key == name and active.binding.id:
            return f"{keys.written(name)} arrived. On this screen: {active.binding.tooltip}."
    return f"{keys.written(name)} arrived. It does nothing on this screen."


def help_lines(page: str, text: str, bindings: Sequence[ActiveBinding], width: int, room: int) -> list[Line]:
    """Two pages of `room` lines: keys, then words and signs."""
    lines: list[Line] = ["", *(f" {row}" for row in wrapped(text, width - 3)), ""]
    half = (width - 2) // 2
    found = _by_key(bindings)
    here = {key: names for key, names in found.items() if key.where != "all"}
    everywhere = {key: names for key, names in found.items() if key.where == "all"}
    lines.append(((" " + cell("Here", half), "strong"), ("Everywhere", "strong")))
    for left, right in zip_longest(_rows(here, half - 1), _rows(everywhere, half - 1), fillvalue=""):
        lines.append(f" {cell(left, half)}{right}")
    lines += ["", " Digits answer, letters act. While you type text, letters are text; Esc ends it."]
    if page == "look":
        lines.append(" On a keypad: digits, Enter, + region after, - undo, * look again.")
    lines += [""] * (-len(lines) % room)
    lines += ["", ((" Grades, ITU-R BT.500 impairment scale", "strong"),)]
    lines += [f"   {grade}   {word}" for grade, word in GRADE_WORDS.items()]
    lines += ["", ((" Signs", "strong"),), *_pairs(_SIGNS, width)]
    lines += ["", ((" Words", "strong"),), *_pairs(_WORDS, width)]
    return lines


def _by_key(bindings: Iterable[ActiveBinding]) -> dict[Key, list[str]]:
    """The keys that stand for each row of the table on this screen, in the table's order."""
    found: dict[Key, list[str]] = {}
    for active in bindings:
        key = keys.of_binding(active.binding.id)
        if key is not None:
            found.setdefault(key, []).append(active.binding.key)
    return dict(sorted(found.items(), key=lambda item: keys.KEYS.index(item[0])))


def _rows(found: Mapping[Key, Sequence[str]], width: int) -> list[str]:
    """Keys as "key   what it does", wrapped under itself; bindings with one way of writing share a row."""
    rows: list[str] = []
    if any(key.show == "arrows" for key in found):
        rows += _entry("arrows", "Move; or h j k l. Left closes an opened row", width)
    for key, names in found.items():
        if key.show == "arrows":
            continue
        own = [name for name in key.names if name in names and name not in ("multiply", "add", "subtract")]
        written = key.show if key.show and own else " ".join(map(keys.written, own or names))
        rows += _entry(written, _places(written) if key.id == "go" else key.tooltip, width)
    return rows


def _places(go: str) -> str:
    """Where the key leads, with the key that follows it."""
    to = (f"{keys.shown(key, {})} {key.label}" for key in keys.keys_of("go") if key.id != "go.stay")
    return f"Go, with one more key: {', '.join(to)}"


def _entry(name: str, what: str, width: int) -> list[str]:
    first, *rest = wrapped(what, width - 11)
    return [f"  {cell(name, 9)}{first}", *(f"{'':11}{row}" for row in rest)]


def _pairs(pairs: Sequence[tuple[str, str]], width: int) -> list[Line]:
    lines: list[Line] = []
    for name, what in pairs:
        first, *rest = wrapped(what, width - 22)
        lines.append(f"   {cell(name, 17)}{first}")
        lines += [f"{'':20}{row}" for row in rest]
    return lines
