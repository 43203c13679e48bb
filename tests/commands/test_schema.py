"""What commands print with `--json` is what `drydown schema` promises of them."""

import argparse
import shutil
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from typing import Any

import msgspec
import pytest
from jsonschema import Draft202012Validator
from PIL import Image

from evaluation.documents.schema import DOCUMENTS, schema
from tests.cases import some_now
from tests.commands.conftest import decided
from tui.options import parser

ROOM = Path(str(files("fixtures")))
PROFILE = ROOM / "profiles" / "sallowfell-lustre-fine.icc"
READINGS = ROOM / "readings" / "lustre-finest-strip.txt"

# The words of each command, and the document they bring. {} is the folder of the test.
CASES = {
    "list": "Listing",
    "list --removed": "Listing",
    "new --from {}/condition.toml": "Begun",
    "new --template": "Template",
    "grade 1 --from {}/grades.toml": "Graded",
    "grade 1 --template": "Template",
    "read 6 {}/strip.txt --managed --anyway": "Reading",
    "weigh 1": "WeighingWithBlack",
    "weigh 2": "WeighingWithBlack",
    "weigh 4": "WeighingWithBlack",
    "weigh 3 --observers": "ObserversOfPrint",
    "references --keep 1 4": "OwnReferences",
    "sidebyside 1 4 --triangles 15 --right 9": "Triangles",
    "compare 1 4": "Comparison",
    "compare 1 2 3 4 5 6": "Comparison",
    "sidebyside 1 4 5": "SideBySide",
    "sidebyside 1 4 5 --open": "SideBySide",
    "sidebyside 1 4 5 --template --region skin": "Template",
    "sidebyside 1 4 --from {}/round.toml": "RoundsRecorded",
    "plan": "Plan",
    "plan --template": "Template",
    "plan --lost today": "LoanBegun",
    "plan --ask Curl?": "Asked",
    "plan --calendar {}/week.ics": "Written",
    "plan --session Rag fine": "Begun",
    "neutrality 1": "Neutrality",
    "neutrality 2 3 5 --tone warm": "Neutrality",
    "chart 1 2 3": "Profiling",
    "lamp": "NamedLights",
    "lamp fl11 a": "Lamps",
    "contents {}/strip.txt": "Readings",
    "contents {}/profile.icc": "Profile",
    "gamut {}/profile.icc": "Gamut",
    "facts 1": "FactsForReaders",
    "facts --template": "Template",
    "gamut {}/profile.icc --picture {}/fault.png": "Gamut",
    "sheet {}/sheet.tif --size A4 --ppi 150 --no-pages --no-form --no-pictures": "Drawn",
    "sheet --check {}/own.toml": "MapChecked",
    "sheet {}/mine.toml --map-from {}/fault.png": "Written",
    "appendix 1 -o {}/review.md": "Appendix",
    "attach 1 skin {}/fault.png": "Attached",
    "bundle 4 -o {}/four.bundle": "Bundle",
    "export {}/tables": "Export",
    "merge": "Differences",
    "merge {}/sent.bundle --archive {}/new.db": "Merge",
    "merge --undo --archive {}/other.db": "MergeUndone",
    "backup {}/copy.db": "Written",
    "check": "Health",
    "check {}/written.md": "Unchanged",
    "check --numbers 2": "Numbers",
    "settings": "SettingsFile",
    "settings --calibrate booth 1 2 4 5": "Calibrated",
    "settings --sensitivity 6": "Sensitivity",
    "settings --from-decisions {}/decisions.txt": "FromDecisions",
    "bring-back 1": "BroughtBack",
    "weigh 77": "Problem",
}


# The first words of each command.
ONE_OF_EACH = {words.split()[0]: words for words in reversed(CASES)}


@pytest.fixture
def room(finished_archive: Path, tmp_path: Path, drydown: Callable[..., Any]) -> Path:
    """A finished archive, and a file of each kind that commands ask for."""
    shutil.copy(finished_archive, tmp_path / "archive.db")
    shutil.copy(READINGS, tmp_path / "strip.txt")
    shutil.copy(PROFILE, tmp_path / "profile.icc")
    shutil.copy(Path(__file__).parents[1] / "sheet" / "data" / "chart-24.toml", tmp_path / "own.toml")
    (tmp_path / "condition.toml").write_text('[condition]\npaper = "Sallowfell Lustre 247"\n', "utf-8")
    (tmp_path / "grades.toml").write_text("[skin]\noverall = 4\n", "utf-8")
    Image.new("RGB", (300, 200), "grey").save(tmp_path / "fault.png")
    return tmp_path


@pytest.mark.parametrize(
    "words",
    some_now(CASES, *ONE_OF_EACH.values()),
)
def test_what_is_printed_is_what_the_schema_promises(
    drydown: Callable[..., Any], room: Path, words: str
) -> None:
    if words.startswith("bring-back"):
        from evaluation.archive.connection import open_archive
        from evaluation.work import home
        from evaluation.work.bench import Bench

        with open_archive(room / "archive.db") as archive:
            home.remove(Bench(archive), 1)
    if words.startswith("sidebyside") and ("--open" in words or "round.toml" in words):
        drawn = ["sidebyside", *words.split()[1:3], "--template", "--region", "skin", "--json"]
        if "--open" in words:
            drawn.insert(3, "5")
        form = drydown(*drawn).json["template"]
        (room / "round.toml").write_text(form.replace('= ""', '= "0"'), "utf-8")
    if words.startswith("plan") and "template" not in words:
        loan = '[loan]\nfirst = "today"\nlast = "tomorrow"\n[[paper]]\nname = "Rag"\nsettings = "fine"\n'
        (room / "loan.toml").write_text(loan, "utf-8")
        assert drydown("plan", "--from", room / "loan.toml").code == 0
    if "decisions.txt" in words:
        decided(room / "archive.db", room / "decisions.txt")
    if words.startswith("merge"):
        drydown("bundle", 4, "-o", room / "sent.bundle")
        assert drydown("merge", room / "sent.bundle", "--archive", room / "other.db").code == 0
    if "written.md" in words:
        assert drydown("appendix", 1, "-o", room / "written.md").code == 0
    command, *rest = words.format(*[room] * words.count("{}")).split()
    found = drydown(command, *rest, "--json").json
    own = drydown("schema", command).json
    only = own | {"oneOf": [{"$ref": f"#/$defs/{CASES[words]}"}]}
    assert [error.message[:300] for error in Draft202012Validator(only).iter_errors(found)] == []
    if len(DOCUMENTS[command]) > 1:  # it is that document and none of the others
        assert Draft202012Validator(own).is_valid(found)


def test_every_document_of_every_command_is_tried() -> None:
    of_problems = {"Problem"}
    promised = {(command, one.__name__) for command, types in DOCUMENTS.items() for one in types}
    tried = {(words.split()[0], name) for words, name in CASES.items() if name not in of_problems}
    assert tried == promised


def test_every_command_that_prints_json_has_a_schema() -> None:
    (choices,) = (
        action.choices for action in parser()._actions if isinstance(action, argparse._SubParsersAction)
    )
    with_json = {name for name, own in choices.items() if "--json" in own.format_help()}
    assert with_json == set(DOCUMENTS)


@pytest.mark.parametrize("command", some_now(DOCUMENTS, "weigh", "export"))
def test_every_schema_is_one(command: str) -> None:
    Draft202012Validator.check_schema(schema(command))


def test_a_key_too_many_or_too_few_is_no_such_document() -> None:
    own = Draft202012Validator(schema("list"))
    empty = {"paper": "", "printer": "", "made_for": None, "verdict": None, "removed": None}
    line = {"id": 1, "state": "looking", **empty}
    assert own.is_valid({"sessions": [line]})
    assert not own.is_valid({"sessions": [line | {"more": 1}]})
    assert not own.is_valid({"sessions": [{key: line[key] for key in line if key != "state"}]})
    assert not own.is_valid({"sessions": [line | {"id": 0}]})


def test_the_types_are_those_of_the_values(drydown: Callable[..., Any], room: Path) -> None:
    """By the library's own reading of the types too, without the schema between."""
    from evaluation.documents.weighing import WeighingWithBlack

    found = drydown("weigh", 4, "--json").json
    assert msgspec.convert(found, WeighingWithBlack, strict=True)["session"] == 4


def test_a_command_without_a_schema_is_told(drydown: Callable[..., Any]) -> None:
    ran = drydown("schema", "demo")
    assert ran.code == 2 and "Expected: a command that takes --json" in ran.err
    assert set(drydown("schema").out.split()) == set(DOCUMENTS)
