"""Every dialect of ISO 28178 text that was met in the wild is read, and read right."""

from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from evaluation.readings.colours import colours
from evaluation.readings.detect import read_readings
from evaluation.readings.run import Run
from evaluation.readings.supplied import Supplied

Write = Callable[..., Path]
Text = Callable[..., str]
LAB = ("SAMPLE_ID", "SAMPLE_NAME", "LAB_L", "LAB_A", "LAB_B")
ROWS = ((1, "A1", 95.5, 0.25, -2.5), (2, "A2", 50.0, 1.5, 2.25), (3, "A3", 8.5, -0.5, 0.75))
EXPECTED = np.array([row[2:] for row in ROWS])


def one(path: Path, said: Supplied | None = None) -> Run:
    """The only run of a file."""
    (run,) = read_readings(path, said)
    return run


def assert_the_three_rows(run: Run) -> None:
    assert run.lab is not None
    np.testing.assert_allclose(run.lab, EXPECTED)
    assert [(ref.id, ref.name, ref.row) for ref in run.patches] == [
        ("1", "A1", 1),
        ("2", "A2", 2),
        ("3", "A3", 3),
    ]


def bands(first: int = 380, last: int = 730, step: int = 10) -> list[int]:
    return list(range(first, last + 1, step))


# --- the file as a whole ---


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "windows-1252"]
)
def test_line_ends_and_encodings(write: Write, table: Text, end: str, encoding: str) -> None:
    text = table(LAB, ROWS, ['DESCRIPTOR\t"Büttenpapier, 10°"'])
    content = text.replace("\n", end).encode(encoding)
    if encoding == "utf-16-be":
        content = b"\xfe\xff" + content
    assert_the_three_rows(one(write(content)))


def test_windows_1252_is_remarked(write: Write, table: Text) -> None:
    run = one(write(table(LAB, ROWS, ['DESCRIPTOR "10°"']), encoding="windows-1252"))
    assert any("Windows-1252" in remark for remark in run.remarks)


@pytest.mark.parametrize(
    "first",
    ["", "\n\n", "# a comment first\n", "ISO28178\n", "IT8.7/4\n", 'ORIGINATOR "us"\n', "CGATS.17\n\n"],
)
def test_known_by_its_blocks_not_by_its_first_line(write: Write, table: Text, first: str) -> None:
    run = one(write(table(LAB, ROWS, first=first)))
    assert_the_three_rows(run)
    assert not any("identifier" in remark for remark in run.remarks)


def test_unknown_first_word_is_remarked(write: Write, table: Text) -> None:
    run = one(write(table(LAB, ROWS, first="MYOWN1\n")))
    assert_the_three_rows(run)
    assert any("MYOWN1" in remark for remark in run.remarks)


def test_header_longer_than_what_is_looked_at_first(write: Write, table: Text) -> None:
    long = [f'PROCESSCOLOR_ID "{number}"' for number in range(9000)]
    assert_the_three_rows(one(write(table(LAB, ROWS, long))))


def test_three_tables_are_three_runs_with_their_conditions(three_conditions: Path) -> None:
    runs = read_readings(three_conditions)
    assert [(run.part, run.stated.condition, len(run)) for run in runs] == [
        ("table 1", "M0", 26),
        ("table 2", "M1", 26),
        ("table 3", "M2", 26),
    ]


def test_header_belongs_to_the_next_table_only(write: Write, table: Text) -> None:
    first = table(LAB, ROWS, ["MEASUREMENT_CONDITION M1"])
    second = table(LAB, ROWS, first="")
    runs = read_readings(write(first + second))
    assert [run.stated.condition for run in runs] == ["M1", None]


def test_second_block_of_rows_may_use_the_field_names_before(write: Write, table: Text) -> None:
    text = table(LAB, ROWS) + "BEGIN_DATA\n4 B1 50 0 0\nEND_DATA\n"
    runs = read_readings(write(text))
    assert [len(run) for run in runs] == [3, 1]
    assert any("table before" in remark for remark in runs[1].remarks)


@pytest.mark.parametrize("lost", ["NUMBER_OF_SETS", "NUMBER_OF_FIELDS"])
def test_counts_are_a_check_not_a_need(write: Write, table: Text, lost: str) -> None:
    text = "\n".join(line for line in table(LAB, ROWS).splitlines() if not line.startswith(lost))
    assert_the_three_rows(one(write(text)))


def test_counts_may_follow_the_blocks(write: Write) -> None:
    body = "".join(f"{i} {n} {L} {a} {b}\n" for i, n, L, a, b in ROWS)
    fields = f"BEGIN_DATA_FORMAT\n{' '.join(LAB)}\nEND_DATA_FORMAT\nNUMBER_OF_FIELDS 5\n"
    text = f"NUMBER_OF_SETS 3\n{fields}BEGIN_DATA\n{body}END_DATA\nNUMBER_OF_SETS 3\n"
    assert_the_three_rows(one(write(text)))


def test_more_rows_than_announced_are_read_and_remarked(write: Write, table: Text) -> None:
    run = one(write(table(LAB, ROWS, sets=2)))
    assert len(run) == 3
    assert any("NUMBER_OF_SETS" in remark for remark in run.remarks)


def test_repeated_and_unknown_keywords_are_no_obstacle(write: Write, table: Text) -> None:
    text = table(LAB, ROWS, ['CREATED "1"', 'CREATED "2"', "DESCRIPTOR a", "DESCRIPTOR b", "OWN_THING x y z"])
    assert_the_three_rows(one(write(text)))


# --- cells ---


def test_trailing_tabs_on_names_and_rows(write: Write, table: Text) -> None:
    text = "\n".join(line + "\t" if "\t" in line else line for line in table(LAB, ROWS).splitlines())
    assert_the_three_rows(one(write(text)))


def test_empty_name_and_empty_cell_in_the_middle(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", "SAMPLE_NAME", "", "LAB_L", "LAB_A", "LAB_B", "")
    rows = [(*row[:2], "", *row[2:], "") for row in ROWS]
    text = table(names, rows).replace("NUMBER_OF_FIELDS\t7", "NUMBER_OF_FIELDS\t5")
    assert_the_three_rows(one(write(text)))


def test_empty_name_over_cells_that_are_not_there(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", "SAMPLE_NAME", "", "LAB_L", "LAB_A", "LAB_B")
    assert_the_three_rows(one(write(table(names, ROWS).replace("FIELDS\t6", "FIELDS\t5"))))


def test_names_with_blanks_between_tabs(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", "SAMPLE_NAME", "Paper Thickness", "LAB_L", "LAB_A", "LAB_B")
    rows = [(row[0], f"{row[1]}", "about 2 mm", *row[2:]) for row in ROWS]
    assert_the_three_rows(one(write(table(names, rows))))


def test_patch_names_with_blanks_between_tabs(write: Write, table: Text) -> None:
    rows = [(row[0], f"dark skin {row[1]}", *row[2:]) for row in ROWS]
    assert one(write(table(LAB, rows))).patches[1].name == "dark skin A2"


def test_runs_of_blanks_as_separator(write: Write, table: Text) -> None:
    assert_the_three_rows(one(write(table(LAB, ROWS, separator="    "))))


def test_names_by_blanks_and_rows_by_tabs(write: Write, table: Text) -> None:
    names, rows = " ".join(LAB), "\t".join(LAB)
    assert_the_three_rows(one(write(table(LAB, ROWS).replace(rows, names))))


def test_keywords_padded_with_tabs(write: Write, table: Text) -> None:
    text = "\n".join(
        f"{line}\t\t" if line.startswith(("BEGIN", "END")) else line for line in table(LAB, ROWS).splitlines()
    )
    assert_the_three_rows(one(write(text)))


def test_names_over_several_lines(write: Write, table: Text) -> None:
    text = table(LAB, ROWS).replace("SAMPLE_NAME\tLAB_L", "SAMPLE_NAME\nLAB_L")
    assert_the_three_rows(one(write(text)))


@pytest.mark.parametrize("separator", ["\t", " "])
def test_quotes_hold_separators_and_comment_signs(write: Write, table: Text, separator: str) -> None:
    rows = [(f'"{row[0]}"', f'"A; #1, | < \t{row[1]}"', *row[2:]) for row in ROWS]
    run = one(write(table(LAB, rows, separator=separator)))
    assert [ref.id for ref in run.patches] == ["1", "2", "3"]
    assert run.patches[0].name == "A; #1, | < \tA1"
    np.testing.assert_allclose(run.lab, EXPECTED)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("cell", "name"),
    [
        ('"a 1"', "a 1"),
        ('"a"', "a"),
        ('" a "', " a "),
        ('"a ""b"" c"', 'a "b" c'),
        ('"a # b"', "a # b"),
        ("a#b", "a#b"),
        ('"a\tb"', "a\tb"),
        ('""', ""),
    ],
)
def test_a_quoted_name_between_blanks_is_one_way_or_the_other_the_same(
    write: Write, table: Text, cell: str, name: str
) -> None:
    """All rows at once, and one by one: an odd row below them, whose numbers are quoted, sees to that."""
    plain = [(n, cell, 95.5 - n, 0.25, -2.5) for n in range(1, 4)]
    for rows in (plain, [*plain, (4, cell, '"91.5"', "0.25", "-2.5")]):
        run = one(write(table(LAB, rows, separator=" ")))
        assert [ref.name for ref in run.patches] == [name] * len(rows)
        assert run.lab is not None and run.lab[:, 0].tolist() == [94.5, 93.5, 92.5, 91.5][: len(rows)]


def test_comments_after_values_and_between_rows(write: Write, table: Text) -> None:
    text = table(LAB, ROWS, ['CREATED "2014-11-14"  # Time: 16:45', "INSTRUMENTATION none # a model"])
    text = text.replace("-2.5\n", "-2.5\t# bright\n# a whole line\n\n")
    run = one(write(text))
    assert_the_three_rows(run)
    assert run.stated.instrument == "none"


def test_quote_that_is_closed_by_another_sign_ends_with_its_line(write: Write, table: Text) -> None:
    run = one(write(table(LAB, ROWS, ["ORIGINATOR \"me'", 'MEASUREMENT_CONDITION "M1"'])))
    assert_the_three_rows(run)
    assert run.stated.condition == "M1"
    assert any("quote" in remark for remark in run.remarks)


@pytest.mark.parametrize("separator", ["\t", "  "])
def test_decimal_commas(write: Write, table: Text, separator: str) -> None:
    rows = [(row[0], row[1], *(str(cell).replace(".", ",") for cell in row[2:])) for row in ROWS]
    assert_the_three_rows(one(write(table(LAB, rows, separator=separator))))


def test_typographers_minus(write: Write, table: Text) -> None:
    assert_the_three_rows(one(write(table(LAB, ROWS).replace("\t-", "\t−"))))


@pytest.mark.parametrize("ids", [("0001", "0002", "0003"), ("7", "3", "5"), ("0", "1", "1"), ("a", "b", "")])
def test_ids_are_text(write: Write, table: Text, ids: tuple[str, ...]) -> None:
    rows = [(identity, *row[1:]) for identity, row in zip(ids, ROWS, strict=True)]
    assert [ref.id for ref in one(write(table(LAB, rows))).patches] == [i or "3" for i in ids]


def test_repeated_patches_stay_apart(write: Write, table: Text) -> None:
    run = one(write(table(LAB, (*ROWS, *ROWS))))
    assert len(run) == 6
    assert [ref.row for ref in run.patches] == [1, 2, 3, 4, 5, 6]


# --- field names ---


@pytest.mark.parametrize(
    ("identity", "label"),
    [
        ("SAMPLE_ID", "SAMPLE_NAME"),
        ("SampleID", "SAMPLE_LOC"),
        ("SampleID", "PatchName"),
        ("sample_id", "Sample_Name"),
    ],
)
def test_spellings_of_id_and_name(write: Write, table: Text, identity: str, label: str) -> None:
    assert_the_three_rows(one(write(table((identity, label, *LAB[2:]), ROWS))))


def test_name_alone_is_the_id(write: Write, table: Text) -> None:
    run = one(write(table(LAB[1:], [row[1:] for row in ROWS])))
    assert [ref.id for ref in run.patches] == ["A1", "A2", "A3"]


@pytest.mark.parametrize(
    "spelling",
    [
        "nm{}",
        "NM_{}",
        "SPECTRAL_{}",
        "SPECTRAL_NM{}",
        "SPECTRAL_NM_{}",
        "SPEC_{}",
        "spec_{}",
        "Spectral_{}",
        "{}nm",
    ],
)
def test_spellings_of_bands(write: Write, table: Text, spelling: str) -> None:
    nm = bands()
    names = ("SAMPLE_ID", *(spelling.format(band) for band in nm))
    run = one(write(table(names, [(1, *(band / 1000 for band in nm))])))
    assert run.wavelengths is not None and run.spectra is not None
    np.testing.assert_allclose(run.wavelengths, nm)
    np.testing.assert_allclose(run.spectra[0], np.array(nm) / 1000)


@pytest.mark.parametrize(
    "nm",
    [
        bands(380, 780),
        bands(380, 800),
        bands(360, 830, 5),
        bands(380, 760, 5),
        bands(360, 740, 20),
        bands(400, 700),
    ],
    ids=str,
)
def test_ranges_and_steps(write: Write, table: Text, nm: list[int]) -> None:
    run = one(write(table(("SAMPLE_ID", *(f"nm{band}" for band in nm)), [(1, *([0.5] * len(nm)))])))
    np.testing.assert_allclose(run.wavelengths, nm)  # type: ignore[arg-type]


def test_rounded_labels_are_recovered_from_keywords(write: Write, table: Text) -> None:
    true = np.linspace(380, 730, 106)
    names = ("SAMPLE_ID", *(f"SPEC_{int(nm + 0.5)}" for nm in true))
    keywords = ['SPECTRAL_BANDS "106"', 'SPECTRAL_START_NM "380.0"', 'SPECTRAL_END_NM "730.0"']
    run = one(write(table(names, [(1, *([0.5] * 106))], keywords)))
    np.testing.assert_allclose(run.wavelengths, true)  # type: ignore[arg-type]


def test_rounded_labels_alone_are_kept_and_remarked(write: Write, table: Text) -> None:
    labels = [int(nm + 0.5) for nm in np.linspace(380, 730, 106)]
    run = one(write(table(("SAMPLE_ID", *(f"SPEC_{nm}" for nm in labels)), [(1, *([0.5] * 106))])))
    np.testing.assert_allclose(run.wavelengths, labels)  # type: ignore[arg-type]
    assert any("rounded" in remark for remark in run.remarks)


@pytest.mark.parametrize(("field", "factor"), [("SPECTRAL_DEC", 1.0), ("SPECTRAL_PCT", 100.0)])
@pytest.mark.parametrize("mark", [".", ","])
def test_pairs_of_wavelength_and_value(
    write: Write, table: Text, field: str, factor: float, mark: str
) -> None:
    nm = bands()
    names = ("SAMPLE_ID", *(name for _ in nm for name in ("SPECTRAL_NM", field)))
    row = [cell for band in nm for cell in (band, f"{0.25 * factor:.2f}".replace(".", mark))]
    run = one(write(table(names, [(1, *row), (2, *row)])))
    np.testing.assert_allclose(run.wavelengths, nm)  # type: ignore[arg-type]
    np.testing.assert_allclose(run.spectra, 0.25)  # type: ignore[arg-type]


def test_inks_by_name_not_by_order(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", "CMYK_K", "CMYK_C", "CMYK_M", "CMYK_Y", *LAB[2:])
    run = one(write(table(names, [(1, 100, 10, 20, 30, 50, 0, 0)])))
    assert run.device_space == "CMYK"
    np.testing.assert_allclose(run.device, [[0.1, 0.2, 0.3, 1.0]])  # type: ignore[arg-type]


def test_more_than_four_inks(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", *(f"6CLR_{ink}" for ink in range(1, 7)), *LAB[2:])
    run = one(write(table(names, [(1, 10, 20, 30, 40, 50, 60, 50, 0, 0)])))
    assert run.device_space == "6CLR"
    np.testing.assert_allclose(run.device, [[0.1, 0.2, 0.3, 0.4, 0.5, 0.6]])  # type: ignore[arg-type]


def test_columns_that_are_no_colours_are_no_bands(write: Write, table: Text) -> None:
    names = (
        "SAMPLE_ID",
        "LEFT",
        "TOP",
        "WIDTH",
        "HEIGHT",
        "Munsell",
        "RefractiveIndex",
        *LAB[2:],
        "DE_2000",
        "STDEV_L",
    )
    rows = [(row[0], 10, 20, 380, 400, "5R 4/2", "n/a", *row[2:], "-", "0.1") for row in ROWS]
    run = one(write(table(names, rows)))
    assert run.wavelengths is None
    np.testing.assert_allclose(run.lab, EXPECTED)  # type: ignore[arg-type]


def test_lightness_chroma_and_hue(write: Write, table: Text) -> None:
    run = one(write(table(("SAMPLE_ID", "LAB_L", "LAB_C", "LAB_H"), [(1, 50, 10, 90)])))
    np.testing.assert_allclose(run.lab, [[50, 0, 10]], atol=1e-9)  # type: ignore[arg-type]


# --- what is stated ---


@pytest.mark.parametrize(
    ("keyword", "condition"),
    [
        ('MEASUREMENT_SOURCE "MeasurementCondition=M1\tIllumination=D50"', "M1"),
        ('OWN_SETTINGS "Measurement Condition=M0; x=2"', "M0"),
        ('FILTER "M2"', "M2"),
        ('FILTER "UV-cut"', "M2"),
        ('FILTER "Polarisation"', "M3"),
        ('FILTER "no polarisation"', None),
        ('MEASUREMENT_MODE "M1"', "M1"),
        ("measurement_condition m2", "M2"),
        ('MEASUREMENT_GEOMETRY "0/45 M1"', "M1"),
        ('MEASUREMENT_CONDITION "M3"', "M3"),
        ('REMARK "no polarisation filter"', None),
        ('DESCRIPTOR "machine M1, second shift"', None),
    ],
)
def test_measurement_condition(write: Write, table: Text, keyword: str, condition: str | None) -> None:
    assert one(write(table(LAB, ROWS, [keyword]))).stated.condition == condition


@pytest.mark.parametrize(
    "keywords",
    [
        ['ILLUMINANT "D50"', 'OBSERVER "2"'],
        ['ILLUMINATION_NAME "D50"', 'OBSERVER_ANGLE "2"'],
        ['WEIGHTING_FUNCTION "ILLUMINANT, D50"', 'WEIGHTING_FUNCTION "OBSERVER, 2 degree"'],
        ['WEIGHTING_FUNCTION "ILLUMINANT,D50"', 'WEIGHTING_FUNCTION "OBSERVER,2degree"'],
        ['MEASUREMENT_SOURCE "Illumination=D50\tObserverAngle=2°\tWhiteBase=Abs"'],
    ],
    ids=str,
)
def test_illuminant_and_observer(write: Write, table: Text, keywords: list[str]) -> None:
    stated = one(write(table(LAB, ROWS, keywords))).stated
    assert (stated.illuminant, stated.observer) == ("D50", "2")


def test_two_statements_that_differ_count_as_none(write: Write, table: Text) -> None:
    run = one(write(table(LAB, ROWS, ['FILTER "M0"', 'MEASUREMENT_CONDITION "M1"'])))
    assert run.stated.condition is None
    assert any("M0 and as M1" in remark for remark in run.remarks)


def test_what_is_not_stated_is_remarked(write: Write, table: Text) -> None:
    remarks = " ".join(one(write(table(LAB, ROWS))).remarks)
    assert all(flag in remarks for flag in ("--condition", "--illuminant", "--observer"))


def test_what_the_user_says_fills_in(write: Write, table: Text) -> None:
    run = one(
        write(table(LAB, ROWS)),
        Supplied(condition="M1", illuminant="D50", observer="2", printed_as="managed"),
    )
    assert (run.stated.condition, run.stated.illuminant, run.stated.observer) == ("M1", "D50", "2")
    assert run.stated.said_by_user == {"condition", "illuminant", "observer"}
    assert run.printed_as == "managed"


def test_digits_of_given_lab_are_its_rounding(write: Write, table: Text) -> None:
    assert one(write(table(LAB, ROWS))).rounding == pytest.approx(0.01)


@pytest.mark.parametrize("encoding", ["SRGB", "OPRGB", "ECIRGB_V2", "ROMM_RGB"])
def test_source_values_in_columns_named_after_their_encoding(
    write: Write, table: Text, encoding: str
) -> None:
    names = ("SAMPLE_ID", *(f"{encoding}_{part}" for part in "RGB"), *LAB[2:])
    keywords = ['SOURCE_ENCODING "some encoding, 0 to 255"']
    run = one(write(table(names, [(1, 51, 0, 25.5, 50, 0, 0)], keywords)))
    np.testing.assert_allclose(run.device, [[0.2, 0, 0.1]])  # type: ignore[arg-type]


# --- scales ---


@pytest.mark.parametrize(
    ("values", "keywords", "said", "expected"),
    [
        ((255, 128, 12.75), [], Supplied(), (1, 128 / 255, 0.05)),
        ((100, 50, 0), ['RGB_SCALE "100"'], Supplied(), (1, 0.5, 0)),
        ((1, 0.5, 0), ['RGB_RANGE "0..1"'], Supplied(), (1, 0.5, 0)),
        ((100, 50, 0), [], Supplied(rgb_scale=100), (1, 0.5, 0)),
        ((65535, 0, 13107), [], Supplied(rgb_scale=65535), (1, 0, 0.2)),
        ((0, 0, 0), [], Supplied(), (0, 0, 0)),
    ],
)
def test_scale_of_rgb(
    write: Write, table: Text, values: object, keywords: list[str], said: Supplied, expected: object
) -> None:
    names = ("SAMPLE_ID", "RGB_R", "RGB_G", "RGB_B", *LAB[2:])
    run = one(write(table(names, [(1, *values, 50, 0, 0)], keywords)), said)  # type: ignore[misc]
    np.testing.assert_allclose(run.device, [expected])  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "keywords", "said", "expected"),
    [
        (0.9, [], Supplied(), 0.9),
        (1.3, [], Supplied(), 1.3),
        (2.01, [], Supplied(), 0.0201),
        (90, [], Supplied(), 0.9),
        (120, [], Supplied(), 1.2),
        (1.7, [], Supplied(spectral_scale="fraction"), 1.7),
        (1.7, [], Supplied(spectral_scale="percent"), 0.017),
        (1.7, ['SPECTRAL_NORM "100.0"'], Supplied(), 0.017),
    ],
)
def test_scale_of_spectra(
    write: Write, table: Text, value: float, keywords: list[str], said: Supplied, expected: float
) -> None:
    names = ("SAMPLE_ID", *(f"nm{nm}" for nm in bands()))
    run = one(write(table(names, [(1, *[value] * 36)], keywords)), said)
    np.testing.assert_allclose(run.spectra, expected)  # type: ignore[arg-type]


def test_xyz_with_100_for_white_and_with_1(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", "XYZ_X", "XYZ_Y", "XYZ_Z")
    np.testing.assert_allclose(one(write(table(names, [(1, 90, 95, 80)]))).xyz, [[90, 95, 80]])  # type: ignore[arg-type]
    ones = one(write(table(names, [(1, 0.9, 0.95, 0.8)])), Supplied(xyz_scale=1))
    np.testing.assert_allclose(ones.xyz, [[90, 95, 80]])  # type: ignore[arg-type]


def test_grey_has_one_channel(write: Write, table: Text) -> None:
    run = one(write(table(("SAMPLE_ID", "GRAY", *LAB[2:]), [(1, 51, 50, 0, 0), (2, 255, 90, 0, 0)])))
    assert run.device_space == "GREY"
    np.testing.assert_allclose(run.device, [[0.2], [1]])  # type: ignore[arg-type]


def test_short_spectra_beside_lab_are_left_out_and_remarked(write: Write, table: Text) -> None:
    nm = bands(400, 650)
    names = (*LAB[:1], *LAB[2:], *(f"nm{band}" for band in nm))
    run = one(write(table(names, [(1, 50, 0, 0, *[0.2] * len(nm))])))
    assert run.lab is not None and run.spectra is None
    assert any("spectra left out" in remark for remark in run.remarks)


def test_table_without_colour_beside_one_with_colour_is_left_out(write: Write, table: Text) -> None:
    text = table(LAB, ROWS) + table(("SAMPLE_ID", "DE_2000"), [(1, 0.5)], first="")
    (run,) = read_readings(write(text))
    assert any("table 2 left out: no measured colour" in remark for remark in run.remarks)


def test_same_id_on_different_device_values_is_remarked(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", "RGB_R", "RGB_G", "RGB_B", *LAB[2:])
    run = one(write(table(names, [(1, 255, 0, 0, 50, 0, 0), (1, 0, 255, 0, 60, 0, 0)])))
    assert any("different device values" in remark for remark in run.remarks)


def test_same_id_on_colours_far_apart_is_remarked_and_repeats_are_not(write: Write, table: Text) -> None:
    near = one(write(table(LAB, [(1, "A1", 50, 0, 0), (1, "A1", 50.4, 0, 0.3)])))
    far = one(write(table(LAB, [(1, "A1", 50, 0, 0), (1, "A1", 80, 0, 0)])))
    assert not any("far apart" in remark for remark in near.remarks)
    assert any(r == "id 1 has rows with measured colours far apart" for r in far.remarks)


# --- files of others ---


def test_rgb_and_spectra_of_another_library() -> None:
    """The one text of RGB and spectra that colour-science carries for its own reader (version 0.4.7).

    CR LF, comments after values, D65 and 10 degrees stated: colours come from the spectra all the same.
    """
    package = find_spec("colour")  # found, not imported: only a file of it is wanted
    assert package is not None and package.origin is not None
    folder = Path(package.origin).parent / "io" / "tests" / "resources"
    (found,) = [path for path in folder.glob("*.txt") if b"BEGIN_DATA" in path.read_bytes()]
    run = one(found)
    assert (run.stated.illuminant, run.stated.observer, run.stated.condition) == ("D65", "10", None)
    assert run.wavelengths is not None and run.spectra is not None and run.device is not None
    assert (len(run), run.wavelengths[0], run.wavelengths[-1]) == (10, 380, 730)
    assert [ref.name for ref in run.patches] == [f"X{number}" for number in range(1, 11)]
    np.testing.assert_allclose(run.device[0] * 255, [109.97, 110.29, 110.21])
    np.testing.assert_allclose(run.spectra[0, :4], [0.0069, 0.0069, 0.0068, 0.0068])
    assert colours(run).basis == "spectra"


def test_condition_that_one_table_states_chooses_it(three_conditions: Path) -> None:
    run = one(three_conditions, Supplied(condition="M2"))
    assert run.stated.condition == "M2" and run.part == "table 3"
    assert any("2 of 3 runs" in remark for remark in run.remarks)


def test_condition_fills_in_where_none_is_stated(write: Write, table: Text) -> None:
    text = table(LAB, ROWS, ["MEASUREMENT_CONDITION M0"]) + table(LAB, ROWS, first="")
    runs = read_readings(write(text), Supplied(condition="M1"))
    assert [run.stated.condition for run in runs] == ["M0", "M1"]


def test_bands_named_in_a_way_of_their_own(write: Write, table: Text) -> None:
    names = ("SAMPLE_ID", *(f"MyBand_{nm}" for nm in bands()))
    run = one(write(table(names, [(1, *[0.5] * 36)])))
    np.testing.assert_allclose(run.wavelengths, bands())  # type: ignore[arg-type]
