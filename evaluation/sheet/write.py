"""The files of one sheet: the picture, its patch pages, the patch list, the map and the paper form.

All are written into a folder beside their place and moved there once complete, so that an interrupted run
changes nothing.
"""

import secrets
import shutil
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import replace
from functools import partial
from pathlib import Path

from evaluation import unfinished
from evaluation.errors import FileProblem, UsageProblem
from evaluation.profile.matrix_profile import matrix_profile
from evaluation.sheet.compose import SCENES_OF, Composition, compose
from evaluation.sheet.form import form_pdf
from evaluation.sheet.large import CARE
from evaluation.sheet.layout import Patch
from evaluation.sheet.marks import KeptPixels, Mark
from evaluation.sheet.paint import strips
from evaluation.sheet.patch_list import patch_list
from evaluation.sheet.patch_pages import PatchPage, patch_pages
from evaluation.sheet.patch_set import COLOUR_KINDS, MONO_KINDS, OPTIONAL_KINDS, short_list
from evaluation.sheet.picture import placed_picture
from evaluation.sheet.request import OWN_PICTURES, Progress, SheetFiles, SheetRequest
from evaluation.sheet.scenes import encode, shelf
from evaluation.sheet.sizes import on_roll, size_name
from evaluation.sheet.tiff import write_tiff
from evaluation.sheet.tints import DEEP_BLACK
from evaluation.system_words import unwritten

_SUFFIXES = (".tif", ".tiff")


def write_sheet(request: SheetRequest, out: Path, progress: Progress | None = None) -> SheetFiles:
    """Write `out` (a .tif) and, beside it, OUT.patches.txt, OUT.sheet.toml, OUT.form.pdf, OUT.page-1.tif ...

    Raises UsageProblem for a request that cannot be drawn, FileProblem for a picture or folder that cannot be
    used, and what `progress` raises; no file is written or changed then.
    """
    request = request.checked()
    if out.suffix.lower() not in _SUFFIXES:
        raise UsageProblem(
            "No sheet was written.",
            where=out.name,
            expected="a name that ends in .tif",
            found=f"“{out.suffix}”" if out.suffix else "no ending",
        )
    all_kinds: tuple[str, ...] = MONO_KINDS if request.mono else COLOUR_KINDS
    unused = (*OWN_PICTURES[len(request.pictures) :], *(() if request.scenes else SCENES_OF))
    kinds = tuple(kind for kind in all_kinds if kind not in unused)
    seed = secrets.randbelow(2**31) if request.seed is None else request.seed
    composition = compose(
        request.size_mm,
        request.ppi,
        request.encoding,
        seed,
        kinds=kinds,
        margins=request.margins,
        feed=request.fed,
    )
    pages = _pages(request, composition) if request.pages else ()
    stem = out.name.removesuffix(out.suffix)
    names = SheetFiles(
        sheet=out,
        leaves=tuple(out.with_name(f"{stem}.leaf-{n}.tif") for n in range(2, len(composition.leaves) + 1)),
        patches=out.with_name(f"{stem}.patches.txt"),
        map=out.with_name(f"{stem}.sheet.toml"),
        form=out.with_name(f"{stem}.form.pdf") if request.form else None,
        pages=tuple(out.with_name(f"{stem}.page-{number}.tif") for number in range(1, len(pages) + 1)),
        code=composition.sheet.code,
        remarks=(),
    )
    folder = _beside(out)
    try:
        remarks = _write_all(request, composition, pages, names, folder, progress)
        for path in (*names.pages, names.patches, names.map, names.form, *names.leaves, names.sheet):
            if path is not None:
                (folder / path.name).replace(path)
    except OSError as problem:
        raise _not_writable(out, problem) from None
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return replace(names, remarks=remarks)


def _beside(out: Path) -> Path:
    """A temporary folder on the same disk, so that a file is moved in one step."""
    try:
        folder = unfinished.beside(out)
        folder.mkdir(mode=0o700)
        return folder
    except OSError as problem:
        raise _not_writable(out, problem) from None


def _not_writable(out: Path, problem: OSError) -> FileProblem:
    found, remedy = unwritten(problem)
    return FileProblem(
        "No sheet was written.",
        where=str(out.parent),
        expected="a folder that can be written to, with room in it",
        found=found,
        remedy=remedy,
    )


def _pages(request: SheetRequest, composition: Composition) -> tuple[PatchPage, ...]:
    sheet = composition.sheet
    assert sheet.seed is not None
    return patch_pages(
        sheet.patches, request.size_mm, request.margins, request.ppi, request.encoding, sheet.code, sheet.seed
    )


def _write_all(
    request: SheetRequest,
    composition: Composition,
    pages: Sequence[PatchPage],
    names: SheetFiles,
    folder: Path,
    progress: Progress | None,
) -> tuple[str, ...]:
    sheet = composition.sheet
    profile = matrix_profile(request.encoding)
    remarks: list[str] = []
    size = (composition.width, composition.height)
    about = f"{sheet.title}, sheet code {sheet.code}"
    spare = folder / "pictures"
    spare.mkdir()
    with ExitStack() as stack:
        own: dict[int, list[Mark]] = {}  # opened before anything is drawn
        for slot, picture in zip(composition.slots, request.pictures, strict=True):
            placed = placed_picture(picture, slot.box, request.encoding, request.ppi)
            mark, about_picture = stack.enter_context(placed)
            own.setdefault(slot.leaf, []).append(mark)
            remarks += about_picture
        hung = _hung(composition, request, spare, progress)
        for number, (path, drawn) in enumerate(
            zip((names.sheet, *names.leaves), composition.leaves, strict=True), 1
        ):
            marks = [*drawn, *own.get(number, ()), *hung.get(number, ())]
            painted = strips(*size, marks)
            write_tiff(folder / path.name, painted, size, request.ppi, profile, about, progress)
    for path, page in zip(names.pages, pages, strict=True):
        size = (page.width, page.height)
        painted = strips(*size, page.marks)
        write_tiff(folder / path.name, painted, size, request.ppi, profile, about, progress)
    places = [(field.patch, field.place, field.again) for page in pages for field in page.places]
    listed = patch_list(sheet, places, short_list(sheet.patches, request.mono))
    (folder / names.patches.name).write_text(listed, encoding="utf-8")
    remark = (
        f"{size_name(request.size_mm)}, {request.ppi} ppi. Areas in fractions of the sheet, mm in comments."
    )
    (folder / names.map.name).write_text(_with_remark(composition.map_text, remark), encoding="utf-8")
    if names.form is not None:
        (folder / names.form.name).write_bytes(form_pdf(sheet, request.form_size))
    if request.roll_mm is not None:
        remarks.append(on_roll(request.size_mm, request.roll_mm))
    if any(patch.series == DEEP_BLACK for patch in sheet.patches):
        remarks.append(CARE)
    if names.leaves:
        further = " and ".join(path.name for path in names.leaves)
        remarks.append(f"The pictures are on further leaves, which may be left out: {further}.")
    if len(pages) > 1:
        remarks.append(_page_remark(pages, sheet.patches))
    return tuple(remarks)


def _hung(
    composition: Composition, request: SheetRequest, spare: Path, progress: Progress | None
) -> dict[int, list[Mark]]:
    """The program's pictures as marks, leaf by leaf."""
    wanted = {each: shelf.Wanted(each.name, each.width_mm, request.ppi) for each in composition.hung}
    at_hand = shelf.pictures(tuple(dict.fromkeys(wanted.values())), spare, progress)

    encoded = partial(encode.of_kept, encoding=request.encoding, grey=request.mono)
    marks: dict[int, list[Mark]] = {}
    for each, picture in wanted.items():
        marks.setdefault(each.leaf, []).append(KeptPixels(each.box, at_hand[picture], encoded))
    return marks


def _page_remark(pages: Sequence[PatchPage], patches: Sequence[Patch]) -> str:
    optional_ids = {patch.id for patch in patches if patch.region in OPTIONAL_KINDS}
    optional = [
        number
        for number, page in enumerate(pages, 1)
        if all(field.patch in optional_ids for field in page.places)
    ]
    if not optional:
        return f"The patches take {len(pages)} pages."
    return (
        f"The patches take {len(pages)} pages; from page {optional[0]} on they are rings and gradients, "
        "which may be left out."
    )


def _with_remark(map_text: str, remark: str) -> str:
    return f"# {remark}\n{map_text}"
