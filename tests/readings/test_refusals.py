"""Every refusal of a file of readings or of a profile, in one list: `refusals.txt` beside this file.

`uv run python -m tests.readings.test_refusals` prints the list anew; with `--write` it replaces the file.
"""

import struct
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from evaluation.archive.connection import open_archive
from evaluation.errors import DrydownError, UsageProblem
from evaluation.profile.engine import open_profile
from evaluation.profile.matrix_profile import matrix_profile
from evaluation.readings import source as limits
from evaluation.readings.colours import colours
from evaluation.readings.detect import read_readings
from evaluation.readings.supplied import OpenQuestions, Supplied
from evaluation.session import PrintingCondition
from evaluation.sheet.load import map_text
from evaluation.work.bench import Bench
from evaluation.work.describe import begin
from evaluation.work.take_in import read
from fixtures.printer import icc
from tests.profile.test_damage import DAMAGES

LISTED: Final = Path(__file__).parent / "refusals.txt"
NM: Final = tuple(range(380, 731, 10))
FLAT: Final = "\t".join(["0.5"] * len(NM))
BANDS: Final = "\t".join(f"nm{nm}" for nm in NM)
NS: Final = "http://colorexchangeformat.com/CxF3-core"
GRID: Final = '<WavelengthRange StartWL="380" Increment="10"/>'


def text(fields: str, *rows: str, before: str = "", sets: int | None = None, end: str = "END_DATA\n") -> str:
    """A table; fields and cells are separated by tabs."""
    return (
        f"CGATS.17\n{before}BEGIN_DATA_FORMAT\n{fields}\nEND_DATA_FORMAT\n"
        f"NUMBER_OF_SETS {len(rows) if sets is None else sets}\nBEGIN_DATA\n"
        + "".join(f"{row}\n" for row in rows)
        + end
    )


LAB: Final = "SAMPLE_ID\tLAB_L\tLAB_A\tLAB_B"
GOOD: Final = "1\t95.5\t0.2\t-2.5"


def cxf(objects: str, grid: str = GRID, kind: str = "Spectrum_Reflectance", namespace: str = NS) -> str:
    return (
        f'<?xml version="1.0"?>\n<CxF xmlns="{namespace}"><Resources><ObjectCollection>\n'
        f"{objects}\n</ObjectCollection>"
        f'<ColorSpecificationCollection><ColorSpecification Id="cs"><MeasurementSpec><MeasurementType>{kind}'
        f"</MeasurementType>{grid}</MeasurementSpec></ColorSpecification></ColorSpecificationCollection>"
        "</Resources></CxF>\n"
    )


def spectrum(values: str, name: str = "A1") -> str:
    return (
        f'<Object ObjectType="Target" Name="{name}" Id="1"><ColorValues><ReflectanceSpectrum StartWL="380" '
        f'ColorSpecification="cs">{values}</ReflectanceSpectrum></ColorValues></Object>'
    )


def colour(inside: str) -> str:
    return f'<Object ObjectType="Target" Name="A1" Id="1">{inside}</Object>'


def points(*pairs: tuple[object, object]) -> str:
    inside = "".join(f'<SpectralPoint WL="{nm}">{value}</SpectralPoint>' for nm, value in pairs)
    return colour(
        f'<ColorValues><CustomSpectrum ColorSpecification="cs">{inside}</CustomSpectrum></ColorValues>'
    )


ICC: Final = struct.pack(">I", 128) + bytes(32) + b"acsp" + bytes(88)

# What is wrong: the content of the file, what the user says, and words that the message must hold.
CASES: Final[dict[str, tuple[str | bytes, Supplied, tuple[str, ...]]]] = {
    # --- ISO 28178 text ---
    "empty file": (b"", Supplied(), ("empty file",)),
    "nothing but blanks": (b" \n\t\n", Supplied(), ("empty file",)),
    "standard first line and nothing else": ("CGATS.17\n", Supplied(), ("BEGIN_DATA_FORMAT",)),
    "no BEGIN_DATA_FORMAT": (
        "CGATS.17\nBEGIN_DATA\n1 50 0 0\nEND_DATA\n",
        Supplied(),
        ("line 2", "BEGIN_DATA_FORMAT"),
    ),
    "no END_DATA_FORMAT": (
        "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L\nBEGIN_DATA\n1 50\nEND_DATA\n",
        Supplied(),
        ("line 4", "END_DATA_FORMAT"),
    ),
    "field names and no rows": (
        f"BEGIN_DATA_FORMAT\n{LAB}\nEND_DATA_FORMAT\n",
        Supplied(),
        ("BEGIN_DATA", "end of the file"),
    ),
    "row too short": (text(LAB, GOOD, "2\t50\t0"), Supplied(), ("line 8", "4 values", "Found: 3")),
    "row too long": (text(LAB, GOOD, "2\t50\t0\t0\t0"), Supplied(), ("line 8", "4 values", "Found: 5")),
    "fewer rows than announced": (
        text(LAB, GOOD, sets=2),
        Supplied(),
        ("line 6", "2 rows", "1 before END_DATA"),
    ),
    "no END_DATA": (
        text(LAB, GOOD, end=""),
        Supplied(),
        ("line 8", "END_DATA", "end of the file after 1 row."),
    ),
    "next table inside the rows": (
        text(LAB, GOOD, end="BEGIN_DATA_FORMAT\n"),
        Supplied(),
        ("line 8", "END_DATA", "BEGIN_DATA_FORMAT"),
    ),
    "text in a colour cell": (text(LAB, "1\t95\tabc\t0"), Supplied(), ("line 7, LAB_A", "a number", "abc")),
    "nan in a colour cell": (text(LAB, GOOD, "2\t50\tnan\t0"), Supplied(), ("line 8, LAB_A", "nan")),
    "inf in a colour cell": (text(LAB, "1\t95\t0\t-inf"), Supplied(), ("line 7, LAB_B", "inf")),
    "empty colour cell": (text(LAB, "1\t95\t\t0"), Supplied(), ("line 7, LAB_A", "empty cell")),
    "underscore in a number": (text(LAB, "1\t9_5\t0\t0"), Supplied(), ("line 7, LAB_L", "9_5")),
    "LAB incomplete": (text("SAMPLE_ID\tLAB_L\tLAB_B", "1\t50\t0"), Supplied(), ("line 2", "LAB_A")),
    "XYZ incomplete": (text("SAMPLE_ID\tXYZ_X\tXYZ_Z", "1\t50\t0"), Supplied(), ("line 2", "XYZ_Y")),
    "RGB incomplete": (text(f"RGB_R\tRGB_B\t{LAB}", f"0\t0\t{GOOD}"), Supplied(), ("line 2", "RGB_G")),
    "CMYK incomplete": (text(f"CMYK_C\tCMYK_M\tCMYK_K\t{LAB}", f"0\t0\t0\t{GOOD}"), Supplied(), ("CMYK_Y",)),
    "inks incomplete": (text(f"5CLR_1\t5CLR_2\t{LAB}", f"0\t0\t{GOOD}"), Supplied(), ("5CLR_3",)),
    "same field twice": (
        text(f"{LAB}\tLAB_L", f"{GOOD}\t50"),
        Supplied(),
        ("line 2", "Found: “LAB_L” twice."),
    ),
    "pairs incomplete": (
        text("SAMPLE_ID\tSPECTRAL_NM\tSPECTRAL_DEC\tSPECTRAL_NM", "1\t380\t0.5\t390"),
        Supplied(),
        ("line 2", "pairs"),
    ),
    "wavelengths differ between rows": (
        text(
            "SAMPLE_ID" + "\tSPECTRAL_NM\tSPECTRAL_DEC" * 31,
            "1" + "".join(f"\t{nm}\t0.5" for nm in range(380, 681, 10)),
            "2" + "".join(f"\t{nm}\t0.5" for nm in range(381, 682, 10)),
        ),
        Supplied(),
        ("line 8", "380 nm", "381 nm"),
    ),
    "lightness above the scale": (
        text(LAB, GOOD, "2\t150\t0\t0"),
        Supplied(),
        ("line 8, LAB_L", "105", "150"),
    ),
    "lightness below zero": (text(LAB, "1\t-5\t0\t0"), Supplied(), ("line 7, LAB_L", "-5")),
    "device value beyond its scale": (
        text(f"RGB_R\tRGB_G\tRGB_B\t{LAB}", f"0\t-20\t255\t{GOOD}"),
        Supplied(),
        ("line 7, RGB_G", "-20"),
    ),
    "differences only": (
        text("SAMPLE_ID\tDE_2000\tSTDEV_L", "1\t0.5\t0.1"),
        Supplied(),
        ("measured colours",),
    ),
    "densities only": (text("SAMPLE_ID\tD_RED\tD_VIS", "1\t0.5\t0.1"), Supplied(), ("densities only",)),
    "list of patches to print": (
        text("SAMPLE_ID\tRGB_R\tRGB_G\tRGB_B", "1\t255\t0\t0"),
        Supplied(),
        ("device values only",),
    ),
    "no rows": (text(LAB), Supplied(), ("line 6", "at least one row")),
    "wavelengths fall": (
        text("\t".join(["SAMPLE_ID", *(f"nm{nm}" for nm in NM[::-1])]), f"1\t{FLAT}"),
        Supplied(),
        ("line 7", "rise", "720 nm after 730 nm"),
    ),
    "wavelengths short of the visible range": (
        text("\t".join(["SAMPLE_ID", *(f"nm{nm}" for nm in range(400, 651, 10))]), "1" + "\t0.5" * 26),
        Supplied(),
        ("400 to 680 nm", "400 to 650 nm"),
    ),
    "steps too wide": (
        text("\t".join(["SAMPLE_ID", *(f"nm{nm}" for nm in range(380, 731, 50))]), "1" + "\t0.5" * 8),
        Supplied(),
        ("at most 20", "50"),
    ),
    "transmittance": (
        text(f"SAMPLE_ID\t{BANDS}", f"1\t{FLAT}", before='QUANTITY "transmittance"\n'),
        Supplied(),
        ("line 2, QUANTITY", "reflectance", "transmittance"),
    ),
    "emission": (
        text(f"SAMPLE_ID\t{BANDS}", f"1\t{FLAT}", before='QUANTITY "energy"\n'),
        Supplied(),
        ("line 2, QUANTITY", "reflectance", "energy"),
    ),
    "chart that transmits": (
        text(LAB, GOOD).replace("CGATS.17", "IT8.7/1"),
        Supplied(),
        ("line 1", "reflectance", "IT8.7/1"),
    ),
    "emission by its values": (
        text(f"SAMPLE_ID\t{BANDS}", "1\t" + FLAT.replace("0.5", "5000")),
        Supplied(),
        ("line 7, nm380", "5000"),
    ),
    "line without end": ("BEGIN_DATA_FORMAT\n" + "x" * 300_000, Supplied(), ("line 2", "256 kB")),
    "too many field names": (
        text("\t".join(f"F{n}" for n in range(2500)), "1"),
        Supplied(),
        ("2000 field names", "2500"),
    ),
    "bytes that do not fit the mark at the start": (
        b"\xef\xbb\xbfCGATS.17\nBEGIN_DATA_FORMAT\n\xff\xfe\n",
        Supplied(),
        ("UTF-8", "bytes that are not"),
    ),
    # --- other files ---
    "binary": (bytes(range(256)) * 8, Supplied(), ("binary",)),
    "picture": (b"\x89PNG\r\n\x1a\n" + bytes(50), Supplied(), ("picture",)),
    "profile": (ICC, Supplied(), ("a header and a table of tags",)),
    "profile without readings": (matrix_profile("srgb"), Supplied(), ("readings it was made from",)),
    "spreadsheet": (b"PK\x03\x04" + bytes(50), Supplied(), ("spreadsheet",)),
    "prose": ("Dear printer,\n\nthe prints have arrived.\n", Supplied(), ("line 1", "table", "Dear printer")),
    "control codes in a cell": (
        text(LAB, "1\t95\t\x1b[31mred\x07\t0"),
        Supplied(),
        ("line 7, LAB_A", "␛[31mred␇"),
    ),
    # --- what is asked ---
    "RGB scale": (text(f"RGB_R\tRGB_G\tRGB_B\t{LAB}", f"100\t50\t0\t{GOOD}"), Supplied(), ("--rgb-scale",)),
    "ink scale": (
        text(f"CMYK_C\tCMYK_M\tCMYK_Y\tCMYK_K\t{LAB}", f"1\t0.5\t0\t0\t{GOOD}"),
        Supplied(),
        ("--ink-scale",),
    ),
    "fraction or percent": (
        text(f"SAMPLE_ID\t{BANDS}", "1\t" + FLAT.replace("0.5", "1.7")),
        Supplied(),
        ("--spectral-scale", "1.7"),
    ),
    "XYZ scale": (text("SAMPLE_ID\tXYZ_X\tXYZ_Y\tXYZ_Z", "1\t0.9\t0.95\t0.8"), Supplied(), ("--xyz-scale",)),
    "mixed decimal marks": (
        text(LAB, GOOD, "2\t50,5\t0\t0"),
        Supplied(),
        ("--decimal", "a comma in line 8", "a point in line"),
    ),
    "wavelengths of counted bands": (
        text("\t".join(["SAMPLE_ID", *(f"SPECTRAL_{n}" for n in range(1, 37))]), f"1\t{FLAT}"),
        Supplied(),
        ("--first-nm", "--step-nm", "36 bands"),
    ),
    "several things at once": (
        text(f"RGB_R\tRGB_G\tRGB_B\tSAMPLE_ID\t{BANDS}", "1\t1\t1\t1\t" + FLAT.replace("0.5", "1.7")),
        Supplied(),
        ("--rgb-scale", "--spectral-scale"),
    ),
    "columns of a table without header": ("A1,95,0,0\nA2,50,0,0\n", Supplied(), ("--columns", "4 columns")),
    "told columns without a colour": (
        "A1,95,0,0\nA2,50,0,0\n",
        Supplied(columns=("ID", "p", "q", "s")),
        ("--columns", "measured colour"),
    ),
    "user against file": (
        text(LAB, GOOD, before='MEASUREMENT_CONDITION "M0"\n'),
        Supplied(condition="M1"),
        ("condition M1, as you state", "M0, as the file states", "--condition"),
    ),
    "colours for 10 degrees without spectra": (
        text(LAB, GOOD, before='OBSERVER "10"\nILLUMINANT "D65"\n'),
        Supplied(),
        ("D65, 10 degrees", "spectra"),
    ),
    "plain table with a cell missing": (
        "ID;L*;a*;b*\n1;50;0;0\n2;50;0\n",
        Supplied(),
        ("line 3", "4 values", "3"),
    ),
    "plain table with a header only": ("ID;L*;a*;b*\n", Supplied(), ("line 1", "at least one row")),
    # --- CxF3 ---
    "DOCTYPE": (
        f'<!DOCTYPE CxF [<!ENTITY a "b">]>\n{cxf(spectrum(" ".join(["0.5"] * 36)))[22:]}',
        Supplied(),
        ("line 1", "DOCTYPE"),
    ),
    "cut XML": (cxf(spectrum("0.5 0.5"))[:200], Supplied(), ("line 3", "well-formed")),
    "XML that is no CxF": ("<html><body/></html>", Supplied(), ("line 1", "CxF3", "html")),
    "CxF version 2": (cxf("", namespace="urn:cxf/v2"), Supplied(), ("line 2", "version 2")),
    "wrong namespace": (cxf("", namespace="urn:other"), Supplied(), ("line 2", "urn:other")),
    "no objects": (cxf(""), Supplied(), ("Object",)),
    "no step": (cxf(spectrum(" ".join(["0.5"] * 36)), grid=""), Supplied(), ("line 3", "A1", "--step-nm")),
    "empty list of values": (cxf(spectrum("")), Supplied(), ("line 3", "A1", "ReflectanceSpectrum", "none")),
    "text among values": (cxf(spectrum("0.5 x 0.5")), Supplied(), ("line 3", "A1", "Found: x")),
    "nan among values": (cxf(spectrum(" ".join(["0.5"] * 35 + ["nan"]))), Supplied(), ("A1", "nan")),
    "spectrum too short": (cxf(spectrum(" ".join(["0.5"] * 20))), Supplied(), ("A1", "380 to 570 nm")),
    "step below zero": (
        cxf(spectrum(" ".join(["0.5"] * 36)), grid='<WavelengthRange StartWL="380" Increment="-10"/>'),
        Supplied(),
        ("A1", "Increment -10"),
    ),
    "transmittance in CxF": (
        cxf(spectrum(" ".join(["0.5"] * 36)), kind="Spectrum_Transmittance"),
        Supplied(),
        ("A1", "MeasurementType", "Spectrum_Transmittance"),
    ),
    "one wavelength with two values": (
        cxf(points((400, 0.5), (400, 0.6))),
        Supplied(),
        ("400 nm", "0.5 and 0.6"),
    ),
    "wavelength without value": (cxf(points((400, 0.5), (410, ""))), Supplied(), ("2 wavelengths", "1")),
    "CIELAB incomplete": (
        cxf(colour("<ColorValues><ColorCIELab><L>50</L><A>0</A></ColorCIELab></ColorValues>")),
        Supplied(),
        ("line 3", "A1, ColorCIELab", "no B"),
    ),
    "CIELAB out of range": (
        cxf(colour("<ColorValues><ColorCIELab><L>500</L><A>0</A><B>0</B></ColorCIELab></ColorValues>")),
        Supplied(),
        ("A1, ColorCIELab", "500"),
    ),
    "preview colours only": (
        cxf(colour("<ColorValues><ColorSRGB><R>1</R><G>1</G><B>1</B></ColorSRGB></ColorValues>")),
        Supplied(),
        ("A1", "preview"),
    ),
    "targets only": (
        cxf(colour("<DeviceColorValues><ColorRGB><R>255</R><G>0</G><B>0</B></ColorRGB></DeviceColorValues>")),
        Supplied(),
        ("device values only",),
    ),
}


def message(content: str | bytes, said: Supplied, folder: Path) -> DrydownError | None:
    """What is said about a file of that content, or None when it is read."""
    path = folder / "strip.txt"
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    try:
        for run in read_readings(path, said):
            colours(run)
    except DrydownError as problem:
        return problem
    return None


def of_another_chart(folder: Path) -> Iterator[tuple[str, DrydownError | None]]:
    """What is said of a file that is understood and is of another sheet than the session's."""
    room = Path(icc.__file__).parents[1] / "readings"
    strangers = folder / "strangers.txt"
    rows = [f"S{k}\t{10 + 9 * k}\t{200 - 9 * k}\t17\t50\t0\t0" for k in range(12)]
    rows += ["W\t255\t255\t255\t95\t0\t0", "K\t0\t0\t0\t5\t0\t0"]
    strangers.write_text(text("SAMPLE_ID\tRGB_R\tRGB_G\tRGB_B\tLAB_L\tLAB_A\tLAB_B", *rows))
    with open_archive(folder / "room.db", create=True) as archive:
        bench = Bench(archive)
        colour, mono = (
            begin.begin(bench, PrintingCondition(), {}, map_text=map_text(name), map_name=name).id
            for name in ("colour-9", "mono-7")
        )
        for name, session, path in (
            ("readings of the mono sheet", colour, room / "baryta-mono-driver.txt"),
            ("readings of the colour sheet", mono, room / "lustre-fine.txt"),
            ("readings of no sheet", colour, strangers),
        ):
            try:
                read.preview(bench, session, path, Supplied(printed_as="managed", rgb_scale=255))
                yield name, None
            except DrydownError as problem:
                yield name, problem


def of_profiles() -> Iterator[tuple[str, DrydownError | None]]:
    """What is said of a damaged profile, or of a kind that predicts no print."""
    for name, damage in DAMAGES.items():
        try:
            open_profile(damage(), "mine.icc")
            yield f"profile: {name}", None
        except DrydownError as problem:
            yield f"profile: {name}", problem


def listed(folder: Path) -> str:
    said = [(name, message(content, told, folder)) for name, (content, told, _) in CASES.items()]
    said += [*of_another_chart(folder), *of_profiles()]
    return "".join(f"{name}\n    {problem or 'is read'}\n" for name, problem in said)


@pytest.mark.parametrize("name", CASES)
def test_refusal_says_where_what_and_how_to_go_on(name: str, tmp_path: Path) -> None:
    content, said, words = CASES[name]
    problem = message(content, said, tmp_path)
    assert problem is not None
    for word in ("strip.txt", *words):
        assert word in problem.sentence
    assert problem.expected and problem.found and problem.remedy
    assert "\x1b" not in problem.sentence and "\n" not in problem.sentence


def test_every_message_can_be_read_in_one_list(tmp_path: Path) -> None:
    assert LISTED.read_text(encoding="utf-8") == listed(tmp_path)


@pytest.mark.parametrize(
    "name", [name for name, case in CASES.items() if any("--" in word for word in case[2])]
)
def test_what_is_asked_ends_with_the_code_for_bad_use(name: str, tmp_path: Path) -> None:
    problem = message(*CASES[name][:2], tmp_path)
    assert isinstance(problem, UsageProblem) and problem.exit_code == 2


def test_an_answer_settles_what_was_asked(tmp_path: Path) -> None:
    answers = {
        "RGB scale": Supplied(rgb_scale=100),
        "ink scale": Supplied(ink_scale=1),
        "fraction or percent": Supplied(spectral_scale="fraction"),
        "XYZ scale": Supplied(xyz_scale=1),
        "mixed decimal marks": Supplied(decimal="both"),
        "several things at once": Supplied(rgb_scale=1, spectral_scale="percent"),
        "columns of a table without header": Supplied(columns=("ID", "L", "a", "b")),
        "no step": Supplied(step_nm=10),
        "wavelengths of counted bands": Supplied(first_nm=380, step_nm=10),
    }
    for name, said in answers.items():
        assert isinstance(message(*CASES[name][:2], tmp_path), OpenQuestions)
        assert message(CASES[name][0], said, tmp_path) is None


def test_what_cannot_be_opened(tmp_path: Path) -> None:
    for path, found in ((tmp_path / "absent.txt", "Found: nothing of that name"), (tmp_path, "a folder")):
        with pytest.raises(DrydownError, match=found):
            read_readings(path)


def test_too_many_rows_and_too_large_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "strip.txt"
    path.write_text(text(LAB, *[GOOD] * 30))
    for module in ("cgats.text_reader", "delimited", "cxf.gathering", "cxf.alike"):
        monkeypatch.setattr(f"evaluation.readings.{module}.MOST_ROWS", 20)
    with pytest.raises(DrydownError, match="at most 20 rows"):
        read_readings(path)
    path.write_text("ID;L*;a*;b*\n" + "1;50;0;0\n" * 30)
    with pytest.raises(DrydownError, match="at most 20 rows"):
        read_readings(path)
    path.write_text(cxf(spectrum("0.5") * 30))
    with pytest.raises(DrydownError, match="at most 20 objects"):
        read_readings(path)
    monkeypatch.setattr(limits, "MOST_BYTES", 100)
    with pytest.raises(DrydownError, match="at most 0 MB"):
        read_readings(path)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as made:
        every = listed(Path(made))
    if "--write" in sys.argv:
        LISTED.write_text(every, encoding="utf-8")
    print(every, end="")
