"""drydown.toml in the configuration folder: appearance and keymap. It never touches what a print is worth.

[appearance]
theme = "dark"          # dark, dim, light, plain (no colour codes at all)
plain_signs = false     # > # = in place of signs that some fonts draw two cells wide
mouse = true
animation = true

[look]
bounce_ms = 150         # the same digit again within this time is a bouncing key

[keys]                  # id of a binding = key or keys, the ids are those of `drydown keys`
"look.again" = "b"
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from evaluation.work.describe.begin import read_text
from tui.keys import BY_ID, SCREENS, keys_of

BOUNCE_MS = 150  # project's own choice
NAME = "drydown.toml"
_NOT_OPENED = "The app was not opened."


@dataclass(frozen=True, slots=True)
class Config:
    """What the user wants the app to look like and which keys they changed (binding id -> keys)."""

    theme: str = "dark"
    plain_signs: bool = False
    mouse: bool = True
    animation: bool = True
    bounce_ms: int = BOUNCE_MS
    keymap: Mapping[str, str] = field(default_factory=dict)


def load(folder: Path) -> Config:
    """The user's file, or what the app does without one. Raises SheetProblem or FileProblem."""
    path = folder / NAME
    return parsed(read_text(path, _NOT_OPENED), str(path)) if path.exists() else Config()


def parsed(text: str, where: str) -> Config:
    """The configuration in a text. Every mistake is told with its key path."""
    from evaluation import keyed
    from tui.theme import APPEARANCES

    top = keyed.parsed(text, where, what=_NOT_OPENED)
    look = top.table("appearance")
    theme = look.one_of("theme", APPEARANCES, "dark")
    plain_signs = look.yes("plain_signs", False)
    mouse, animation = look.yes("mouse", True), look.yes("animation", True)
    look.only()
    booth = top.table("look")
    bounce_ms = booth.whole("bounce_ms", BOUNCE_MS, low=0, high=2000)
    booth.only()
    keys = top.table("keys")
    keymap: dict[str, str] = {}
    for name in keys.names():
        if name not in BY_ID or BY_ID[name].fixed:
            keys.note(name, "no binding of that name; `drydown keys` lists them")
        wanted = keys.text(name, "")
        if not wanted.strip():
            keys.wrong(name, "a key, such as “b” or “f5”", wanted)
        keymap[name] = ",".join(part.strip() for part in wanted.split(","))
    for name, other, key in clashes(keymap):
        keys.note(name, f"{key} stands for {other} on the same screen")
    top.only()
    top.finish()
    return Config(theme, plain_signs, mouse, animation, bounce_ms, keymap)


def clashes(keymap: Mapping[str, str]) -> list[tuple[str, str, str]]:
    """Keys that would stand for two things on one screen: (changed id, other id, key)."""
    found: dict[tuple[str, str], tuple[str, str, str]] = {}
    for screen in SCREENS:
        owner: dict[str, str] = {}
        for key in sorted(keys_of(screen), key=lambda key: key.id in keymap):
            for name in keymap.get(key.id, key.keys).split(","):
                other = owner.setdefault(name, key.id)
                if other != key.id:
                    found[key.id, name] = (key.id, other, name)
    return list(found.values())
