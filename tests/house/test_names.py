"""One name for one thing: a stranger who meets a file or a class by its name finds the one that is meant."""

import re
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parents[2]
SHAPES = "documents"  # the JSON of a noun goes by the noun's own name


def test_a_module_is_known_by_its_folder_and_its_name() -> None:
    files = [path for room in ("evaluation", "tui") for path in (ROOT / room).rglob("*.py")]
    known = Counter((path.parent.name, path.stem) for path in files)
    twice = [name for name, count in known.items() if count > 1 and not name[1].startswith("__")]
    assert twice == []


def test_a_noun_has_one_meaning() -> None:
    classes = Counter(
        name
        for path in (ROOT / "evaluation").rglob("*.py")
        if path.parent.name != SHAPES
        for name in re.findall(r"^class ([A-Za-z]\w*)", path.read_text("utf-8"), re.MULTILINE)
    )
    assert [name for name, count in classes.items() if count > 1] == []
