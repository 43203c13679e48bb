"""A mistake on the command line is told in our voice: one sentence, exit 2, and as JSON where asked."""

from collections.abc import Callable
from typing import Any

import pytest

from tui import keys

Drydown = Callable[..., Any]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("sheet", "x.tif", "--ppi", "many"), "--ppi. Expected: a whole number. Found: “many”."),
        (("weigh",), "drydown weigh. Expected: SESSION."),
        (("grade", "1"), "Expected: one of --from, --template."),
        (("list", "--fast"), "drydown list: There is no “--fast” here."),
        (("list", "--fast"), "`drydown list --help` shows what it takes."),
        (("--fast",), "drydown: There is no “--fast” here."),
        (("lst",), "Found: “lst”. Nothing was done. Perhaps “list” is meant."),
        (
            ("read", "1", "x.txt", "--rgb-scale", "-3"),
            "--rgb-scale. Expected: a number above 0. Found: “-3”.",
        ),
        (("contents", "x.txt", "--step-nm", "nan"), "--step-nm. Expected: a number above 0. Found: “nan”."),
        (("sheet", "x.tif", "--size"), "--size. Expected: a value after it."),
        (("look",), "Found: “look”."),
        (("new", "--from", "a", "--template"), "Found: both."),
        (("new", "--from", "a", "--like", "1"), "Found: both."),
        (
            ("new", "--like", "1", "--sheet", "a"),
            "Expected: the sheet of the earlier session. Found: another.",
        ),
    ],
)
def test_a_mistake_is_one_sentence(drydown: Drydown, words: tuple[str, ...], told: str) -> None:
    ran = drydown(*words)
    assert ran.code == 2 and told in ran.err and ran.err.count("\n") == 1
    assert "usage:" not in ran.err and "error" not in ran.err and ran.out == ""


def test_a_mistake_is_told_as_json_too(drydown: Drydown) -> None:
    assert drydown("sheet", "--ppi", "many", "--json").json["problem"]["found"] == "“many”"


def test_a_template_as_json_is_an_object(drydown: Drydown) -> None:
    assert "[condition]" in drydown("new", "--template", "--json").json["template"]


def test_a_file_that_is_no_profile_is_not_kept_as_one(drydown: Drydown, tmp_path: Any) -> None:
    (tmp_path / "secret.txt").write_text("nothing of a profile\n" * 20, "utf-8")
    condition = tmp_path / "c.toml"
    condition.write_text('[condition]\npaper = "rag"\nprofile = "secret.txt"\n', "utf-8")
    ran = drydown("new", "--from", condition)
    assert ran.code == 1 and "an ICC profile" in ran.err
    assert drydown("list", "--json").json["sessions"] == []


def test_a_map_never_lands_on_a_picture(drydown: Drydown, tmp_path: Any) -> None:
    from PIL import Image

    picture = tmp_path / "own.png"
    Image.new("RGB", (60, 40), "grey").save(picture)
    before = picture.read_bytes()
    ran = drydown("sheet", "--map-from", picture, picture, "--replace")
    assert ran.code == 2 and ".toml" in ran.err and picture.read_bytes() == before


def test_every_key_is_printed_with_its_name(drydown: Callable[..., Any]) -> None:
    printed = drydown("keys").out
    for key in keys.KEYS:
        assert key.tooltip in printed and (key.fixed or key.id in printed)
