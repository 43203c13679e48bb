"""Column names that state the illuminant and observer of their colours: "L* (D50/2°)", "X D65 10"."""

import re
from collections.abc import Sequence
from typing import Final

_LIGHT: Final = re.compile(
    r"(?P<name>.*?\S)\s*(?:[(\[]\s*|[\s_,/]\s*)"
    r"(?P<illuminant>D\d{2}|F\d{1,2}|[AC](?=[\s,/°)\]\d]))"
    r"(?:[\s_,/]*(?P<observer>10|2)\s*(?:°|deg(?:rees?)?)?)?\s*[)\]]?",
    re.I,
)
_LEAST: Final = 3  # the parts of a colour


def without_illuminants(names: Sequence[str]) -> tuple[tuple[str, ...], dict[str, str]]:
    """The names without illuminant and observer, and these as keywords; unchanged where names differ in them.

    >>> without_illuminants(["ID", "L* (D50/2°)", "a* (D50/2°)", "b* (D50/2°)"])
    (('ID', 'L*', 'a*', 'b*'), {'ILLUMINANT': 'D50', 'OBSERVER': '2'})
    >>> without_illuminants(["ID", "L*", "a*", "b*"])
    (('ID', 'L*', 'a*', 'b*'), {})
    """
    found = {name: match for name in names if (match := _LIGHT.fullmatch(name.strip()))}
    lights = {(match["illuminant"].upper(), match["observer"] or "") for match in found.values()}
    if len(found) < _LEAST or len(lights) != 1:
        return tuple(names), {}
    illuminant, observer = lights.pop()
    bare = tuple(found[name]["name"] if name in found else name for name in names)
    return bare, {"ILLUMINANT": illuminant} | ({"OBSERVER": observer} if observer else {})
