"""The arrows of the house: which room may import which. Read from the source, so nothing is run."""

import ast
import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

# room -> what it imports of `evaluation`, besides itself: all of it, and nothing that is not used
ALLOWED: dict[str, set[str]] = {
    "errors": {"plain_text"},
    "plain_text": set(),
    "csv_text": {"plain_text"},
    "system_words": set(),
    "unfinished": set(),
    "processes": set(),
    "session": set(),
    "entry": {"session"},
    "entry_check": {"session", "entry"},
    "fold": {"session", "entry", "entry_check"},
    "rounds": set(),
    "observer": set(),
    "loan": {"session"},
    "keyed": {"errors", "plain_text", "toml_lines", "toml_guard"},
    "toml_guard": {"errors", "toml_lines"},
    "toml_lines": set(),
    "progress": {"plain_text", "session", "sheet.layout"},
    "planning": {"errors", "plain_text", "session", "loan"},
    "published": {"errors", "plain_text"},
    "pictures": {"errors", "system_words"},
    "colorimetry": {"errors", "plain_text", "system_words", "published"},
    "profile": {"errors", "plain_text", "system_words", "session", "published", "pictures", "colorimetry"},
    "facts": {"errors", "plain_text"},
    "sheet": {"errors", "plain_text", "system_words", "unfinished", "processes", "session", "keyed"}
    | {"published", "pictures", "colorimetry", "profile"},
    "readings": {"errors", "plain_text", "system_words", "published", "colorimetry", "profile", "sheet"},
    "metrics": {"errors", "session", "published", "colorimetry", "sheet", "readings"},
    "judgement": {"plain_text", "session", "keyed", "rounds"}
    | {"published", "colorimetry", "profile", "sheet", "readings", "metrics"},
    "telling": {"plain_text", "session", "entry", "rounds", "loan", "planning", "facts"}
    | {"published", "colorimetry", "sheet", "readings", "metrics", "judgement"},
    "appendix": {"errors", "plain_text", "system_words", "csv_text", "session", "entry", "keyed", "loan"}
    | {
        "published",
        "pictures",
        "colorimetry",
        "profile",
        "sheet",
        "readings",
        "metrics",
        "judgement",
        "telling",
        "facts",
    },
    "export": {"errors", "plain_text", "csv_text"},
    "documents": {"judgement"},
    "archive": {"errors", "plain_text", "system_words", "unfinished", "session", "entry", "fold"}
    | {"readings.run", "rounds", "loan", "observer"},
    "work": {
        "errors",
        "plain_text",
        "system_words",
        "unfinished",
        "processes",
        "csv_text",
        "session",
        "entry",
    }
    | {"keyed", "progress", "published", "colorimetry", "profile", "sheet", "readings", "metrics"}
    | {
        "judgement",
        "telling",
        "appendix",
        "export",
        "archive",
        "documents",
        "rounds",
        "loan",
        "planning",
        "facts",
    },
}
# Folders whose files import each other in no circle, not even late or for types alone.
WITHOUT_CIRCLES = ("evaluation", "tui")
SCREEN_LIBRARIES = {"textual", "rich", "tui"}


def sources(package: str) -> list[Path]:
    return sorted((ROOT / package).rglob("*.py"))


@cache
def imported(path: Path) -> tuple[str, ...]:
    return tuple(_imported(path))


# A statement that imports, whatever it is indented by: up to its line's end, or to the end of its brackets.
_IMPORT = re.compile(r"^[ \t]*((?:from|import)\b[^\n(]*(?:\((?:[^)#]|#[^\n]*)*\))?)", re.MULTILINE)


def _imported(path: Path) -> Iterator[str]:
    for statement in _IMPORT.findall(path.read_text("utf-8")):  # to read whole trees takes ten times as long
        try:
            (node,) = ast.parse(statement).body
        except (SyntaxError, ValueError):
            continue  # words of a docstring; programs that stand in a string count as well
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def room(path: Path) -> str:
    inside = path.relative_to(ROOT / "evaluation")
    return inside.parts[0].removesuffix(".py")


def named(module: str, allowed: str) -> bool:
    """Whether an import of `module` is one of `allowed`, both without `evaluation.`."""
    return module == allowed or module.startswith(allowed + ".")


def across() -> Iterator[tuple[Path, str, str]]:
    """Every import from one room of `evaluation` into another: file, its room, what it imports."""
    for path in sources("evaluation"):
        for module in imported(path):
            inner = module.removeprefix("evaluation.")
            if inner != module and inner.split(".")[0] != room(path):
                yield path, room(path), inner


def test_every_import_follows_an_arrow() -> None:
    against = [
        f"{path.relative_to(ROOT)}: {module}"
        for path, own, module in across()
        if not any(named(module, allowed) for allowed in ALLOWED[own])
    ]
    assert against == []


def test_no_arrow_is_allowed_that_nobody_takes() -> None:
    taken = [(own, module) for _, own, module in across()]
    unused = [
        f"{own} -> {allowed}"
        for own, rooms in ALLOWED.items()
        for allowed in sorted(rooms)
        if not any(one == own and named(module, allowed) for one, module in taken)
    ]
    assert unused == []


def test_the_arrows_are_those_that_developers_md_draws() -> None:
    """Its line of rooms, lowest first: each may import what stands left of it, none what stands right."""
    drawn = re.search(
        r"^Arrows run one way: `(.+)`\.$", (ROOT / "DEVELOPERS.md").read_text("utf-8"), re.MULTILINE
    )
    assert drawn is not None
    floors = [floor.split(", ") for floor in drawn[1].split(" ← ")]
    height = {name: number for number, floor in enumerate(floors) for name in floor}
    against = [
        f"{own} -> {allowed}"
        for own, rooms in ALLOWED.items()
        for allowed in rooms
        if own in height and height.get(allowed.split(".")[0], -1) >= height[own]
    ]
    assert against == []
    # What stands in no line is what all rooms stand on, or what ties them together.
    below = set(ALLOWED) - set(height) - {"archive", "work"}
    assert all(not ALLOWED[own] - below - {"sheet.layout"} for own in below)
    assert not any({"archive", "work"} & rooms for own, rooms in ALLOWED.items() if own != "work")


def files_imported(folders: Iterable[str]) -> dict[str, set[str]]:
    """File by file what it imports of these folders, wherever in the file the import stands."""
    paths = {
        ".".join(path.relative_to(ROOT).with_suffix("").parts): path
        for one in folders
        for path in sources(one)
    }
    known = {name.removesuffix(".__init__"): path for name, path in paths.items()}
    return {
        name: {
            target
            for module in imported(path)
            for target in (module, module.rpartition(".")[0])
            if target in known and target != name and (target == module or module not in known)
        }
        for name, path in known.items()
    }


def circles(graph: dict[str, set[str]]) -> list[str]:
    """The files that lie on a circle: what is left after taking away, again and again, what leads nowhere."""
    left = dict(graph)
    while True:
        ends = {name for name, targets in left.items() if not targets & left.keys()}
        ends |= left.keys() - set().union(*left.values())
        if not ends:
            return sorted(left)
        left = {name: targets for name, targets in left.items() if name not in ends}


def test_no_files_import_each_other_in_a_circle() -> None:
    assert circles({"a": {"b"}, "b": {"c"}, "c": {"b"}, "d": {"a"}}) == ["b", "c"]
    assert circles(files_imported(WITHOUT_CIRCLES)) == []


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
NOUNS_FOR_SCREENS = (
    "evaluation.archive.session_list",  # Head, Order
    "evaluation.archive.bundles.nouns",
    "evaluation.appendix.case",  # Choices
)


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
    light = ["session.py", "entry.py", "progress.py", "sheet/layout.py"]
    light += ["archive/connection.py", "archive/sessions.py", "archive/session_list.py", "archive/entries.py"]
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


TABLES = {"evaluation/export/columns.py", "tui/keys.py"}  # data, a row a line


def test_no_file_is_longer_than_three_hundred_lines() -> None:
    found = {
        str(path.relative_to(ROOT))
        for folder in ("evaluation", "tui", "fixtures")
        for path in sources(folder)
        if path.read_text("utf-8").count("\n") > 300
    }
    assert found == TABLES


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
