"""Signs that not every terminal can show, and what stands for them there: always one plain character."""

import codecs
import sys
from typing import Final

# For fonts and terminals that draw these signs two cells wide, or not at all.
PLAIN_SIGNS: Final = str.maketrans(
    {
        "▸": ">",
        "≠": "#",
        "━": "=",
        "─": "-",
        "│": "|",
        "┃": "|",
        "┼": "+",
        "·": ".",
        "●": "o",
        "░": ":",
        "▀": "#",
        "█": "#",
        "…": "~",
        "±": "~",
        **dict.fromkeys("┌┐└┘╭╮╰╯┏┓┗┛├┤┬┴┣┫┳┻╋", "+"),
        **{chr(code): "." for code in range(0x2801, 0x2900)},  # dotted curves
        "\u2800": " ",
    }
)
# For an output whose encoding lacks them.
_IN_PLACE: Final = PLAIN_SIGNS | str.maketrans(
    {
        **dict.fromkeys("“”„‟", '"'),
        **dict.fromkeys("‘’‚‛", "'"),
        **dict.fromkeys("−–—‐‑", "-"),
        **dict.fromkeys("\u2002\u2003\u2009\u202f", " "),
        **{bar: str(eighths) for eighths, bar in enumerate("▁▂▃▄▅▆▇█", 1)},
        "×": "x",
        "°": "o",
        "²": "2",
    }
)
_NAME: Final = "drydown.signs"


def _replaced(problem: UnicodeError) -> tuple[str, int]:
    """For `codecs`: each character that cannot be encoded becomes one that can, at worst a question mark."""
    if not isinstance(problem, UnicodeEncodeError):
        raise problem
    signs = problem.object[problem.start : problem.end].translate(_IN_PLACE)
    return "".join(sign if sign.isascii() else "?" for sign in signs), problem.end


codecs.register_error(_NAME, _replaced)


def fit_outputs() -> None:
    """From now on both outputs take every text, whatever their encoding."""
    for stream in (sys.stdout, sys.stderr):
        if (reconfigure := getattr(stream, "reconfigure", None)) is not None:
            reconfigure(errors=_NAME)
