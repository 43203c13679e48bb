"""What is done to a sound file. Each takes its bytes and a `Random`, and gives the same for the same seed."""

import re
from random import Random
from typing import Final

import numpy as np

from tests.profile.mutate import mutated as mutated_profile
from tests.readings.test_robustness import BEYOND
from tests.readings.test_robustness import mutated as mutated_text

_NUMBER: Final = re.compile(rb"(?<![\w.,])-?\d+(?:[.,]\d+)?(?![\w.,])")
_QUOTED: Final = re.compile(rb'"([^"\n]*)"')
_ODD_BYTES: Final = (0, 1, 2, 3, 4, 8, 16, 32, 64, 127, 128, 254, 255)
_ODD_TEXT: Final = ("\u200b", "\ufeff", "\u202e", "\U000e0041", "\x1b[2J", "=1+1", "日本", "\0", "\r", "\x85")
# What stands where a value is expected, and what the grammar of TOML turns on.
_VALUES: Final = (
    *("nan", "-inf", "1e400", "-0.0", "0x" + "f" * 40, "9" * 4400, "1_000", "true", '""', "''", "[]", "{}"),
    *("1979-05-27", "1979-05-27T07:32:00Z", "07:32:00", "0001-01-01T00:00:00+23:59", '"nan"', "[[[]]]"),
    *("[1, 'a', []]", "{ a = { b = 1 } }", '"\\u0000"', '"\\U0010FFFF"', "-1", "99999999", "0.5", '"4"'),
)
_GRAMMAR: Final = (
    *("[", "]", "[[", "]]", "{", "}", "=", ".", ",", '"', "'", '"""', "'''", "#", "\\", "\n", "\r\n", "\t"),
    *("[a.b]\n", "[[a]]\n", "a.b.c = 1\n", '"" = 1\n', "[" * 60, "{a=" * 60, "a." * 40, "\\u12", "\ufeff"),
)


def of_readings(content: bytes, random: Random) -> bytes:
    """Bytes and lines out of place; numbers that no instrument gives, or one that it gave elsewhere.

    Most are changed in few places: a file with many faults is refused for the first, and tries nothing else.
    """
    chance = random.random()
    if chance < 0.3:
        return mutated_text(content, random, random.choice((1, 1, 2, 6)))
    if chance < 0.4:
        return of_bytes(content, random)
    places = [found.span() for found in _NUMBER.finditer(content)]
    chosen = sorted(random.sample(places, min(len(places), random.choice((1, 1, 2, 8)))), reverse=True)
    if chance < 0.6:
        values: list[bytes] = [*BEYOND, b"nan", b"0", b"-1", b"1,5", b""]
    else:
        values = [content[start:end] for start, end in random.sample(places, min(len(places), 9))]
    for start, end in chosen:
        content = content[:start] + random.choice(values) + content[end:]
    return content


def of_toml(content: bytes, random: Random) -> bytes:
    """Values of another kind, keys and tables moved, the grammar broken; bytes out of place, too."""
    if random.random() < 0.15:
        return of_bytes(content, random)
    lines = content.decode("utf-8").split("\n")
    for _ in range(random.choice((1, 1, 1, 2, 4))):
        at = random.randrange(len(lines))
        match random.randrange(8):
            case 0 | 1 | 2:
                key, equals, _ = lines[at].partition("=")
                lines[at] = f"{key}{equals} {random.choice(_VALUES)}" if equals else lines[at]
            case 3:
                del lines[at : at + random.choice((1, 1, 5))]
                lines = lines or [""]
            case 4:
                lines.insert(random.randrange(len(lines)), lines[at])
            case 5:
                place = random.randrange(len(lines[at]) + 1)
                lines[at] = lines[at][:place] + random.choice(_GRAMMAR) + lines[at][place:]
            case 6:
                place = random.randrange(len(lines[at]) + 1)
                lines[at] = lines[at][:place] + random.choice(_ODD_TEXT) + lines[at][place + 1 :]
            case _:
                other = random.randrange(len(lines))
                lines[at], lines[other] = lines[other], lines[at]
    return "\n".join(lines).encode("utf-8", "surrogatepass")


def of_form(content: bytes, random: Random) -> bytes:
    """What stands between quotation marks exchanged, or its numbers others; or as any TOML."""
    if random.random() < 0.3:
        return of_toml(content, random)
    for _ in range(random.choice((1, 1, 2, 4))):
        values = list(_QUOTED.finditer(content))
        one, other = random.choice(values), random.choice(values)
        changed = other[1] if random.random() < 0.4 else of_numbers(one[1], random)
        content = content[: one.start(1)] + changed.replace(b'"', b"'") + content[one.end(1) :]
    return content


def of_numbers(content: bytes, random: Random) -> bytes:
    """A number or two of a text others: what no instrument gives, or a little more or less."""
    places = [found.span() for found in _NUMBER.finditer(content)]
    for start, end in sorted(random.sample(places, min(len(places), random.choice((1, 2)))), reverse=True):
        near = (content[start:end] + b"0", b"0" + content[start:end], b"1", b"7", b"13", b"2.5")
        value = random.choice((*near, *BEYOND, b"nan", b"0", b"-1", b"1,5", b"", b"1e9", b"\xe2\x88\x92 5"))
        content = content[:start] + value + content[end:]
    return content


def of_profile(content: bytes, random: Random) -> bytes:
    return mutated_profile(content, np.random.default_rng(random.getrandbits(32)))


def of_bytes(content: bytes, random: Random) -> bytes:
    """One to ten bytes changed, most of them near the beginning; now and then a cut, a doubling, a gap."""
    changed = bytearray(content or b" ")
    for _ in range(random.choice((1, 1, 2, 4, 10))):
        reach = random.choice((32, 200, 1000, len(changed)))
        at = random.randrange(min(reach, len(changed)))
        changed[at] = random.choice((*_ODD_BYTES, random.randrange(256)))
    where = random.randrange(len(changed))
    match random.randrange(12):
        case 0:
            del changed[where:]
        case 1:
            changed[where:where] = changed[where : where + random.choice((4, 64, 900))]
        case 2:
            del changed[where : where + random.choice((1, 4, 64, 900))]
    return bytes(changed)


def of_archive(content: bytes, random: Random) -> bytes:
    """Bits turned over, pages blank, torn or exchanged, the end missing: what disks and cables do."""
    page = 4096
    changed = bytearray(content)
    pages = max(1, len(changed) // page)
    for _ in range(random.choice((1, 1, 2, 5, 20))):
        at = random.randrange(pages) * page
        match random.randrange(8):
            case 0:
                changed[at : at + page] = bytes(len(changed[at : at + page]))
            case 1:
                other = random.randrange(pages) * page
                changed[at : at + page], changed[other : other + page] = (
                    changed[other : other + page],
                    changed[at : at + page],
                )
            case 2:
                changed[at + page // 2 : at + page] = bytes(len(changed[at + page // 2 : at + page]))
            case 3:
                changed[at + random.randrange(12)] = random.choice(_ODD_BYTES)
            case _:
                changed[random.randrange(len(changed))] ^= 1 << random.randrange(8)
    if random.random() < 0.08:
        del changed[random.randrange(100, len(changed)) :]
    return bytes(changed)
