"""Rules that hold for every screen and widget, read from the classes themselves."""

import ast
import importlib
import inspect
import pkgutil
from pathlib import Path

import pytest
from textual.containers import Vertical
from textual.screen import ModalScreen, Screen
from textual.scroll_view import ScrollView
from textual.widgets import Input, Static

import tui.screens
from tui import keys
from tui.screens.base.page import Page
from tui.widgets import panel, row_list, typing

ROOT = Path(__file__).parents[2] / "tui"
MODULES = [
    importlib.import_module(found.name)
    for found in pkgutil.walk_packages(tui.screens.__path__, "tui.screens.")
]
SCREENS = [
    found
    for module in MODULES
    for _, found in inspect.getmembers(module, inspect.isclass)
    if issubclass(found, Screen) and found.__module__ == module.__name__
]
PAGES = [each for each in SCREENS if issubclass(each, Page) and each.PAGE]
WIDGETS: list[type] = [typing.Typing, panel.Panel, panel.Frame, row_list.RowList]
# Names of the framework that a class of ours fills in on purpose.
MEANT = {
    *("AUTO_FOCUS", "BINDINGS", "COMPONENT_CLASSES", "CSS", "DEFAULT_CSS", "compose", "check_action"),
    *("get_content_height", "on_mount", "on_resize", "render", "render_line", "active_bindings"),
    *("__init__", "__module__", "__doc__", "__parameters__", "__orig_bases__", "__static_attributes__"),
    *("__firstlineno__", "__annotations__"),
}


@pytest.mark.parametrize("own", [*SCREENS, *WIDGETS], ids=lambda own: own.__name__)
def test_no_name_of_the_framework_is_taken_by_accident(own: type) -> None:
    """`region`, `title`, `_name` and many more belong to the framework; taking one breaks it silently."""
    base = next(
        each for each in (ModalScreen, Screen, Input, Static, Vertical, ScrollView) if issubclass(own, each)
    )
    theirs = dir(base())  # with what an instance carries: `_name`, `_id` and the like
    taken = {name for name in vars(own) if name in theirs and not name.startswith("_merged")} - MEANT
    source = inspect.getsource(own)
    assigned = {
        node.attr
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Attribute)
        and isinstance(node.ctx, ast.Store)
        and isinstance(node.value, ast.Name)
        and node.value.id == "self"
    }
    meant = {
        "virtual_size",
        "value",
        "cursor_position",
        "border_title",
        "border_subtitle",
    }  # set on purpose: they are meant to be
    taken |= {name for name in assigned if name in theirs} - meant
    generated = {"_decorated_handlers", "_reactives", "_computes", "_inherit_bindings", "_inherit_css"}
    generated |= {"_css_type_name", "_css_type_names", "can_focus", "_inherit_component_classes"}
    generated |= {"can_focus_children", "_merged_bindings", "_classes_cache", "_rules_cache", "namespace"}
    assert {name for name in taken if not name.startswith("__")} - generated == set()


@pytest.mark.parametrize(
    "own", [each for each in SCREENS if issubclass(each, Page) and each.PAGE], ids=lambda own: own.__name__
)
def test_every_action_of_a_screen_exists(own: type[Page]) -> None:
    for key in keys.keys_of(own.PAGE):
        action = (key.action or key.id.rpartition(".")[2]).partition("(")[0]
        assert hasattr(own, f"action_{action}"), f"{key.id} wants action_{action}"


@pytest.mark.parametrize(
    "own", [each for each in SCREENS if issubclass(each, Page) and each.PAGE], ids=lambda own: own.__name__
)
def test_every_screen_says_what_one_does_there(own: type[Page]) -> None:
    assert own.PAGE in ("help", "text") or own.TEXT.endswith(".")


@pytest.mark.parametrize(
    "path", sorted([*ROOT.glob("screens/**/*.py"), *ROOT.glob("widgets/*.py")]), ids=lambda path: path.name
)
def test_screens_hold_no_sql_no_colour_maths_and_no_parsing(path: Path) -> None:
    """Screens call `work` and know the nouns; files and colours belong to other rooms."""
    forbidden = ("sqlite3", "numpy", "evaluation.colorimetry", "evaluation.metrics", "evaluation.profile")
    forbidden += ("evaluation.archive.connection", "evaluation.readings.cgats", "evaluation.readings.detect")
    imported = [
        node.module if isinstance(node, ast.ImportFrom) else alias.name
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in node.names
    ]
    assert [name for name in imported if name and name.startswith(forbidden)] == []


def test_handlers_are_not_called_twice() -> None:
    """The framework calls a handler of every class in line; calling super() as well would do it twice."""
    for path in ROOT.rglob("*.py"):
        text = path.read_text("utf-8").replace("super().on_event(", "")  # the pump's own, called once
        assert "super().on_" not in text, path
