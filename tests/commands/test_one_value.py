"""One value for one thing: whatever face a result is read from, it says the same number."""

import shutil
from collections.abc import Callable
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from evaluation.appendix.drawing import figures as drawing
from tests.commands import faces
from tests.commands.digits import finer_than_its_spread

Drydown = Callable[..., Any]
Sessions = tuple[int, ...]

SESSIONS = (1, 2, 3, 4, 5, 6)
BLACK_AND_WHITE = (2, 3)
FORMS = ("html", "md", "pdf")
NO_CURVES = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9" viewBox="0 0 9 9"></svg>'


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


def test_digits_that_a_spread_does_not_allow_are_found() -> None:
    assert finer_than_its_spread("4.2 ± 0.5, 1.33 ± 0.14, 12 ± 14, 5.770 ± 0.014, 2.387 ± 0.009") == []
    wrong = ["4.25 ± 0.5", "1.3 ± 0.14", "12.34 ± 1.26"]
    assert finer_than_its_spread(", ".join(wrong)) == wrong


@pytest.mark.parametrize(
    ("alone", "together", "forms"),
    [((), (1, 4), ("md",)), pytest.param(SESSIONS, (1, 4, 6), FORMS, marks=pytest.mark.long)],
)
def test_every_document_of_the_demo_says_one_value_for_one_thing(
    finished_archive: Path,
    tmp_path: Path,
    drydown: Drydown,
    monkeypatch: pytest.MonkeyPatch,
    alone: Sessions,
    together: Sessions,
    forms: tuple[str, ...],
) -> None:
    """Commands first, then every appendix by itself and one of several sessions.

    Curves are not read, only what is said of them: they are left out, which spares most of the time.
    """
    monkeypatch.setattr(drawing, "svg", lambda figure, wide=None: NO_CURVES)
    shutil.copyfile(finished_archive, tmp_path / "archive.db")
    said = faces.Said()
    found = {one: drydown("weigh", one, "--json").json for one in sorted({*alone, *together})}
    titles = faces.titles_of(list(found.values()))
    ids = {region["id"]: region["title"] for one in found.values() for region in one["regions"]}
    for session, document in found.items():
        faces.weighing(said, document, "weigh --json")
        in_words = drydown("weigh", session).out
        faces.weighing_in_words(said, session, titles[session], in_words, "weigh")
        assert finer_than_its_spread(in_words) == []
    words = ("compare", *together)
    faces.comparison(said, drydown(*words, "--json").json, "compare --json")
    faces.comparison_as_rows(said, drydown(*words, "--csv").out, ids, "compare --csv")
    faces.comparison_in_words(said, together, titles[1], drydown(*words).out, "compare")
    for sessions, form in product([*((one,) for one in alone), together], forms):
        page = tmp_path / f"{_name(sessions)}.{form}"
        assert drydown("appendix", *sessions, "-o", page, "--parts", "whole").code == 0
        faces.page(said, page, sessions, titles)
        assert form == "pdf" or finer_than_its_spread(page.read_text("utf-8")) == []
    _all_were_read(said, alone, together, forms)
    assert said.contradictions() == {}


def _all_were_read(said: faces.Said, alone: Sessions, together: Sessions, forms: tuple[str, ...]) -> None:
    """A reader that finds nothing would find no contradiction either."""
    several = {f"{form} of {_name(together)}" for form in forms}
    pages = {f"{form} of {one}" for form in forms for one in alone} | several
    commands = {"weigh --json", "weigh", "compare --json", "compare --csv", "compare"}
    assert said.faces("combined") == pages | commands
    assert said.faces("eye") == said.faces("instrument") == (pages | commands) - {"compare"}
    assert said.faces("agreement") == (pages | commands) - {"compare"}
    assert said.faces("for general use") == pages | commands - {"compare --csv", "compare"}
    compared = several | {"compare --json", "compare --csv"}
    assert said.faces(f"difference from {together[0]}") == compared
    assert said.faces(f"word against {together[0]}") == compared
    assert said.faces("dmax") >= commands - {"compare --csv"}
    in_colour = {f"{form} of {one}" for form in forms for one in {*alone} - {*BLACK_AND_WHITE}}
    assert said.faces("mean dCh of the greys") >= in_colour
    assert len(said.found) > 70 * len({*alone, *together})


def _name(sessions: Sessions) -> str:
    return "-".join(map(str, sessions))
