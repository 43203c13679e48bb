"""`drydown schema`: the shape of what a command prints with `--json`, as JSON Schema."""

from argparse import Namespace

from evaluation.documents.schema import DOCUMENTS, schema
from evaluation.errors import UsageProblem
from evaluation.plain_text import quoted
from tui.out import Out


def run(args: Namespace, out: Out) -> int:
    """Print the schema of one command; without one, the names of those that have one."""
    if args.of is None:
        for name in DOCUMENTS:
            out.line(name)
        return 0
    if args.of not in DOCUMENTS:
        raise UsageProblem(
            "No schema was printed.",
            expected=f"a command that takes --json: {', '.join(DOCUMENTS)}",
            found=quoted(args.of, 40),
        )
    out.result(schema(args.of))
    return 0
