"""Options that belong together, a function for each command that has many, or that several share."""

import argparse
from pathlib import Path

from evaluation.session import USES
from evaluation.sheet.layout import ENCODINGS, FEEDS
from tui.parsing import positive

SESSION = "its number, as `drydown list` shows it"


def side_by_side(beside: argparse.ArgumentParser) -> None:
    beside.add_argument("sessions", nargs="+", metavar="SESSION", help=SESSION)
    does = beside.add_mutually_exclusive_group()
    does.add_argument("--template", action="store_true", help="draw rounds; print their form, answers blank")
    does.add_argument("--from", dest="source", type=Path, metavar="FORM.toml", help="record a form")
    does.add_argument("--open", action="store_true", help="open the letters before the last answer; recorded")
    beside.add_argument(
        "--slips", type=Path, metavar="OUT.pdf", help="letters to cut out and lay on the prints"
    )
    beside.add_argument("--form", type=Path, metavar="OUT.pdf", help="the form for the booth, on paper")
    beside.add_argument(
        "--region",
        action="append",
        default=[],
        metavar="REGION",
        help="else the key regions; may be repeated",
    )
    beside.add_argument("--times", type=int, default=0, metavar="N", help="each pair is shown; else 12")
    beside.add_argument(
        "--at-once",
        type=int,
        choices=(2, 3),
        default=2,
        help="prints laid out at a time; three takes four prints or more",
    )
    beside.add_argument("--ask", choices=("better", "greyer"), default="better", help="what is asked")
    beside.add_argument("--observer", metavar="NAME", help="who looks; else observer 1")
    beside.add_argument("--triangles", type=int, metavar="N", help="a triangle test of two prints: the order")
    beside.add_argument("--right", type=int, metavar="K", help="of the triangles: what K right answers show")
    beside.add_argument("--replace", action="store_true", help="overwrite files that exist")


def plan_of_loan(plan: argparse.ArgumentParser) -> None:
    """Each of them enters one thing, or tells one; without any the plan is told."""
    one = ("PAPER", "SETTING")
    plan.add_argument("--loan", type=int, metavar="N", help="an earlier loan; else the newest")
    does = plan.add_mutually_exclusive_group()
    does.add_argument("--template", action="store_true", help="print a blank form")
    does.add_argument("--from", dest="source", type=Path, metavar="LOAN.toml", help="begin a loan")
    does.add_argument(
        "--session", nargs=2, metavar=one, help="print its session's number; starts one if there is none"
    )
    does.add_argument(
        "--done",
        nargs=3,
        metavar=("STEP", *one),
        help="charts or sheet: printed just now; profile, look, second: done",
    )
    does.add_argument("--lost", metavar="DAY", help="a day without any work; say it again to undo")
    does.add_argument("--leave-out", nargs=2, metavar=one, help="leave it out; say it again to put it back")
    does.add_argument("--paper", metavar="PAPER", help="one more, as “Rag 293: fine, finest”")
    does.add_argument("--undo", action="store_true", help="take the last entry back")
    does.add_argument("--ask", metavar="QUESTION", help="of a reader; with --who, --about PAPER, --region")
    does.add_argument("--answer", nargs=2, metavar=("N", "TEXT"), help="to a question; with --appendix FILE")
    does.add_argument("--questions", action="store_true", help="what readers asked")
    does.add_argument("--week", action="store_true", help="the days to come, as a table")
    does.add_argument("--csv", action="store_true", help="the same as CSV")
    does.add_argument("--calendar", type=Path, metavar="OUT.ics", help="the same as iCalendar, RFC 5545")
    plan.add_argument("--days", type=int, default=7, metavar="N", help="how many to come; else 7")
    plan.add_argument("--who", help="who asked")
    plan.add_argument("--about", metavar="PAPER", help="which paper a question is about")
    plan.add_argument("--region", help="which region a question is about")
    plan.add_argument("--appendix", metavar="FILE", help="where the answer is published")
    plan.add_argument("--replace", action="store_true", help="overwrite a file that exists")


def reading_options(command: argparse.ArgumentParser) -> None:
    """What a file may leave unsaid and a person can say; see `evaluation.readings.supplied`."""
    printed = command.add_mutually_exclusive_group()
    printed.add_argument("--managed", action="store_true", help="printed as a picture, through the profile")
    printed.add_argument(
        "--unmanaged", action="store_true", help="printed without a profile, as for profiling"
    )
    command.add_argument("--condition", choices=("M0", "M1", "M2", "M3"), help="ISO 13655")
    command.add_argument("--observer", choices=("2", "10"), help="degrees, of its CIELAB or XYZ")
    command.add_argument("--illuminant", help="of its CIELAB or XYZ, such as D50")
    command.add_argument("--backing", help="white, black, or in your words")
    command.add_argument("--geometry", help="such as 45/0")
    command.add_argument("--instrument", help="in your words")
    command.add_argument("--measured-at", metavar="DATE", help="when it was measured, as 2015-05-12")
    command.add_argument(
        "--rgb-scale", type=positive, metavar="N", help="what full RGB is: 1, 100, 255 or 65535"
    )
    command.add_argument("--ink-scale", type=positive, metavar="N", help="what full ink is: 1, 100 or 255")
    command.add_argument("--spectral-scale", choices=("fraction", "percent", "thousandths"))
    command.add_argument(
        "--xyz-scale", type=positive, metavar="N", help="Y of the perfect diffuser: 1 or 100"
    )
    command.add_argument("--decimal", choices=("point", "comma", "both"), help="the decimal mark of a file")
    command.add_argument(
        "--columns", metavar="A,B,...", help="names of the columns of a plain table, in order"
    )
    command.add_argument("--first-nm", type=positive, metavar="NM", help="wavelength of the first band")
    command.add_argument("--step-nm", type=positive, metavar="NM", help="step between bands")


def gamut_options(gamut: argparse.ArgumentParser) -> None:
    gamut.add_argument("profiles", nargs="*", type=Path, metavar="PROFILE")
    gamut.add_argument(
        "--sessions",
        nargs="+",
        default=[],
        metavar="SESSION",
        help="settings kept in the archive, the lowest first, by their profiling data, else their profiles",
    )
    gamut.add_argument("--picture", type=Path, metavar="FILE", help="the share of it that lies outside")
    gamut.add_argument("--without-compensation", action="store_true", help="printed without black mapping")
    gamut.add_argument("--csv", action="store_true", help="print the growth, a line a hue and third")
    gamut.add_argument("--plot", type=Path, metavar="OUT.svg", help="slices, the last setting over the first")
    gamut.add_argument("--replace", action="store_true", help="overwrite a picture that exists")


def bundle_options(bundle: argparse.ArgumentParser) -> None:
    bundle.add_argument("sessions", nargs="+", metavar="SESSION", help=SESSION)
    bundle.add_argument("-o", "--out", type=Path, required=True, metavar="FILE")
    bundle.add_argument("--without-pictures", action="store_true", help="without photographs of faults")
    bundle.add_argument(
        "--without-names",
        action="store_true",
        help="observers by role, without appendices and files of readings; only to be looked at",
    )


def export_options(export: argparse.ArgumentParser) -> None:
    export.add_argument("folder", type=Path, metavar="DIR", help="where the tables go; made if it is missing")
    export.add_argument(
        "archives", nargs="*", type=Path, metavar="ARCHIVE", help="archives or bundles; else the one in use"
    )
    export.add_argument(
        "--as",
        dest="formats",
        action="append",
        choices=("csv", "json", "parquet"),
        help="may be repeated; else CSV and JSON, and whatever is in DIR already",
    )
    export.add_argument("--without-names", action="store_true", help="observers by role")
    export.add_argument(
        "--processes", type=int, metavar="N", help="archives worked on at once; else one for each core"
    )


def merge_options(merge: argparse.ArgumentParser) -> None:
    merge.add_argument("files", nargs="*", type=Path, metavar="FILE", help="as `drydown bundle` wrote it")
    does = merge.add_mutually_exclusive_group()
    does.add_argument("--dry-run", action="store_true", help="only list what would come in")
    does.add_argument("--undo", action="store_true", help="put back what was there before the last merge")
    does.add_argument(
        "--choose",
        nargs=2,
        type=int,
        metavar=("DIFFERENCE", "VERSION"),
        help="let this version count, by the numbers that `drydown merge` lists",
    )


def facts_options(facts: argparse.ArgumentParser) -> None:
    facts.add_argument("--template", action="store_true", help="print a blank form")
    facts.add_argument("--from", dest="source", type=Path, metavar="FACTS.toml", help="record a form")
    facts.add_argument(
        "--say",
        action="append",
        default=[],
        metavar="FACT",
        help="state one, as in “noise: printing 57 dB, quiet 38 dB”; may be repeated",
    )


def compare_options(compare: argparse.ArgumentParser) -> None:
    compare.add_argument("sessions", nargs="+", metavar="SESSION", help=SESSION)
    compare.add_argument(
        "--base", metavar="SESSION", help="what the others are compared with; else the first"
    )
    compare.add_argument(
        "--for", dest="use", choices=USES, help="the use; else what the prints are made for, or general"
    )
    compare.add_argument("--csv", action="store_true", help="print a line for each region of each session")
    compare.add_argument(
        "--plot", type=Path, metavar="OUT.svg", help="write the curves of a region, laid over each other"
    )
    compare.add_argument("--region", metavar="REGION", help="of the picture; else the first of the sheet")
    compare.add_argument(
        "--curve", metavar="NAME", help="of the picture; else the one that explains the region"
    )
    compare.add_argument("--replace", action="store_true", help="overwrite a picture that exists")


def sheet_options(sheet: argparse.ArgumentParser) -> None:
    sheet.add_argument("out", nargs="?", type=Path, metavar="OUT.tif")
    sheet.add_argument(
        "--size",
        default="13x19in",
        help="A4, A3, A3+, A2, Letter, Tabloid, 13x19in, 400x600mm; at least 180 x 216 mm inside the margins",
    )
    sheet.add_argument("--ppi", type=int, help="the printer's native resolution, 150 to 720; else 300")
    sheet.add_argument("--encoding", choices=ENCODINGS, default="srgb")
    sheet.add_argument("--mono", action="store_true", help="for a driver's black-and-white mode")
    sheet.add_argument(
        "--picture",
        type=Path,
        metavar="FILE",
        action="append",
        help="a picture of your own, up to three times",
    )
    sheet.add_argument(
        "--margins", type=float, nargs=4, metavar="MM", help="top, right, bottom, left: what stays unprinted"
    )
    sheet.add_argument("--roll", metavar="WIDTH", help="say how it fits on a roll, as 24in")
    sheet.add_argument(
        "--feed", choices=FEEDS, help="its longer side runs along the feed, or across; else by sheet or roll"
    )
    sheet.add_argument("--no-pictures", action="store_true", help="without the program's own pictures")
    sheet.add_argument("--no-pages", action="store_true", help="without the pages of patches")
    sheet.add_argument(
        "--form", choices=("A4", "Letter"), help="paper of the booth form; else the sheet's own up to 13x19in"
    )
    sheet.add_argument("--no-form", action="store_true", help="without the paper form for the booth")
    sheet.add_argument(
        "--check", type=Path, metavar="MAP.toml", help="name every mistake of a map of your own"
    )
    sheet.add_argument(
        "--map-from", type=Path, metavar="IMAGE", help="start a map for a test image of your own"
    )
    sheet.add_argument("--replace", action="store_true", help="overwrite files that exist")
