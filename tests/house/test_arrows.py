"""The arrows of the house: which room may import which. Read from the source, so nothing is run."""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

WORDS = {"errors", "plain_text", "system_words", "unfinished", "csv_text"}
SAID = WORDS | {"session", "said", "fold", "keyed"}
NOUNS = {"sheet.layout", "readings.run"}

# room -> what it may import of `evaluation`, besides itself
ALLOWED = {
    "errors": {"plain_text"},
    "plain_text": set(),
    "csv_text": {"plain_text"},
    "system_words": set(),
    "unfinished": set(),
    "session": set(),
    "said": {"session"},
    "fold": {"session", "said"},
    "keyed": WORDS | {"toml_lines", "toml_guard"},
    "toml_guard": WORDS | {"toml_lines"},
    "toml_lines": set(),
    "progress": SAID | {"sheet.layout"},
    "published": WORDS,
    "pictures": WORDS,
    "colorimetry": WORDS | {"published", "sheet.layout"},
    "profile": SAID | {"published", "pictures", "colorimetry", "sheet.layout"},
    "sheet": SAID | {"published", "pictures", "colorimetry", "profile"},
    "readings": SAID | {"published", "colorimetry", "profile", "sheet"},
    "metrics": SAID | {"published", "colorimetry", "profile", "sheet", "readings"},
    "judgement": SAID | {"published", "colorimetry", "profile", "sheet", "readings", "metrics"},
    "appendix": SAID
    | {"published", "pictures", "colorimetry", "profile", "sheet", "readings", "metrics", "judgement"}
    | {"progress"},
    "archive": SAID | NOUNS,
    "work": SAID
    | {"progress", "published", "colorimetry", "profile", "sheet", "readings", "metrics"}
    | {"judgement", "appendix", "archive"},
}
SCREEN_LIBRARIES = {"textual", "rich", "tui"}


def sources(package: str) -> list[Path]:
    return sorted((ROOT / package).rglob("*.py"))


@cache
def imported(path: Path) -> tuple[str, ...]:
    return tuple(_imported(path))


def _imported(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def room(path: Path) -> str:
    inside = path.relative_to(ROOT / "evaluation")
    return inside.parts[0].removesuffix(".py")


def may(own: str, module: str) -> bool:
    inner = module.removeprefix("evaluation").removeprefix(".")
    if not inner or inner.split(".")[0] == own:
        return True
    allowed = ALLOWED[own]
    return any(
        inner == name or inner.startswith(name + ".") or name.startswith(inner + ".") for name in allowed
    )


def test_every_import_follows_an_arrow() -> None:
    against = [
        f"{path.relative_to(ROOT)}: {module}"
        for path in sources("evaluation")
        if path != ROOT / "evaluation" / "__init__.py"
        for module in imported(path)
        if module.startswith("evaluation") and not may(room(path), module)
    ]
    assert against == []


def test_evaluation_knows_no_screen() -> None:
    against = [
        f"{path.relative_to(ROOT)}: {module}"
        for path in sources("evaluation")
        for module in imported(path)
        if module.split(".")[0] in SCREEN_LIBRARIES
    ]
    assert against == []


SCREENS_NOT = ("sqlite3", "sqlite_utils", "numpy", "colour", "tomllib", "xml")
ROOMS_BEHIND_WORK = ("archive", "colorimetry", "profile", "metrics", "appendix", "published")
NOUNS_FOR_SCREENS = ("evaluation.archive.sessions", "evaluation.appendix.case")  # Head, Order; Choices


def test_screens_reach_rooms_only_through_work_and_nouns() -> None:
    """Screens and widgets hold no SQL, no colour maths, no parsing: they may not even import them."""
    against = []
    for path in [*sources("tui/screens"), *sources("tui/widgets")]:
        for module in imported(path):
            first, _, rest = module.partition(".")
            room_behind = first == "evaluation" and rest.split(".")[0] in ROOMS_BEHIND_WORK
            if first in SCREENS_NOT or (room_behind and not module.startswith(NOUNS_FOR_SCREENS)):
                against.append(f"{path.relative_to(ROOT)}: {module}")
    assert against == []


def test_the_start_path_carries_nothing_heavy() -> None:
    """Modules on the way to the first frame import the standard library and each other only."""
    light = ["session.py", "said.py", "progress.py", "sheet/layout.py"]
    light += ["archive/connection.py", "archive/sessions.py", "archive/entries.py"]
    heavy = {"numpy", "sqlite_utils", "colour", "scipy", "PIL", "pyvips", "matplotlib", "typst"}
    for name in light:
        found = {module.split(".")[0] for module in imported(ROOT / "evaluation" / name)}
        assert not found & heavy, name


@pytest.mark.parametrize(
    ("library", "room"), [("colour", "published/colour_science.py"), ("sqlite_utils", "archive/")]
)
def test_a_heavy_library_has_one_door(library: str, room: str) -> None:
    """Imported late, quietly and in one place; `import_module` counts too."""
    asked = re.compile(rf"^\s*(?:import|from) {library}\b|import_module\(\"{library}\b", re.MULTILINE)
    against = [
        str(path.relative_to(ROOT))
        for folder in ("evaluation", "tui", "fixtures")
        for path in sources(folder)
        if asked.search(path.read_text("utf-8")) and room not in str(path)
    ]
    assert against == []


def test_the_top_level_holds_what_the_design_card_lists() -> None:
    listed = {"pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE"}
    listed |= {"tui", "evaluation", "tests", "fixtures"}
    made = {"dist", "uv.lock", "build"}  # by tools, ignored by git
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found - made <= listed


def test_no_comment_cites_a_page_that_is_not_here() -> None:
    """A rule is said where it holds, or its published source is named."""
    pages = "NUMBERS|DESIGN|SCREENS|ARCHITECTURE|CAUSES|READINGS|STANDARDS|STYLE"
    citing = re.compile(rf"\b(?:{pages})(?:\.md)? (?:\d|page|part|section)|\b(?:{pages})\.md")
    code = [path for folder in ("evaluation", "tui", "fixtures", "tests") for path in sources(folder)]
    against = [str(path.relative_to(ROOT)) for path in code if citing.search(path.read_text("utf-8"))]
    assert against == []


def test_no_package_marker_under_tests() -> None:
    """An __init__.py there would shadow the package of the same name."""
    assert not list((ROOT / "tests").rglob("__init__.py"))
