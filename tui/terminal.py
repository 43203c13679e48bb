"""Whether there is a terminal to draw on."""

from collections.abc import Mapping

from evaluation.errors import UsageProblem


def refuse_dumb(environ: Mapping[str, str], *, terminal: bool) -> None:
    """Raise UsageProblem where there is no terminal to draw on."""
    remedy = "Every job has a command as well: `drydown --help` lists them."
    if not terminal:
        raise UsageProblem(
            "drydown without a command opens a screen, and this is no terminal.", remedy=remedy
        )
    if environ.get("TERM", "") in ("dumb", "unknown"):
        raise UsageProblem(
            f"drydown alone opens a screen, and this terminal (TERM={environ['TERM']}) has none.",
            remedy=remedy,
        )
