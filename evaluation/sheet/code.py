"""The code printed on a sheet: it ties the print to the map it is evaluated with.

Seven symbols from the digest of the map and one check symbol, in two groups: "K7QD-3M9X". The alphabet leaves
out I, L, O, S and U; with 31 symbols, a prime number, neither one wrong symbol nor two exchanged ones make
another valid code.
"""

import hashlib
from typing import Final

from evaluation.errors import UsageProblem
from evaluation.plain_text import quoted

ALPHABET: Final = "0123456789ABCDEFGHJKMNPQRTVWXYZ"
PREFIX: Final = "DRYDOWN:"  # what a camera reads before the code
_SYMBOLS: Final = 7
_READ_AS: Final = str.maketrans("ILOSU", "1105V")  # what people and cameras misread


def sheet_code(map_text: str) -> str:
    """The code of a map, from its text without the code.

    >>> sheet_code("a map")
    'GETK-B33Q'
    """
    number = int.from_bytes(hashlib.sha256(map_text.encode()).digest()[:16], "big")
    values = []
    for _ in range(_SYMBOLS):
        number, value = divmod(number, len(ALPHABET))
        values.append(value)
    values.append(_check(values))
    symbols = "".join(ALPHABET[value] for value in values)
    return f"{symbols[:4]}-{symbols[4:]}"


def normal_code(typed: str) -> str:
    """A code in its normal form, from what was typed. Raises UsageProblem where it is not a code."""
    bare = "".join(typed.upper().split()).removeprefix(PREFIX)
    symbols = bare.replace("-", "").translate(_READ_AS)
    values = [ALPHABET.find(symbol) for symbol in symbols]
    if len(symbols) != _SYMBOLS + 1 or -1 in values or values[-1] != _check(values[:-1]):
        raise UsageProblem(
            "The sheet was not found.",
            where="sheet code",
            expected="eight letters and digits, as printed beside the square code",
            found=quoted(typed),
            remedy="Read it again; one symbol differs.",
        )
    return f"{symbols[:4]}-{symbols[4:]}"


def _check(values: list[int]) -> int:
    """The symbol that makes the weighted sum divisible by 31; weights 2, 3, 4, ... make places count."""
    return -sum(weight * value for weight, value in enumerate(values, 2)) % len(ALPHABET)
