"""The code printed on a sheet."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evaluation.errors import UsageProblem
from evaluation.sheet.code import ALPHABET, normal_code, sheet_code
from evaluation.sheet.furniture import code_modules
from evaluation.sheet.load import read_map
from evaluation.sheet.write_map import map_toml

codes = st.integers().map(str).map(sheet_code)


@given(codes)
def test_a_code_is_its_own_normal_form(code: str) -> None:
    assert normal_code(code) == code
    assert normal_code(code.lower().replace("-", " ")) == code
    assert normal_code(f"DRYDOWN:{code}") == code  # as a camera reads it


@given(codes, st.integers(0, 7), st.sampled_from(ALPHABET))
def test_one_wrong_symbol_is_noticed(code: str, place: int, symbol: str) -> None:
    symbols = code.replace("-", "")
    if symbols[place] == symbol:
        return
    with pytest.raises(UsageProblem, match="one symbol differs"):
        normal_code(symbols[:place] + symbol + symbols[place + 1 :])


@given(codes, st.integers(0, 6))
def test_two_exchanged_neighbours_are_noticed(code: str, place: int) -> None:
    symbols = code.replace("-", "")
    exchanged = symbols[:place] + symbols[place + 1] + symbols[place] + symbols[place + 2 :]
    if exchanged == symbols:
        return
    with pytest.raises(UsageProblem):
        normal_code(exchanged)


@pytest.mark.parametrize("typed", ["", "K7QD", "K7QD-3M9X-1", "????-????", "\x1b[31m"])
def test_what_is_no_code_is_refused(typed: str) -> None:
    with pytest.raises(UsageProblem) as caught:
        normal_code(typed)
    assert "\x1b" not in caught.value.sentence


def test_letters_taken_for_figures_are_read_as_meant() -> None:
    code = next(sheet_code(str(n)) for n in range(9999) if "0" in sheet_code(str(n)))
    assert normal_code(code.replace("0", "O")) == code


def test_the_square_code_is_one_of_version_one() -> None:
    """ISO/IEC 18004: version 1 has 21 modules a side and a finder pattern in three corners."""
    dark = code_modules("GETK-B33Q")
    finder = np.ones((7, 7), dtype=bool)
    finder[1:6, 1:6] = False
    finder[2:5, 2:5] = True
    assert dark.shape == (21, 21)
    for corner in (dark[:7, :7], dark[:7, -7:], dark[-7:, :7]):
        assert (corner == finder).all()


def test_the_code_of_a_sheet_with_earlier_patch_codes_is_still_that_of_its_map() -> None:
    path = Path(__file__).parent / "data" / "drawn-before.toml"
    sheet = read_map(path.read_text("utf-8"), path.name)
    assert sheet.patch("K24").series == "deep 3" and sheet.patch("CL8").name == "rose 8"
    assert sheet_code(map_toml(replace(sheet, code=""))) == sheet.code == normal_code("1rwb tnwt")
