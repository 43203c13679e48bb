"""TOML that people write: every mistake is named by its key path, several at once."""

import pytest

from evaluation import keyed
from evaluation.errors import SheetProblem


def told(text: str, read: object) -> str:
    top = keyed.parsed(text, "mine.toml", what="Nothing was kept.")
    read(top)  # type: ignore[operator]
    with pytest.raises(SheetProblem) as caught:
        top.finish()
    return str(caught.value)


def test_a_syntax_mistake_names_file_and_line() -> None:
    with pytest.raises(
        SheetProblem, match=r"mine\.toml, line 2, column 5\. Expected: TOML\. Found: no value.*Nothing"
    ):
        keyed.parsed("a = 1\nb = = 2", "mine.toml", what="Nothing was kept.")


def test_missing_wrong_and_unknown_keys_are_told_together() -> None:
    def read(top: keyed.Keyed) -> None:
        top.text("title")
        top.number("width", low=10, high=100)
        top.only()

    sentence = told("width = 'wide'\ncolour = 3", read)
    assert "title: missing" in sentence
    assert "width: expected a number, found “wide”" in sentence
    assert "colour: unknown key (known here: title, width)" in sentence


def test_what_is_known_is_told_once_for_each_list() -> None:
    def read(top: keyed.Keyed) -> None:
        for patch in top.tables("patch"):
            patch.text("id", "")
            patch.only()
        top.only()

    sentence = told("[[patch]]\nx = 1\n[[patch]]\nid = 'b'\ny = 1\nz = 1\n[other]\n", read)
    assert "patch[0].x: unknown key (known here: id);" in sentence
    assert "patch[1].y: unknown key; line 6, patch[1].z: unknown key; " in sentence
    assert "other: unknown key (known here: patch)" in sentence


def test_the_path_leads_through_tables_and_lists() -> None:
    def read(top: keyed.Keyed) -> None:
        for patch in top.tables("patch"):
            patch.numbers("source", 3, low=0, high=255)

    sentence = told("[[patch]]\nsource = [1, 2, 3]\n[[patch]]\nsource = [1, 300, 3]", read)
    assert "patch[1].source[1]: expected a number from 0 to 255, found 300" in sentence


def test_true_is_not_a_number() -> None:
    assert "n: expected a whole number, found true" in told(
        "n = true", lambda top: top.whole("n", low=0, high=9)
    )


@pytest.mark.parametrize("word", ["green", ""])
def test_a_word_outside_its_list_is_told_with_the_list(word: str) -> None:
    assert "use: expected one of “general”, “portrait”" in told(
        f"use = '{word}'", lambda top: top.one_of("use", ("general", "portrait"))
    )


def test_a_time_without_offset_is_local_time() -> None:
    at = keyed.parsed("at = 2026-03-02T13:10:00", "mine.toml", what="").time("at")
    assert at is not None and at.tzinfo is not None and (at.hour, at.minute) == (13, 10)


def test_control_characters_of_the_file_do_not_reach_the_sentence() -> None:
    sentence = told(r'title = "\u001b[31m"', lambda top: top.one_of("title", ("a",)))
    assert "\x1b" not in sentence and "␛[31m" in sentence


def test_many_mistakes_are_counted_not_listed() -> None:
    text = "".join(f"k{index} = 1\n" for index in range(40))
    assert "And 28 more." in told(text, lambda top: top.only())


@pytest.mark.parametrize("when", ["0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59"])
def test_a_time_at_the_end_of_all_times_is_told(when: str) -> None:
    assert "at: expected a year from 1990 to 2100" in told(f"at = {when}", lambda top: top.time("at"))


def form(text: str) -> keyed.Keyed:
    return keyed.parsed(text, "mine.toml", what="Nothing was kept.", form=True)


def test_a_blank_of_a_form_is_nothing_said() -> None:
    top = form("a = ''\nb = ' '\n[t]\nc = ''")
    assert (top.text("a", "as before"), top.any("b"), top.has("a")) == ("as before", None, False)
    assert top.table("t").maybe_number("c", low=0, high=1) is None
    top.only()
    top.finish()


def test_a_blank_that_nothing_asks_for_is_an_unknown_key() -> None:
    top = form("colour = ''")
    top.only()
    with pytest.raises(SheetProblem, match="colour: unknown key"):
        top.finish()


def test_a_blank_elsewhere_is_a_text() -> None:
    top = keyed.parsed("a = ''", "mine.toml", what="Nothing was kept.")
    assert top.has("a") and top.text("a", "as before") == ""


def test_what_stands_between_the_quotation_marks_of_a_form_is_of_the_kind_asked_for() -> None:
    top = form("n = '12'\nx = '1,5'\ny = 'Yes'\nt = '2026-03-02 13:10'\nl = 'a, b'")
    assert top.whole("n", low=0, high=20) == 12 and top.number("x", low=0, high=2) == 1.5
    assert top.yes("y") is True and top.texts("l") == ("a", "b")
    at = top.time("t")
    assert at is not None and (at.day, at.hour) == (2, 13)


def test_what_cannot_be_of_that_kind_is_told_as_it_stands() -> None:
    def read(top: keyed.Keyed) -> None:
        top.whole("n", low=0, high=20)
        top.yes("y")
        top.time("t")

    top = form("n = '1.5'\ny = 'perhaps'\nt = 'noon'")
    read(top)
    with pytest.raises(SheetProblem) as caught:
        top.finish()
    for part in ("n: expected a whole number", "y: expected true or false, found “perhaps”", "t: expected"):
        assert part in str(caught.value)
