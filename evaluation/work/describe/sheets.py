"""Sheets: which one a print asks for, drawing one, checking a map of one's own, finding one by its code."""

from contextlib import suppress
from pathlib import Path

from evaluation.archive import documents, habits, held
from evaluation.errors import UsageProblem
from evaluation.session import PrintingCondition
from evaluation.sheet import load
from evaluation.sheet.code import normal_code
from evaluation.sheet.layout import Sheet
from evaluation.sheet.request import Progress, SheetFiles, SheetRequest
from evaluation.work.bench import Bench

COLOUR = "colour-13"
MONO = "mono-10"
EARLIER = ("colour-9", "mono-7")  # of sheets drawn before there were pictures on them
NO_SHEET = "No sheet was written."
_CODE = "sheet code "  # habits under which the maps of drawn sheets are found
_CODES = "sheet codes"  # the habit that lists them, newest first
_MOST_CODES = 20


def sheet_for(condition: PrintingCondition, in_place_of: str = "") -> str:
    """Name of the built-in map for what the print is made for; in place of an earlier one an earlier one."""
    colour, mono = EARLIER if in_place_of in EARLIER else (COLOUR, MONO)
    return mono if condition.made_for == "black and white" else colour


def checked_map(text: str, where: str) -> Sheet:
    """The sheet a map describes. Raises SheetProblem that names every mistake by its key path."""
    return load.read_map(text, where)


def refuse_taken(path: Path, *, overwrite: bool) -> None:
    """Raise UsageProblem when a file is there already and may not be written over."""
    if path.exists() and not overwrite:
        raise UsageProblem(
            NO_SHEET,
            where=str(path),
            expected="a free name",
            found="a file of that name",
            remedy="Name another, or add --replace.",
        )


def refuse_ending(path: Path, ending: str) -> None:
    """Raise UsageProblem for a name of another ending: a map must never land on a picture."""
    if path.suffix.lower() != ending:
        raise UsageProblem(
            "No map was written.",
            where=path.name,
            expected=f"a name that ends in {ending}",
            found=f"“{path.suffix}”" if path.suffix else "no ending",
        )


def draw(
    bench: Bench, wanted: SheetRequest, out: Path, progress: Progress | None = None
) -> tuple[SheetFiles, bool]:
    """Draw a sheet and keep its map, so that its printed code finds it again; whether the archive could.

    Raises what `write_sheet` raises, and FileProblem for a file of the archive.
    """
    from evaluation.sheet.write import write_sheet  # pyvips comes with the drawing

    for path in (out, *wanted.pictures):
        held.refuse(path, NO_SHEET)
    written = write_sheet(wanted, out, progress)
    kept = not bench.archive.read_only
    if kept:
        remember(bench, written.map.read_text("utf-8"), written.map.name, written.code)
    return written, kept


def remember(bench: Bench, map_text: str, name: str, code: str) -> None:
    """Keep the map of a sheet that was drawn, so that its printed code finds it again."""
    with bench.archive.transaction():
        digest = documents.keep(bench.archive, "sheet", name, map_text.encode("utf-8"))
        note_code(bench, code, digest)


def note_code(bench: Bench, code: str, digest: str) -> None:
    """Let the code of a sheet find its kept map from now on; what is no code of ours finds nothing."""
    with suppress(UsageProblem):
        code = normal_code(code)
        habits.remember(bench.archive, f"{_CODE}{code}", digest)
        habits.remember(bench.archive, _CODES, list(dict.fromkeys([code, *known_codes(bench)]))[:_MOST_CODES])


def known_codes(bench: Bench) -> tuple[str, ...]:
    """Codes of the sheets that were last drawn with this archive, newest first."""
    codes = habits.recall(bench.archive, _CODES)
    return tuple(code for code in codes if isinstance(code, str)) if isinstance(codes, list) else ()


def by_code(bench: Bench, code: str) -> tuple[str, str]:
    """Name and text of the map of the sheet with this code. Raises UsageProblem when it is not known."""
    wanted = normal_code(code)
    digest = habits.recall(bench.archive, f"{_CODE}{wanted}")
    if digest is None:
        for name in load.built_in():
            text = load.map_text(name)
            if load.read_map(text, name).code == wanted:
                return name, text
        raise UsageProblem(
            "The sheet was not found.",
            where="sheet code",
            expected="the code of a sheet that this archive knows",
            found=f"{wanted}, whose map it does not have",
            remedy="The map is where the sheet was drawn, next to its picture, as OUT.sheet.toml: give it "
            "with drydown new --sheet, once, and the code is known here too. Or ask whoever sent you "
            "the sheet.",
        )
    name, content = documents.fetch(bench.archive, str(digest))
    return name, content.decode("utf-8")


def refuse_other_code(sheet: Sheet, code: str) -> None:
    """Raise UsageProblem when a map is not that of the sheet whose code was read off the print."""
    if sheet.code != normal_code(code):
        raise UsageProblem(
            "No session was begun.",
            where="sheet code",
            expected=f"{sheet.code or 'no code'}, as the map says",
            found=normal_code(code),
            remedy="Give the map that was written beside the sheet you printed.",
        )
