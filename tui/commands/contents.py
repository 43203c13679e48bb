"""`drydown contents`: what a measurement file or an ICC profile holds."""

from argparse import Namespace

from evaluation.work.contents import contents
from tui.commands.saying import said
from tui.out import Out


def run(args: Namespace, out: Out) -> int:
    """One fact a line; lists and tables inside a fact are written out flat."""
    facts = contents(args.file, said(args))
    if out.as_json:
        out.result(facts)
    else:
        out.table(
            ("what", "it holds"), [(key.replace("_", " "), _flat(value)) for key, value in facts.items()]
        )
    return 0


def _flat(value: object) -> str:
    match value:
        case None | [] | {}:
            return "not stated"
        case bool():
            return "yes" if value else "no"
        case float():
            return f"{value:.2f}"
        case dict():
            return ", ".join(f"{key} {_flat(inner)}" for key, inner in value.items())
        case list() | tuple():
            return ", ".join(_flat(inner) for inner in value)
    return str(value)
