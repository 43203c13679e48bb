"""Every command of the command line with its options."""

import argparse
from functools import cache
from pathlib import Path
from typing import Any

from evaluation.session import USES
from tui.option_groups import (
    SESSION,
    bundle_options,
    compare_options,
    export_options,
    facts_options,
    gamut_options,
    merge_options,
    plan_of_loan,
    reading_options,
    sheet_options,
    side_by_side,
)
from tui.parsing import Parser

DESCRIPTION = "Evaluate a print: the eye region by region, then the readings, then both."


@cache
def parser() -> argparse.ArgumentParser:
    """Every command with its options, made once. Of `evaluation` only words are imported for this."""
    top = Parser(prog="drydown", description=DESCRIPTION)
    top.add_argument("--version", action=_Version, nargs=0, help="show the version and exit")
    _archive(top)
    top.add_argument("--watch", type=Path, metavar="DIR", help="offer new measurement files of this folder")
    top.add_argument("--no-mouse", action="store_true", help="leave the mouse to the terminal")
    top.add_argument("--no-animation", action="store_true", help="change screens at once")
    commands = top.add_subparsers(dest="command", metavar="COMMAND")

    demo = commands.add_parser("demo", help="open the app on a fresh copy of the demo archive")
    demo.add_argument("--to", type=Path, metavar="PATH", help="only write the demo archive there")

    sheet_options(_command(commands, "sheet", "draw the reference sheet, or check a map of one"))

    new = _command(commands, "new", "begin a session and print its number")
    source = new.add_mutually_exclusive_group()
    source.add_argument("--from", dest="source", type=Path, metavar="CONDITION.toml or PROFILE.icc")
    source.add_argument("--template", action="store_true", help="print a blank form")
    source.add_argument(
        "--like", metavar="SESSION", help="with the condition and sheet of an earlier session"
    )
    new.add_argument("--sheet", type=Path, metavar="MAP.toml", help="the map of a test image of your own")
    new.add_argument("--anyway", action="store_true", help="even if the profile is of no printer")
    new.add_argument("--sheet-code", metavar="CODE", help="the code printed on the sheet: finds its map")
    listing = _command(commands, "list", "sessions, newest first")
    listing.add_argument("--removed", action="store_true", help="removed sessions, the latest first")

    back = _command(commands, "bring-back", "put removed sessions back on the list")
    back.add_argument(
        "sessions", nargs="+", metavar="SESSION", help="its number, as `list --removed` shows it"
    )

    read = _command(commands, "read", "take in readings")
    read.add_argument("session", metavar="SESSION", help=SESSION)
    read.add_argument("files", nargs="+", type=Path, metavar="FILE")
    reading_options(read)
    read.add_argument(
        "--made-from-these",
        action="store_true",
        help="the profile was made from these readings, printed unmanaged",
    )
    read.add_argument(
        "--with", dest="device_list", type=Path, metavar="LIST", help="the file that lists what was printed"
    )
    read.add_argument(
        "--by-order", action="store_true", help="rows are in the order of the sheet's patches, or of LIST"
    )
    read.add_argument(
        "--anyway",
        action="store_true",
        help="even if the file names another paper or printer, or an earlier day",
    )

    chart = _command(commands, "chart", "profiling data: paper, black, greys; has the machine moved")
    chart.add_argument("sessions", nargs="+", metavar="SESSION", help=SESSION)
    chart.add_argument(
        "--take-over",
        metavar="SESSION",
        help="use the profiling data of this session for the first one too",
    )

    grade = _command(commands, "grade", "record a viewing made on paper")
    grade.add_argument("session", metavar="SESSION", help=SESSION)
    source = grade.add_mutually_exclusive_group(required=True)
    source.add_argument("--from", dest="source", type=Path, metavar="GRADES.toml")
    source.add_argument("--template", action="store_true", help="print a blank form")

    weigh = _command(commands, "weigh", "findings, verdict and likely causes")
    weigh.add_argument("session", metavar="SESSION", help=SESSION)
    weigh.add_argument("--for", dest="use", choices=USES, help="the use; as the session says otherwise")
    weigh.add_argument("--observers", action="store_true", help="what each observer graded, and how alike")
    weigh.add_argument("--set-aside", type=int, metavar="VIEWING", help="leave a viewing out, with --because")
    weigh.add_argument(
        "--because", default="", metavar="REASON", help="the reason; kept, and shown with both results"
    )
    weigh.add_argument("--take-in", type=int, metavar="VIEWING", help="let a viewing count again")
    _reveal(weigh)

    compare_options(_command(commands, "compare", "prints side by side, and what differs in words"))

    side_by_side(_command(commands, "sidebyside", "two prints at a time under letters: which is better"))

    plan_of_loan(_command(commands, "plan", "a printer on loan: what to do next, what can still be done"))
    references = _command(
        commands, "references", "own prints graded again: what is due, how steady an eye is"
    )
    references.add_argument(
        "--keep", nargs="*", metavar="SESSION", help="keep these prints and no others; without any, keep none"
    )

    neutrality = _command(
        commands,
        "neutrality",
        "whether prints are neutral from paper to black, and in which light; modes of one paper side by side",
    )
    neutrality.add_argument("sessions", nargs="+", metavar="SESSION", help=SESSION)
    neutrality.add_argument(
        "--lamp",
        action="append",
        default=[],
        metavar="FILE.csv",
        help="the spectrum of a lamp, as CSV or TM-27; may be repeated",
    )
    neutrality.add_argument(
        "--light",
        action="append",
        default=[],
        metavar="NAME",
        help="a light by its name, as `drydown lamp` lists them; may be repeated",
    )
    neutrality.add_argument(
        "--tone", help="the tone wanted: neutral, warm, cool, “like 3”; else as described"
    )
    _reveal(neutrality)

    lamp = _command(commands, "lamp", "how a lamp shows prints; else all lights by name", archive=False)
    lamp.add_argument("lamps", nargs="*", metavar="LAMP", help="FILE.csv, TM-27, or a light by its name")

    contents = _command(
        commands, "contents", "what is in a measurement file or an ICC profile", archive=False
    )
    contents.add_argument("file", type=Path, metavar="FILE")
    reading_options(contents)

    gamut = _command(
        commands,
        "gamut",
        "the share of a picture that profiles hold; settings stepped through; slices, hues and volume",
    )
    gamut_options(gamut)

    appendix = _command(commands, "appendix", "write the review appendix")
    appendix.add_argument("sessions", nargs="+", metavar="SESSION", help=SESSION)
    appendix.add_argument("-o", "--out", type=Path, required=True, metavar="FILE.html/.md/.pdf")
    appendix.add_argument("--replace", action="store_true", help="overwrite files that exist")
    appendix.add_argument("--parts", choices=("article", "whole", "summary", "neutrality"), default="article")
    appendix.add_argument("--paper", choices=("a4", "us-letter"), help="of a PDF; else of the style, else a4")
    appendix.add_argument(
        "--observers", choices=("role", "name"), default="role", help="what they are called"
    )
    appendix.add_argument(
        "--data", action="store_true", help="also readings, grades and findings, in a folder next to it"
    )
    appendix.add_argument("--figures", type=Path, metavar="DIR", help="every plot as SVG, PNG and numbers")
    appendix.add_argument("--style", type=Path, metavar="FILE", help="a house style, .css or .toml")
    _reveal(appendix)

    facts = _command(commands, "facts", "facts that readers ask for: ink, time, cost, curl, noise, paper")
    facts.add_argument("session", nargs="?", metavar="SESSION", help=SESSION)
    facts_options(facts)

    attach = _command(commands, "attach", "keep a photograph of a fault for the appendix")
    attach.add_argument("session", metavar="SESSION", help=SESSION)
    attach.add_argument("region", metavar="REGION", help="as in the session's form: skin, shadow, ...")
    attach.add_argument("file", type=Path, metavar="PICTURE")
    attach.add_argument("--fault", default="", help="by the name in the form")
    attach.add_argument("--caption", default="")

    check = _command(
        commands,
        "check",
        "whether the archive is sound; whether an appendix is unchanged; whether numbers hold",
    )
    check.add_argument("file", nargs="?", type=Path, metavar="FILE", help="an archive or an appendix")
    check.add_argument("--numbers", metavar="SESSION", help="recompute its colours and compare")

    settings = _command(commands, "settings", "what a weighing goes by, with sources")
    study = settings.add_mutually_exclusive_group()
    study.add_argument("--sensitivity", metavar="SESSION", help="which limits its verdicts depend on")
    study.add_argument(
        "--from-decisions",
        type=Path,
        metavar="FILE",
        help="fit the limits of a verdict to lines such as “12, accepted”, “13, with remarks”, “14, refused”",
    )
    study.add_argument(
        "--calibrate",
        nargs="+",
        metavar=("NAME", "SESSION"),
        help="an observer's calibration from sessions, as lines for weighing.toml",
    )

    backup = _command(commands, "backup", "copy the archive")
    backup.add_argument("file", type=Path, metavar="FILE")

    bundle_options(_command(commands, "bundle", "sessions in one file, for somebody else's archive"))
    merge_options(
        _command(commands, "merge", "take in bundles; without one, list what is still to be chosen")
    )
    export_options(_command(commands, "export", "archives as tables, for other programs"))

    commands.add_parser("keys", help="every key of the app, and its name in drydown.toml")

    schema = commands.add_parser("schema", help="the shape of what a command prints with --json")
    schema.add_argument("of", nargs="?", metavar="COMMAND", help="without one, the commands that have one")
    return top


def _command(
    commands: "argparse._SubParsersAction[argparse.ArgumentParser]",
    name: str,
    text: str,
    *,
    archive: bool = True,
) -> argparse.ArgumentParser:
    command = commands.add_parser(name, help=text, description=text[:1].upper() + text[1:] + ".")
    if archive:
        _archive(command)
    command.add_argument("--json", action="store_true", help="print the result as JSON")
    return command


def _archive(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--archive",
        type=Path,
        metavar="PATH",
        default=argparse.SUPPRESS,
        help="the archive; else DRYDOWN_ARCHIVE, else the one in your data folder",
    )


def _reveal(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--reveal",
        action="store_true",
        help="show readings of regions without a grade; that is recorded and marks later grades",
    )


class _Version(argparse.Action):
    """The version, looked up only when it is asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> None:
        from importlib.metadata import version

        parser.exit(message=f"drydown {version('drydown')}\n")
