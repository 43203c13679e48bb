"""Six sessions to HTML and PDF, beside matplotlib drawing the same plots and nothing else.

    uv run python tests/benchmarks/bench_appendix.py [ROUNDS]

The promise: HTML from the content tree at most 1.5 x matplotlib alone; PDF that plus typst's own time.
Rounds are interleaved; medians are printed. The content tree itself (weighing six sessions) is told apart.
"""

import io
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from evaluation.appendix import html, pdf, plots
from evaluation.appendix.document import Document
from evaluation.archive.connection import open_archive
from evaluation.telling.figure import Figure
from evaluation.work.bench import Bench
from evaluation.work.write_up import write_up
from fixtures.demo import build


def bare_matplotlib(figures: list[Figure]) -> None:
    """The least that draws the same curves with axes, labels and legend as SVG."""
    import matplotlib as mpl
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure as Canvas

    with mpl.rc_context({"svg.fonttype": "none", "figure.constrained_layout.use": True}):
        for figure in figures:
            canvas = Canvas(figsize=(6.3, 3.6))
            FigureCanvasSVG(canvas)
            axes = canvas.add_subplot()
            for series in figure.lines:
                axes.plot(series.x, series.y, marker="o")
            for name in {series.name for series in figure.lines}:
                axes.plot([], [], label=name)
            axes.set_xlabel(figure.x)
            axes.set_ylabel(figure.y)
            axes.legend()
            canvas.savefig(io.BytesIO(), format="svg")


def timed(what: Callable[[], object]) -> float:
    start = time.perf_counter()
    what()
    return time.perf_counter() - start


def page(document: Document) -> None:
    plots.svg.cache_clear()
    html.render(document)


def pages(document: Document) -> None:
    plots.svg.cache_clear()
    pdf.render(document)


def main(rounds: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        archive = Path(folder) / "demo.db"
        build(archive)
        with open_archive(archive) as opened:
            bench = Bench(opened)
            ids = [1, 2, 3, 4, 5, 6]
            tree = timed(lambda: write_up.appendix(bench, ids))
            document = write_up.appendix(bench, ids)
    figures = [block for block in document.blocks() if isinstance(block, Figure)]
    bare_matplotlib(figures[:1])  # its import is nobody's time here
    pdf.render(document)
    taken: dict[str, list[float]] = {"matplotlib": [], "html": [], "pdf": [], "typst": []}
    for _ in range(rounds):
        taken["matplotlib"].append(timed(lambda: bare_matplotlib(figures)))
        taken["html"].append(timed(lambda: page(document)))
        taken["pdf"].append(timed(lambda: pages(document)))
        taken["typst"].append(timed(lambda: pdf.render(document)))  # figures are drawn: typst alone
    median = {name: statistics.median(values) for name, values in taken.items()}
    size = len(html.render(document).encode()) / 1e6
    print(f"{len(figures)} figures, page of {size:.2f} MB, content tree {tree:.2f} s (weighing included)")
    print(f"matplotlib alone   {median['matplotlib']:.2f} s")
    print(
        f"HTML               {median['html']:.2f} s, {median['html'] / median['matplotlib']:.2f} x matplotlib"
    )
    beyond = median["pdf"] - median["typst"]
    print(
        f"PDF                {median['pdf']:.2f} s, typst {median['typst']:.2f} s of it; "
        f"the rest {beyond / median['matplotlib']:.2f} x matplotlib"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
