"""`drydown check FILE`: an appendix as written, or changed and where."""

from dataclasses import replace

import pytest

from evaluation.appendix import content, html, markdown
from evaluation.appendix.unchanged import check, check_file
from evaluation.errors import FileProblem


@pytest.fixture(scope="module")
def document(case, edition):
    return content.build((case,), edition)


@pytest.fixture(scope="module")
def page(document):
    return html.render(document)


def test_a_page_as_written_is_unchanged(tmp_path, page):
    file = tmp_path / "a.html"
    file.write_text(page, "utf-8", newline="\n")
    assert check_file(file).unchanged


def test_a_page_of_markdown_as_written_is_unchanged(tmp_path, document):
    file = tmp_path / "a.md"
    file.write_text(markdown.render(document), "utf-8", newline="\n")
    assert check_file(file).what == "Unchanged since it was written."


def test_a_changed_verdict_is_named_with_its_section(tmp_path, page):
    checked = check(page.replace("Incomplete</strong>", "Accepted</strong>", 1), tmp_path)
    assert not checked.unchanged
    assert checked.changes == (
        "Summary: “Incomplete for portraits: skin tones are not graded.” was written, "
        "“Accepted for portraits: skin tones are not graded.” stands there",
    )


def test_a_changed_cell_is_named_even_where_a_plot_has_the_same_number(tmp_path, page):
    cell = ">{} ± 0.5</td>"
    changed = page.replace(cell.format("3.9"), cell.format("4.9"), 1)
    assert check(changed, tmp_path).changes == (
        "Findings by region: “3.9 ± 0.5” was written, “4.9 ± 0.5” stands there",
    )


def test_changed_findings_inside_the_page_are_named(tmp_path, page):
    changed = page.replace('"amends":""', '"amends":"x"')
    assert changed != page
    assert check(changed, tmp_path).changes == ("the findings embedded in the page",)


def test_a_change_that_shows_in_no_text_is_a_change(tmp_path, page):
    checked = check(page.replace("max-width: 50rem", "max-width: 49rem"), tmp_path)
    assert not checked.unchanged and checked.changes == ("something that does not show in its text",)


def test_one_changed_character_of_markdown_is_a_change(tmp_path, document):
    text = markdown.render(document)
    assert not check(text.replace("undecided", "accepted", 1), tmp_path).unchanged


def test_a_changed_line_ending_is_a_change(tmp_path, page):
    assert not check(page.replace("\n", "\r\n"), tmp_path).unchanged


@pytest.mark.parametrize("content", [b"", b"\xff\xfe\x00", b"<!DOCTYPE html><p>another page"])
def test_what_is_no_appendix_is_said_in_one_sentence(tmp_path, content):
    file = tmp_path / "b.html"
    file.write_bytes(content)
    with pytest.raises(FileProblem, match="Expected: an appendix as drydown wrote it"):
        check_file(file)


def test_a_file_that_is_not_there_is_said_in_one_sentence(tmp_path):
    with pytest.raises(FileProblem, match="Found: nothing of that name"):
        check_file(tmp_path / "none.html")


def test_hostile_text_does_not_make_an_unchanged_page_look_changed(tmp_path, case, edition):
    condition = replace(case.session.condition, paper='x</section><code id="seal"></code> <p>')
    hostile = replace(case, session=replace(case.session, condition=condition))
    page = html.render(content.build((hostile,), edition))
    assert check(page, tmp_path).unchanged
    told = check(page.replace("Merrowby 24", "Merrowby 44", 1), tmp_path).changes
    assert len(told) == 1 and told[0].startswith("beginning: ")
