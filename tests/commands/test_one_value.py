"""One value for one thing: whatever face a result is read from, it says the same number."""

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.commands import faces

Drydown = Callable[..., Any]

SESSIONS = (1, 2, 3, 4, 5, 6)
TOGETHER = (1, 4, 6)
FORMS = ("html", "md", "pdf")


@pytest.mark.parametrize(
    ("figures", "one"),
    [
        (["4.2", "4.25", "4.247"], True),
        (["2.5", "2.50", "3"], True),
        (["4.2", "4.1"], False),
        (["4.2", "4.26"], False),
        (["agree", "agree"], True),
        (["agree", "disagree"], False),
    ],
)
def test_figures_agree_where_one_number_stands_behind_them(figures: list[str], one: bool) -> None:
    assert faces.agree(figures) is one


def test_every_document_of_the_demo_says_one_value_for_one_thing(
    finished_archive: Path, tmp_path: Path, drydown: Drydown
) -> None:
    shutil.copyfile(finished_archive, tmp_path / "archive.db")
    said = faces.Said()
    found = {session: drydown("weigh", session, "--json").json for session in SESSIONS}
    titles = faces.titles_of(list(found.values()))
    ids = {region["id"]: region["title"] for one in found.values() for region in one["regions"]}
    for session, document in found.items():
        faces.weighing(said, document, "weigh --json")
        faces.weighing_in_words(said, session, titles[session], drydown("weigh", session).out, "weigh")
    words = ("compare", *TOGETHER)
    faces.comparison(said, drydown(*words, "--json").json, "compare --json")
    faces.comparison_as_rows(said, drydown(*words, "--csv").out, ids, "compare --csv")
    faces.comparison_in_words(said, TOGETHER, titles[1], drydown(*words).out, "compare")
    for sessions in (*((one,) for one in SESSIONS), TOGETHER):
        for form in FORMS:
            page = tmp_path / f"{'-'.join(map(str, sessions))}.{form}"
            assert drydown("appendix", *sessions, "-o", page).code == 0
            faces.page(said, page, sessions, titles)
    _all_were_read(said)
    assert said.contradictions() == {}


def _all_were_read(said: faces.Said) -> None:
    """A reader that finds nothing would find no contradiction either."""
    pages = {f"{form} of {name}" for form in FORMS for name in (*map(str, SESSIONS), "1-4-6")}
    commands = {"weigh --json", "weigh", "compare --json", "compare --csv", "compare"}
    assert said.faces("combined") == pages | commands
    assert said.faces("eye") == said.faces("instrument") == (pages | commands) - {"compare"}
    assert said.faces("agreement") == (pages | commands) - {"compare"}
    assert said.faces("for general use") == pages | commands - {"compare --csv", "compare"}
    together = {f"{form} of 1-4-6" for form in FORMS}
    assert said.faces("difference from 1") == together | {"compare --json", "compare --csv"}
    assert said.faces("word against 1") == said.faces("difference from 1")
    assert said.faces("dmax") >= commands - {"compare --csv"}
    assert said.faces("mean dCh of the greys") >= {
        f"{form} of {one}" for form in FORMS for one in (1, 4, 5, 6)
    }
    assert len(said.found) > 550
