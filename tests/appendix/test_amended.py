"""What changed from one version of an appendix to the next."""

from dataclasses import replace

import pytest

from evaluation.appendix import content
from evaluation.appendix.amended import changes
from evaluation.appendix.document import as_now, plain


@pytest.fixture(scope="module")
def earlier(case, edition):
    return plain(content.build((case,), edition))


def later(case, edition, **changed):
    return plain(content.build((replace(case, session=replace(case.session, **changed)),), edition))


def test_another_date_is_no_change(case, edition, earlier):
    assert changes(earlier, plain(content.build((case,), replace(edition, written="tomorrow")))) == ()


def test_a_changed_field_is_told_with_what_stood_before(case, edition, earlier):
    condition = replace(case.session.condition, inks="Merrowby pigment set")
    told = changes(earlier, later(case, edition, condition=condition))
    assert "What was printed and how, inks: added: Merrowby pigment set" in told


def test_a_changed_cell_names_its_row_and_column(case, edition, earlier):
    shadow = case.weighing.findings[1]
    findings = tuple(
        replace(f, agreement="agree", combined=f.eye) if f is shadow else f for f in case.weighing.findings
    )
    now = plain(content.build((replace(case, weighing=replace(case.weighing, findings=findings)),), edition))
    told = changes(earlier, now)
    assert "Findings by region, 2 Shadow detail, agreement: agree; before: disagree" in told
    assert "Findings by region, 2 Shadow detail, combined: 2.0 ± 0.5; before: –" in told


def test_other_numbers_under_the_same_words_are_a_change(earlier):
    import copy

    now = copy.deepcopy(earlier)
    for section in now["sections"]:
        for block in section["blocks"]:
            if block["kind"] == "figure":
                block["lines"][0]["x"][0] += 0.001
                told = changes(earlier, now)
                assert told == (
                    f"{section['title']}, {block['title']}: "
                    "other numbers or another picture under the same words",
                )
                return
    raise AssertionError("no figure")


def test_many_changes_are_counted(earlier):
    now = {**earlier, "sections": []}
    told = changes(earlier, now)
    assert len(told) == 41 and told[-1].startswith("And ")


def test_content_of_an_earlier_version_is_compared_by_what_it_says() -> None:
    """Tables and figures of drydown 0.1 had other names; the same words and numbers are no change."""
    table = {
        "kind": "table",
        "caption": "Black",
        "columns": ["", "D"],
        "rows": [["M1", "2.56"]],
        "numeric": [1],
    }
    axis = {"kind": "axis", "title": "L*", "unit": ""}
    line = {"kind": "series", "name": "read", "x": [1.0], "y": [2.0], "drawn": "read"}
    figure = {"kind": "figure", "id": "f", "caption": "Greys", "alt": "One step.", "x": axis, "y": axis,
              "series": [line], "square": False, "zero": True, "rows": [], "x_range": None}  # fmt: skip
    section = {"id": "s", "title": "Facts", "blocks": [table, figure], "sections": []}
    old = {"title": "Review", "sections": [section]}
    assert changes(old, as_now(old)) == ()
    now = as_now(old)
    now["sections"][0]["blocks"][0]["rows"] = [["M1", "2.60"]]
    assert changes(old, now) == ("Facts, M1, D: 2.60; before: 2.56",)
