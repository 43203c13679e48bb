"""Speed and memory of the readers, each beside its baseline; runs are interleaved.

    uv run python tests/benchmarks/bench_readings.py [--rounds N]

Text is measured against numpy.loadtxt on the block of numbers alone, CxF3 against expat with three empty
Python handlers, memory against the size of the file. What else runs on the machine only adds, so the least
time of each counts.
"""

import argparse
import io
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from xml.parsers import expat

import numpy as np

from evaluation.readings.detect import read_readings

ROWS = 3_000
NM = range(380, 731, 10)


def spectra() -> list[list[str]]:
    draw = np.random.default_rng(1)
    return [[f"{value:.4f}" for value in row] for row in draw.uniform(0.01, 0.95, (ROWS, len(NM)))]


def clean(rows: list[list[str]], separator: str = "\t", quote: str = "") -> str:
    names = ["SampleID", "SAMPLE_NAME", "RGB_R", "RGB_G", "RGB_B", *(f"nm{nm}" for nm in NM)]
    body = "\n".join(
        separator.join([str(n), f"{quote}A{n}{quote}", "255", "128", "0", *row])
        for n, row in enumerate(rows, 1)
    )
    return (
        f"CGATS.17\nNUMBER_OF_FIELDS {len(names)}\n"
        f"BEGIN_DATA_FORMAT\n{separator.join(names)}\nEND_DATA_FORMAT\n"
        f"NUMBER_OF_SETS {ROWS}\nBEGIN_DATA\n{body}\nEND_DATA\n"
    )


def pairs(rows: list[list[str]]) -> str:
    names = "SAMPLE_ID" + "\tSPECTRAL_NM\tSPECTRAL_DEC" * len(NM)
    body = "\n".join(
        "\t".join([str(n), *(cell for pair in zip(NM, row, strict=True) for cell in map(str, pair))])
        for n, row in enumerate(rows, 1)
    )
    return f"CGATS.17\nBEGIN_DATA_FORMAT\n{names}\nEND_DATA_FORMAT\nBEGIN_DATA\n{body}\nEND_DATA\n"


def ragged(text: str) -> str:
    """A comment or tabs at the end of every other row."""
    lines = text.split("\n")
    at = lines.index("BEGIN_DATA")
    return "\n".join(
        f"{line}\t# {n}" if n > at and n % 2 and line[:1].isdigit() else line for n, line in enumerate(lines)
    )


def with_text(text: str) -> str:
    """A column without name or value in the middle, and one of words at the end."""
    lines = []
    for line in text.split("\n"):
        cells = line.split("\t")
        if len(cells) > len(NM):
            word = "Substrate" if cells[0] == "SampleID" else "rag, 5 mm"
            line = "\t".join([*cells[:5], "", *cells[5:], word, ""])
        lines.append(line)
    return "\n".join(lines).replace(f"NUMBER_OF_FIELDS {len(NM) + 5}", f"NUMBER_OF_FIELDS {len(NM) + 6}")


def cxf(rows: list[list[str]]) -> str:
    lab = '<ColorCIELab ColorSpecification="cs"><L>50.1</L><A>1.2</A><B>-3.4</B></ColorCIELab>'
    rgb = "<DeviceColorValues><ColorRGB><R>255</R><G>0</G><B>9</B></ColorRGB></DeviceColorValues>"
    objects = "".join(
        f'<Object ObjectType="Target" Name="A{n}" Id="a{n}"><ColorValues>'
        f'<ReflectanceSpectrum ColorSpecification="cs" StartWL="380">{" ".join(row)}</ReflectanceSpectrum>'
        f"{lab}</ColorValues>{rgb}</Object>\n"
        for n, row in enumerate(rows, 1)
    )
    grid = '<MeasurementSpec><WavelengthRange StartWL="380" Increment="10"/></MeasurementSpec>'
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<CxF xmlns="http://colorexchangeformat.com/CxF3-core">'
        f"<Resources><ObjectCollection>{objects}</ObjectCollection><ColorSpecificationCollection>"
        f'<ColorSpecification Id="cs">{grid}</ColorSpecification></ColorSpecificationCollection>'
        "</Resources></CxF>\n"
    )


def loadtxt_of(block: str) -> Callable[[], object]:
    return lambda: np.loadtxt(io.StringIO(block))


def expat_of(path: Path) -> Callable[[], object]:
    data = path.read_bytes()

    def bare() -> None:
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.buffer_text = True
        parser.StartElementHandler = lambda name, attributes: None
        parser.EndElementHandler = lambda name: None
        parser.CharacterDataHandler = lambda text: None
        parser.Parse(data, True)

    return bare


def timed(work: Callable[[], object]) -> float:
    """Seconds of a processor, which a shared machine does not stretch as it does the clock."""
    began = time.process_time()
    work()
    return time.process_time() - began


def peak_of(path: Path) -> float:
    """Most memory that Python and numpy held at once, in multiples of the file."""
    tracemalloc.start()
    read_readings(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return peak / path.stat().st_size


def main() -> None:
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--rounds", type=int, default=15)
    rounds = arguments.parse_args().rounds
    rows = spectra()
    plain = "\n".join("\t".join(row) for row in rows)
    with_rgb = "\n".join("\t".join(["255", "128", "0", *row]) for row in rows)
    both = "\n".join(
        "\t".join(c for pair in zip(map(str, NM), row, strict=True) for c in pair) for row in rows
    )
    made = {
        "clean, tabs": (clean(rows), with_rgb, 2),
        "clean, quoted names": (clean(rows, quote='"'), with_rgb, 2),
        "clean, blanks": (clean(rows, "  "), with_rgb, 2),
        "decimal commas": (clean([[c.replace(".", ",") for c in row] for row in rows]), with_rgb, 2),
        "pairs": (pairs(rows), both, 2),
        "pairs, decimal commas": (pairs([[c.replace(".", ",") for c in row] for row in rows]), both, 2),
        "ragged, comments": (ragged(clean(rows)), with_rgb, 2),
        "empty column, text column": (with_text(clean(rows)), with_rgb, 2),
        "words between cells": (clean(rows, "  ", quote='"').replace('"A', '"A '), with_rgb, 2),
        "semicolons": (
            "\n".join(
                [
                    ";".join(["ID", *(f"nm{nm}" for nm in NM)]),
                    *(f"{n};{';'.join(r)}" for n, r in enumerate(rows)),
                ]
            ),
            plain,
            2,
        ),
    }
    with tempfile.TemporaryDirectory() as folder:
        cases: list[tuple[str, Path, Callable[[], object], str, float]] = []
        for name, (text, block, promise) in made.items():
            path = Path(folder) / f"{name}.txt"
            path.write_text(text)
            cases.append((name, path, loadtxt_of(block), "loadtxt", promise))
        path = Path(folder) / "cxf3.cxf"
        path.write_text(cxf(rows))
        cases.append(("CxF3", path, expat_of(path), "expat", 2.5))
        print(f"{ROWS} rows of {len(NM)} bands, the least of {rounds} interleaved rounds")
        print(f"{'file':24} {'ms':>7} {'baseline':>16} {'ratio':>6} {'promise':>8} {'memory / file':>14}")
        for name, path, baseline, called, promise in cases:
            read_readings(path)
            ours, theirs = [], []
            for _ in range(rounds):
                theirs.append(timed(baseline))
                ours.append(timed(lambda path=path: read_readings(path)))  # type: ignore[misc]
            mine, base = min(ours) * 1e3, min(theirs) * 1e3
            ratio, memory = mine / base, peak_of(path)
            print(f"{name:24} {mine:7.1f} {called:>8} {base:7.1f} {ratio:6.2f} {promise:8g} {memory:14.1f}")


if __name__ == "__main__":
    main()
