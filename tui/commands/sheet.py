"""`drydown sheet`: draw the reference sheet, check a map of one's own, or start one from a picture."""

from argparse import Namespace
from typing import Any

from evaluation.errors import UsageProblem
from evaluation.work.describe import sheets
from evaluation.work.describe.begin import read_text
from tui.out import Out
from tui.place import bench

_RASTER = (
    "Drawn for 300 pixels an inch, since no resolution was asked for. Where the driver works at 360 or 720, "
    "draw it with --ppi: single pixels and the finest lines show the printer only on its own raster."
)


def run(args: Namespace, out: Out) -> int:
    """One of three jobs, by what was given."""
    if args.check is not None:
        return _check(args, out)
    if args.map_from is not None:
        return _start_map(args, out)
    if args.out is None:
        raise UsageProblem(
            sheets.NO_SHEET,
            expected="OUT.tif, --check MAP.toml or --map-from IMAGE",
            found="none of them",
        )
    return _draw(args, out)


def _draw(args: Namespace, out: Out) -> int:
    from evaluation.sheet import request, sizes

    sheets.refuse_taken(args.out, overwrite=args.replace)
    wanted = request.SheetRequest(
        size_mm=sizes.size_mm(args.size),
        ppi=args.ppi or request.USUAL_PPI,
        encoding=args.encoding,
        mono=args.mono,
        pictures=tuple(args.picture or ()),
        margins=tuple(args.margins) if args.margins else (request.MARGIN_MM,) * 4,
        roll_mm=sizes.roll_mm(args.roll) if args.roll else None,
        feed=args.feed,
        scenes=not args.no_pictures,
        pages=not args.no_pages,
        form=not args.no_form,
        form_size=args.form,
    )
    with bench(getattr(args, "archive", None), create=True) as at:
        written, known = sheets.draw(at, wanted, args.out, out.progress())
    remarks = written.remarks if args.ppi else (*written.remarks, _RASTER)
    files = [written.sheet, *written.leaves, written.patches, written.map, written.form, *written.pages]
    if out.as_json:
        names = [str(file) for file in files if file is not None]
        out.result({"files": names, "code": written.code, "remarks": list(remarks)})
        return 0
    for file in files:
        if file is not None:
            out.line(f"Written: {file}")
    tie = "--sheet-code" if known else f"--sheet {written.map.name}"
    out.line(f"Code of this sheet: {written.code}. `drydown new {tie}` ties a print of it to its session.")
    for remark in remarks:
        out.line(remark)
    return 0


def _check(args: Namespace, out: Out) -> int:
    text = read_text(args.check, "The map was not read.")
    sheet = sheets.checked_map(text, args.check.name)
    facts: dict[str, Any] = {
        "title": sheet.title,
        "regions": len(sheet.regions),
        "questions": sum(len(region.questions) for region in sheet.regions),
        "patches": len(sheet.patches),
        "paper": sheet.paper_patch,
        "black": sheet.black_patch,
    }
    if out.as_json:
        out.result({"map": str(args.check), **facts})
    else:
        out.table(("what", "it holds"), list(facts.items()))
        out.line("The map can be used.")
    return 0


def _start_map(args: Namespace, out: Out) -> int:
    from evaluation.sheet import from_image  # Pillow comes with it
    from evaluation.work.onto_disk import put

    path = args.out or args.map_from.with_suffix(".sheet.toml")
    sheets.refuse_ending(path, ".toml")
    sheets.refuse_taken(path, overwrite=args.replace)
    put(path, from_image.map_from_image(args.map_from).encode("utf-8"), "No map was started.")
    if out.as_json:
        out.result({"file": str(path)})
    else:
        out.line(f"Written: {path}. Say what each region shows, then try it with --check.")
    return 0
