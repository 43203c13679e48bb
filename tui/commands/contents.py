"""`drydown contents`: what a measurement file or an ICC profile holds."""

from argparse import Namespace
from collections.abc import Iterator, Mapping
from typing import Final

from evaluation.work.take_in.contents import contents
from tui.commands.supplied import said
from tui.out import Out

# Facts whose key does not say their unit. The white of a profile is that of its colours' connection space.
_NAMES: Final = {"white": "white (XYZ, Y = 1)"}


def run(args: Namespace, out: Out) -> int:
    """One fact a line; a table inside a fact has its own lines, set in below it."""
    facts = contents(args.file, said(args))
    if out.as_json:
        out.result(facts)
    else:
        out.table(("what", "it holds"), list(_lines(facts)))
    return 0


def _lines(facts: Mapping[str, object], depth: int = 0) -> Iterator[tuple[str, str]]:
    """(what, it holds) of each fact; of several tables each under its number."""
    for key, value in facts.items():
        name = "  " * depth + _NAMES.get(key, key.replace("_", " "))
        match value:
            case None if key == "given":
                continue  # most files hold no densities
            case [dict(), *_]:
                for number, part in enumerate(value, 1):
                    yield f"{name} {number} of {len(value)}", ""
                    yield from _lines(part, depth + 1)
            case [str(), *_] if key == "warnings":
                for row, sentence in enumerate(value):
                    yield "" if row else name, _flat(sentence)
            case dict() if value and any(isinstance(inner, dict | str) for inner in value.values()):
                yield name, ""
                yield from _lines(value, depth + 1)
            case _:
                yield name, _flat(value)


def _flat(value: object) -> str:
    match value:
        case None:
            return "not stated"
        case bool():
            return "yes" if value else "no"
        case float():
            return f"{value:.2f}".rstrip("0").rstrip(".")
        case dict():
            return ", ".join(f"{key} {_flat(inner)}" for key, inner in value.items()) or "nothing"
        case list() | tuple():
            return ", ".join(_flat(inner) for inner in value) or "none"
    return str(value)
