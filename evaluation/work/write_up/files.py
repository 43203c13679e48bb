"""An appendix as files: the page in its format, and the files next to it."""

from pathlib import Path

from evaluation.appendix import data, html, markdown, pdf
from evaluation.appendix.document import Document, Picture
from evaluation.appendix.style import Style
from evaluation.telling.figure import Figure


def rendered(document: Document, path: Path, style: Style) -> tuple[bytes, str]:
    """The bytes of the file, and what its reader must know of them."""
    match path.suffix.lower():
        case ".html":
            return html.render(document, style.css).encode("utf-8"), ""
        case ".pdf":
            pages = pdf.render(document)
            return pages.content, pages.remark
    beside = {
        block.id: f"{_pictures_of(path).name}/{_picture_name(block)}"
        for block in document.blocks()
        if isinstance(block, Figure | Picture)
    }
    return markdown.render(document, beside).encode("utf-8"), ""


def beside(document: Document, path: Path, figures: Path | None) -> dict[Path, bytes]:
    """The files that go with the appendix: pictures of Markdown, and every plot where a folder is named."""
    found: dict[Path, bytes] = {}
    drawn = [block for block in document.blocks() if isinstance(block, Figure | Picture)]
    if path.suffix.lower() == ".md":
        found |= {_pictures_of(path) / _picture_name(block): data.picture(block) for block in drawn}
    for block in drawn if figures is not None else ():
        if isinstance(block, Figure):
            found |= {figures / name: made for name, made in data.figure_files(block).items()}  # type: ignore[operator]
    return found


def _pictures_of(path: Path) -> Path:
    return path.with_name(f"{data.file_name(path.stem)}-pictures")


def _picture_name(block: Figure | Picture) -> str:
    return f"{block.id}.svg" if isinstance(block, Figure) else f"{block.id}.jpg"
