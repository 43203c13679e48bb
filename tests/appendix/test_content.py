"""The content tree: what it says of a session, and what it keeps to itself."""

import re
from dataclasses import replace

import pytest

from evaluation.appendix import content, data, measured
from evaluation.appendix.case import Choices
from evaluation.appendix.document import Facts, Paragraph, Points, walked
from evaluation.judgement.tables import load_tables
from evaluation.telling import metrics as named_metrics
from evaluation.telling.table import Table


def section(document, section_id):
    return next(each for each in walked(document.sections) if each.id == section_id)


def texts(value):
    """Every text of a tree, whatever holds it."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple | list):
        for part in value:
            yield from texts(part)
    elif hasattr(value, "__dataclass_fields__"):
        for name in value.__dataclass_fields__:
            yield from texts(getattr(value, name))


def everything(document):
    return "\n".join(texts(document))


def test_no_number_of_a_region_that_nobody_has_looked_at_appears(case, edition):
    written = everything(content.build((case,), edition))
    assert not re.search(r"(?<![A-Z0-9])3\.1", written) and "greens turn" not in written
    assert "not graded" in written


def test_no_name_of_a_number_of_an_unseen_region_appears_in_sources_or_data(case, edition):
    assert "turn of hue" not in everything(section(content.build((case,), edition), "sources"))
    assert b"hue_turn" not in data.files((replace(case, findings={"regions": []}),), edition)["numbers.csv"]


def test_remarks_on_values_wait_until_every_region_of_the_file_may_be_shown(case, edition, monkeypatch):
    monkeypatch.setattr(measured, "oddities", lambda taken, sheet: ("C1 looks misread",))
    assert "C1 looks misread" not in everything(content.build((case,), edition))
    shown = replace(case, shown=frozenset({"neutral", "shadow", "detail", "saturation"}))
    assert "C1 looks misread." in everything(content.build((shown,), edition))


def test_the_use_the_print_was_made_for_leads_the_summary(case, edition):
    opening = content.build((case,), edition).sections[0].blocks[0]
    assert opening.verdicts == (
        ("Incomplete", " for portraits: skin tones are not graded."),
        ("Not judged", " for general use: this sheet lacks what decides it."),
    )
    claims = [claim for claim, _ in opening.reasons]
    assert claims == [
        "The eye marks shadow detail lowest, 2.0.",
        "The readings mark neutral greyscale lowest, 3.7.",
        "Eye and readings disagree on shadow detail.",
    ]
    assert opening.mind == ""  # of an accepted print alone


def test_a_region_that_disagrees_shows_both_grades_and_no_mean(case, edition):
    facts = dict(section(content.build((case,), edition), "session-4-region-shadow").blocks[0].rows)
    assert facts["eye"].startswith("2.0 ± 0.5") and facts["instrument"].startswith("3.9 ± 0.5")
    assert facts["combined"] == "none: where eye and instrument disagree no mean is shown"


def test_what_was_seen_early_stands_with_the_print(case, edition):
    printed = section(content.build((case,), edition), "session-4-printed")
    early = next(b for b in printed.blocks if isinstance(b, Points) and "before the eye" in b.lead)
    assert early.items == (
        "Shadow detail: shown 24 Nov 2026, 14:26 UTC, during viewing 1 of observer 1.",
        "Shadow detail: answered after its readings were seen, in viewing 1 of observer 1.",
    )


def test_observers_stand_by_role_unless_names_are_chosen(case, edition):
    assert "Quist" not in everything(content.build((case,), edition))
    named = replace(edition, choices=Choices("whole", "name"))
    assert "viewing 1, Wilhelmina Quist" in everything(content.build((case,), named))


def test_each_number_shown_stands_beside_what_it_does_not_tell(case, edition):
    blocks = section(content.build((case,), edition), "session-4-region-neutral").blocks
    table = next(b for b in blocks if isinstance(b, Table) and "readings say" in b.title)
    limits = next(b for b in blocks if isinstance(b, Points) and "do not tell" in b.lead)
    assert [row[0] for row in table.rows] == ["cast by third", "mean dCh of the greys"]
    assert table.rows[0][1:4] == ("1.82 ± 0.13", "dE00 at equal L*, absolute", "middle third")
    assert [item.partition(":")[0] for item in limits.items] == ["Cast by third", "Mean dCh of the greys"]


def test_every_metric_of_the_tables_says_what_it_does_not_tell_in_two_sentences():
    tables = load_tables()
    metrics = {*tables.anchors, *tables.never_graded}
    assert named_metrics.known() == metrics
    for metric in metrics:
        assert named_metrics.telling(metric).not_told.rstrip(".").count(". ") == 1, metric


def test_settings_overridden_are_listed_with_the_shipped_value(case, edition):
    own = load_tables("[thresholds]\nflare = 0.01\n[anchors.evenness]\nat = [0.12, 0.25, 0.4, 0.7, 1.2]\n")
    blocks = section(content.build((case,), replace(edition, tables=own)), "settings").blocks
    assert blocks[1].rows == (
        ("anchors.evenness.at", "0.1, 0.2, 0.35, 0.6, 1", "0.12, 0.25, 0.4, 0.7, 1.2"),
        ("thresholds.flare", "0.005", "0.01"),
    )


def test_what_the_user_did_not_say_is_named(case, edition):
    printed = section(content.build((case,), edition), "session-4-printed")
    told = next(b.text for b in printed.blocks if isinstance(b, Paragraph) and b.text.startswith("Not said"))
    assert "inks" in told and "sheet height" not in told


def test_what_the_file_does_not_state_is_not_assumed(case, edition):
    facts = dict(section(content.build((case,), edition), "session-4-measured").blocks[0].rows)
    assert facts["instrument"] == "not stated" and facts["condition (ISO 13655)"] == "M1"
    assert facts["said by the user, not by the file"] == "condition"


def test_several_sessions_stand_one_after_the_other_with_ids_of_their_own(case, edition):
    other = replace(case, session=replace(case.session, id=5))
    document = content.build((case, other), edition)
    ids = [each.id for each in walked(document.sections)]
    assert len(ids) == len(set(ids))
    assert [each.id for each in document.sections] == [
        "summary", "papers", "sessions", "notes", "annexe", "session-4", "session-5",
        "settings", "sources", "versions",
    ]  # fmt: skip


def test_a_summary_is_page_1_with_its_notes_under_it(case, edition):
    document = content.build((case,), replace(edition, choices=Choices(parts="summary")))
    (summary,) = document.sections
    assert summary.blocks[-1].role == "note" and "BT.500" in summary.blocks[-1].text


def test_answers_and_numbers_of_more_than_three_prints_are_data_files(case, edition):
    """They fill fifty pages that nobody reads on paper; what people wrote and photographed stays."""
    cases = tuple(replace(case, session=replace(case.session, id=k)) for k in range(4, 8))
    for some, in_pages in ((cases, False), (cases[:3], True)):
        document = content.build(some, edition)
        titles = {b.title for one in walked(document.sections) for b in one.blocks if isinstance(b, Table)}
        assert ("What the eye was asked and answered" in titles) is in_pages
        assert any(title.startswith("What the readings say") for title in titles) is in_pages
        assert "Findings by region. Grades 5 to 1, ± one standard error" in titles
        leads = {b.lead for one in walked(document.sections) for b in one.blocks if isinstance(b, Points)}
        assert "Faults and remarks" in leads
        assert ("data files" in section(document, "annexe").blocks[0].text) is not in_pages


def test_without_readings_the_eye_alone_speaks(case, edition):
    document = content.build((replace(case, taken=()),), edition)
    (told,) = section(document, "session-4-measured").blocks
    assert told.text == "No readings were taken in."


def test_control_characters_of_a_remark_never_reach_the_tree(case, edition):
    remarks = {"describe": "a\x1b[31mred\x07\u202eesrever"}
    session = replace(case.session, remarks=remarks)
    written = everything(content.build((replace(case, session=session),), edition))
    assert "a␛[31mred␇�esrever" in written
    assert not any(char in written for char in "\x1b\x07\u202e")


def test_the_document_begins_with_its_summary(case, edition):
    lines = content.beginning_words(content.build((case,), edition)).splitlines()
    assert lines[0] == "Incomplete for portraits: skin tones are not graded."
    assert lines[-1].startswith("Not done when judged: media setting as described and dry")


def test_no_session_no_appendix(edition):
    with pytest.raises(ValueError, match="at least one session"):
        content.build((), edition)


def test_same_session_and_version_same_tree(case, edition):
    assert content.build((case,), edition) == content.build((case,), edition)


def test_facts_have_no_empty_value(case, edition):
    for block in content.build((case,), edition).blocks():
        if isinstance(block, Facts):
            assert all(name and value for name, value in block.rows)
