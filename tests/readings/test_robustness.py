"""Whatever bytes come in: runs or our own refusal, within bounds of time and memory."""

import re
import subprocess
import sys
import tracemalloc
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Final

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from evaluation.errors import Cancelled, DrydownError, UsageProblem
from evaluation.readings.colours import colours
from evaluation.readings.detect import read_readings
from evaluation.readings.file_facts import file_facts
from evaluation.readings.run import Run
from evaluation.readings.supplied import Supplied
from tests.cases import some_now

DATA: Final = Path(__file__).parent / "data"
SEEDS: Final = {
    "text": (DATA / "rgb_m1_lab_spectral_nm.txt").read_bytes(),
    "tables": b"\n".join((DATA / "rgb_m0_m1_m2_three_tables.txt").read_bytes().split(b"\n")[:80]),  # two
    "cxf": (DATA / "cxf3_rgb_target_m0_m1_m2.cxf").read_bytes(),
    "delimited": b"Illuminant: D50\nID;Name;R;G;B;L*;a*;b*\n"
    + b"".join(b"%d;A %d;255;%d;0;%d,5;1,25;-2,5\n" % (n, n, n, n) for n in range(1, 40)),
    "pairs": b"CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID"
    + b"\tSPECTRAL_NM\tSPECTRAL_PCT" * 31
    + b"\t\nEND_DATA_FORMAT\nBEGIN_DATA\n"
    + b"".join(
        b"%d" % n + b"".join(b"\t%d\t50,25" % w for w in range(380, 690, 10)) + b"\t\n" for n in range(5)
    )
    + b"END_DATA\n",
}
# Bytes that mean something to one of the readers are worth more than random ones.
SPICE: Final = (
    *(
        b"\t",
        b"\n",
        b"\r",
        b'"',
        b"'",
        b"#",
        b",",
        b".",
        b";",
        b"-",
        b"\0",
        b"\x1b[2J",
        b"\xff",
        b"\xef\xbb\xbf",
    ),
    *(
        b"nan",
        b"inf",
        b"1e999",
        b"_",
        b"<",
        b">",
        b"&",
        b"&#0;",
        b"]]>",
        b"<!--",
        b"<!DOCTYPE a>",
        b"</cc:Object>",
    ),
    *(
        b"BEGIN_DATA\n",
        b"END_DATA\n",
        b"BEGIN_DATA_FORMAT\n",
        b"NUMBER_OF_SETS 9999999999\n",
        b"\xe2\x80\xae",
    ),
)


def settled(path: Path) -> tuple[Run, ...] | None:
    """The runs of a file, each sound, or None when it was refused in our own words."""
    try:
        document = file_facts(path)
    except DrydownError as problem:
        assert_fit_to_print(problem)
        document = None
    try:
        runs = read_readings(path)
        for run in runs:
            assert_sound(run)
            colours(run)
    except DrydownError as problem:
        assert_fit_to_print(problem)
        return None
    assert document is not None and document["kind"] == "readings"
    return runs


def assert_fit_to_print(problem: DrydownError) -> None:
    assert problem.sentence.isprintable() or all(ord(char) >= 0x20 for char in problem.sentence)
    assert "\x1b" not in problem.sentence and problem.where and problem.remedy


def assert_sound(run: Run) -> None:
    assert len(run) > 0
    for values in (run.spectra, run.lab, run.xyz, run.device, run.wavelengths):
        assert values is None or (values.dtype == np.float64 and np.isfinite(values).all())
    for values in (run.spectra, run.lab, run.xyz, run.device):
        assert values is None or len(values) == len(run)


def mutated(content: bytes, random: Random, most: int = 6) -> bytes:
    """A valid file with one to `most` things done to it."""
    changed = bytearray(content)
    for _ in range(random.randint(1, most)):
        at, length = random.randrange(len(changed) + 1), random.choice((1, 1, 3, 40, 400))
        match random.randrange(7):
            case 0:
                changed[at : at + length] = b""
            case 1:
                changed[at:at] = random.choice(SPICE)
            case 2:
                changed[at : at + 1] = random.choice(SPICE)
            case 3:
                changed[at:at] = changed[at : at + length]
            case 4:
                del changed[at:]
            case 5 if changed:
                changed[at % len(changed)] = random.randrange(256)
            case _:
                lines = bytes(changed).split(b"\n")
                random.shuffle(lines) if random.random() < 0.1 else lines.reverse()
                changed = bytearray(b"\n".join(lines)) if random.random() < 0.2 else changed
    return bytes(changed)


QUICK: Final = settings(suppress_health_check=list(HealthCheck))


@QUICK
@given(content=st.binary(max_size=400))
def test_random_bytes(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "any"
    path.write_bytes(content)
    settled(path)


@QUICK
@given(
    text=st.text(alphabet=st.sampled_from('ab1 2.,;\t\n"#_LAB<>&'), max_size=200),
    shell=st.sampled_from(
        (
            "{}",
            "CGATS.17\n{}",
            "BEGIN_DATA_FORMAT\n{}\nEND_DATA_FORMAT\nBEGIN_DATA\n1 2\nEND_DATA\n",
            "BEGIN_DATA_FORMAT\nID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n{}\nEND_DATA\n",
            "ID;L*;a*;b*\n{}",
        )
    ),
)
def test_random_text_inside_every_part_of_a_file(text: str, shell: str, tmp_path: Path) -> None:
    path = tmp_path / "any"
    path.write_text(shell.format(text), encoding="utf-8")
    settled(path)


NAMES: Final = (
    *(
        "CxF",
        "Resources",
        "ObjectCollection",
        "Object",
        "ColorValues",
        "ReflectanceSpectrum",
        "CustomSpectrum",
    ),
    *("SpectralPoint", "ColorCIELab", "L", "A", "B", "DeviceColorValues", "ColorRGB", "R", "G", "MaxRange"),
    *("ColorSpecification", "MeasurementSpec", "WavelengthRange", "TagCollection", "Tag", "CustomResources"),
)
ATTRIBUTES: Final = ("Id", "Name", "ObjectType", "ColorSpecification", "StartWL", "Increment", "WL", "Value")
VALUES: Final = ("", "a", "1", "380", "10", "-1", "nan", "1e308", "0.5 0.5", "M1_Measurement", "\u202e")


@st.composite
def xml(draw: st.DrawFn, depth: int = 2) -> str:
    name = draw(st.sampled_from(NAMES))
    pairs = draw(st.dictionaries(st.sampled_from(ATTRIBUTES), st.sampled_from(VALUES), max_size=3))
    inside = draw(st.sampled_from(VALUES))
    if depth:
        inside += "".join(draw(st.lists(xml(depth - 1), max_size=3)))
    attributes = "".join(f' {key}="{value}"' for key, value in pairs.items())
    return f"<{name}{attributes}>{inside}</{name}>"


@QUICK
@given(
    inside=xml(),
    shell=st.sampled_from(
        (
            "{}",
            "<Resources>{}</Resources>",
            "<Resources><ObjectCollection>{}</ObjectCollection></Resources>",
            "<Resources><ObjectCollection><Object><ColorValues>{}</ColorValues></Object></ObjectCollection>"
            "</Resources>",
        )
    ),
)
def test_random_xml_inside_every_part_of_a_file(inside: str, shell: str, tmp_path: Path) -> None:
    path = tmp_path / "any.cxf"
    document = f'<CxF xmlns="http://colorexchangeformat.com/CxF3-core">{shell.format(inside)}</CxF>'
    path.write_text(document, encoding="utf-8")
    settled(path)


@pytest.mark.parametrize("kind", SEEDS)
def test_valid_files_read(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "any"
    path.write_bytes(SEEDS[kind])
    assert settled(path)


def mutate(kind: str, count: int, folder: Path) -> int:
    read = 0
    path = folder / "any"
    for number in range(count):
        path.write_bytes(mutated(SEEDS[kind], Random(f"{kind} {number}")))
        try:
            read += settled(path) is not None
        except Exception as problem:
            raise AssertionError(f"mutation {number} of {kind}: {problem!r}") from problem
    return read


@pytest.mark.parametrize("kind", SEEDS)
def test_some_mutations_of_valid_files(kind: str, tmp_path: Path) -> None:
    mutate(kind, 25, tmp_path)


BEYOND: Final = (b"1e308", b"-1e308", b"1e200", b"1e20", b"9" * 300, b"1e-320")
_A_NUMBER: Final = re.compile(rb"(?<![\w.,])\d+(?:[.,]\d+)?(?![\w.,])")


@pytest.mark.parametrize("kind", SEEDS)
def test_numbers_beyond_all_measure(kind: str, tmp_path: Path) -> None:
    """One to five numbers of a valid file become ones that overflow: no library has a word about it."""
    places = [found.span() for found in _A_NUMBER.finditer(SEEDS[kind])]
    path = tmp_path / "any"
    for number in range(12):
        random, content = Random(f"{kind} {number}"), SEEDS[kind]
        for start, end in sorted(random.sample(places, random.choice((1, 1, 2, 5))), reverse=True):
            content = content[:start] + random.choice(BEYOND) + content[end:]
        path.write_bytes(content)
        settled(path)


@pytest.mark.parametrize("said", [{"first_nm": 1e308}, {"step_nm": 1e-300}, {"xyz_scale": float("nan")}])
def test_numbers_beyond_all_measure_are_not_taken_from_a_person_either(said: dict[str, float]) -> None:
    with pytest.raises(UsageProblem, match=r"Expected: a number from 0\.001 to 100,000"):
        Supplied(**said)  # type: ignore[arg-type]


@pytest.mark.long
@pytest.mark.parametrize("kind", SEEDS)
def test_ten_thousand_mutations_of_valid_files(kind: str, tmp_path: Path) -> None:
    """About a minute a format. A failure names the number of the mutation: it can be made again."""
    mutate(kind, 10_000, tmp_path)


# --- large and hostile files ---


def large_text(path: Path, megabytes: int) -> None:
    """Rows without end: a whole table that goes on."""
    row = b"\t".join([b"12345", b"A1", *[b"0.5012"] * 36]) + b"\n"
    names = b"SAMPLE_ID\tSAMPLE_NAME\t" + b"\t".join(b"nm%d" % nm for nm in range(380, 731, 10))
    with path.open("wb") as stream:
        stream.write(b"CGATS.17\nBEGIN_DATA_FORMAT\n" + names + b"\nEND_DATA_FORMAT\nBEGIN_DATA\n")
        for _ in range(megabytes):
            stream.write(row * (2**20 // len(row)))


def large_of(head: bytes, unit: bytes) -> Callable[[Path, int], None]:
    def made(path: Path, megabytes: int) -> None:
        with path.open("wb") as stream:
            stream.write(head)
            for _ in range(megabytes):
                stream.write(unit * (2**20 // len(unit)))

    return made


_CXF: Final = b'<CxF xmlns="http://colorexchangeformat.com/CxF3-core"><Resources><ObjectCollection>'
_SPECTRUM: Final = (
    b'<Object Name="a"><ColorValues>'
    b"<ReflectanceSpectrum>0.5 0.5 0.5</ReflectanceSpectrum></ColorValues></Object>"
)
LARGE: Final = {
    "rows without end": large_text,
    "one line": large_of(b"BEGIN_DATA_FORMAT\n", b"x"),
    "one name": large_of(b"BEGIN_DATA_FORMAT\n", b"x\n"),
    "keywords": large_of(b"CGATS.17\n", b"K v\n"),
    "empty lines": large_of(b"CGATS.17\n", b"\n"),
    "quotes": large_of(b"CGATS.17\n", b'K "' + b'""' * 50_000 + b"\n"),
    "tables": large_of(
        b"", b"BEGIN_DATA_FORMAT\nA LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n1 5 0 0\nEND_DATA\n"
    ),
    "objects": large_of(_CXF, b"<Object/>"),
    "spectra": large_of(_CXF, _SPECTRUM),
    "one text": large_of(_CXF + b"<Object><ReflectanceSpectrum>", b"0.5 "),
    "one tag": large_of(_CXF + b"<Object Name='", b"x"),
    "depth": large_of(_CXF, b"<a>"),
    "names": large_of(_CXF + b"<Object><ColorCIELab>", b"<L>1</L><q/>"),
    "cells": large_of(b"ID;L*;a*;b*\n", b"1;50;0;0\n"),
    "prose": large_of(b"", b"what is this, and what for? "),
}
_MEASURE: Final = """
import resource, sys
from pathlib import Path
from evaluation.errors import DrydownError
from evaluation.readings.detect import read_readings
try:
    read_readings(Path(sys.argv[1]))
except DrydownError as problem:
    print(problem)
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024, file=sys.stderr)
"""


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="the memory of a process is asked the POSIX way")
@pytest.mark.parametrize("kind", LARGE)
def test_a_hundred_hostile_megabytes_stay_within_three_hundred(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "large"
    LARGE[kind](path, 100)
    done = subprocess.run(
        [sys.executable, "-c", _MEASURE, str(path)], capture_output=True, text=True, timeout=120, check=True
    )
    assert int(done.stderr) < 300, done.stdout


@pytest.mark.parametrize("kind", some_now(LARGE, "spectra"))
def test_large_files_settle(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "large"
    LARGE[kind](path, 1)
    settled(path)


@pytest.mark.parametrize("name", ["rgb_m1_lab_spectral_nm.txt", "cxf3_rgb_target_m0_m1_m2.cxf"])
def test_memory_stays_within_ten_times_the_file(name: str, tmp_path: Path) -> None:
    content = (DATA / name).read_text()
    path = tmp_path / name
    if name.endswith(".txt"):
        head, rows = content.split("BEGIN_DATA\n")
        rows = rows.removesuffix("END_DATA\n")
        path.write_text(f"{head.replace('NUMBER_OF_SETS', '# rows')}BEGIN_DATA\n{rows * 40}END_DATA\n")
    else:
        head, rest = content.split("<cc:ObjectCollection>")
        objects, tail = rest.split("</cc:ObjectCollection>")
        path.write_text(f"{head}<cc:ObjectCollection>{objects * 8}</cc:ObjectCollection>{tail}")
    read_readings(DATA / name)
    tracemalloc.start()
    read_readings(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 10 * path.stat().st_size


@pytest.mark.parametrize("kind", ["rows without end", "spectra"])
def test_progress_comes_early_and_cancelling_works_at_every_step(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "large"
    LARGE[kind](path, 4)
    calls: list[tuple[int, int]] = []

    def watched(done: int, total: int) -> None:
        calls.append((done, total))
        if len(calls) == stop:
            raise Cancelled("Reading was stopped.", remedy="Nothing was taken in.")

    for stop in (1, 8, 16, 24):  # while it is fetched, and while it is understood
        calls.clear()
        with pytest.raises(Cancelled):
            read_readings(path, progress=watched)
        assert len(calls) == stop
        assert calls[0][0] == 0
        assert all(after[0] - before[0] <= 2**20 for before, after in pairwise(calls))
        assert all(0 <= done <= total for done, total in calls)
