"""What changed from one version of an appendix to the next."""

import re
from dataclasses import replace

import pytest

from evaluation.appendix import content
from evaluation.appendix.amended import changes, with_changes
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


def test_a_setting_that_moves_every_interval_is_one_line(case, edition, earlier):
    """The grades stand: only what is said behind each ± is another figure."""

    def wider(opinion):
        return opinion and replace(opinion, spread=opinion.spread * 1.4)

    findings = tuple(
        replace(one, eye=wider(one.eye), instrument=wider(one.instrument), combined=wider(one.combined))
        for one in case.weighing.findings
    )
    moved = replace(case, weighing=replace(case.weighing, findings=findings))
    told = changes(earlier, plain(content.build((moved,), edition)))
    assert len(told) == 1 and re.fullmatch(
        r"\d\d standard errors moved; the numbers .* are the same\.", told[0]
    )
    regraded = replace(findings[0], eye=replace(findings[0].eye, grade=3.0))
    both = replace(case, weighing=replace(case.weighing, findings=(regraded, *findings[1:])))
    told = changes(earlier, plain(content.build((both,), edition)))
    assert told[0].endswith("are the same.") and any(
        "eye: 3.0 ± 0.7; before: 4.0 ± 0.5" in one for one in told
    )


def test_a_few_changes_stand_above_and_many_at_the_end(case, edition):
    document = content.build((case,), edition)
    few = with_changes(document, "d" * 64, ("Since.",), ("One.", "Two.", "Three."))
    assert few.changes == ("Since.", "One.", "Two.", "Three.") and few.sections == document.sections
    many = with_changes(document, "d" * 64, ("Since.",), tuple(f"Place {n}." for n in range(30)))
    assert many.changes == ("Since.", "30 places, listed at the end.") and many.amends == "d" * 64
    assert many.sections[-1].blocks[0].items[-1] == "Place 29."
    assert changes(plain(document), plain(many)) == changes(plain(many), plain(document)) == ()


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
