"""Sentences against the numbers beside them, in archives that contradict the common case.

One archive with the demo's six sessions and others like them: observers who disagree, readings dated before
printing, half a chart, a mode without colour, a second viewing just begun.
"""

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from evaluation.appendix.document import Document, Paragraph
from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.entry import Draft
from evaluation.judgement.opinion import Finding, Weighing
from evaluation.judgement.tables import load_tables
from evaluation.judgement.voices import plainly
from evaluation.readings.supplied import Supplied
from evaluation.session import Grade
from evaluation.telling import comparison as compare_words
from evaluation.telling.neutrality.tables import title
from evaluation.telling.table import Table
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.compare import compare
from evaluation.work.describe import begin
from evaluation.work.log import say
from evaluation.work.look import look
from evaluation.work.neutrality import neutrality
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.write_up import write_up
from tests.cases import some_now

READINGS = Path(__file__).parents[2] / "fixtures" / "readings"


@dataclass
class Room:
    """An archive, the sessions made in it by name, and their results, worked out once."""

    bench: Bench
    made: dict[str, int]

    def __post_init__(self) -> None:
        self._weighed: dict[int, Weighing] = {}

    def number(self, name: str | int) -> int:
        return self.made[name] if isinstance(name, str) else name

    def weighed(self, name: str | int) -> Weighing:
        number = self.number(name)
        if number not in self._weighed:
            self._weighed[number] = weigh.weigh(self.bench, number)
        return self._weighed[number]

    def finding(self, name: str | int, region: str) -> Finding:
        return next(row for row in self.weighed(name).findings if row.region == region)

    def appendix(self, name: str | int) -> Document:
        return write_up.appendix(self.bench, [self.number(name)])


def begun(bench: Bench, like: int, **condition: Any) -> int:
    session = begin.begin_like(bench, like)
    source = sessions.load(bench.archive, like)
    assert source.condition.printed_at is not None
    said = {"printed_at": source.condition.printed_at.isoformat()} | condition
    say(bench, session.id, [Draft("condition", name, value) for name, value in said.items()])
    return session.id


def looked(
    bench: Bench, number: int, observer: str, grade: int = 5, only: tuple[str, ...] = (), **own: int
) -> None:
    look.start(bench, number, kind="quick", observer=observer)
    for region in sheet_of(bench, sessions.load(bench.archive, number)).regions:
        if region.whole and (not only or region.id in only):
            look.answer(bench, number, region.id, region.whole.id, Grade(own.get(region.id, grade)))


def taken(bench: Bench, number: int, file: Path) -> None:
    said = Supplied(printed_as="managed", anyway=True)  # the rag's readings, in a session on lustre
    read.take_in(bench, number, read.preview(bench, number, file, said))


def half(folder: Path) -> Path:
    """Every second patch of the lustre's readings."""
    lines: list[str] = []
    count, at, inside = 0, 0, False
    for line in (READINGS / "lustre-fine.txt").read_text("utf-8").splitlines():
        if line == "BEGIN_DATA":
            inside, count = True, 0
        elif line == "END_DATA":
            inside = False
            lines[at] = f"NUMBER_OF_SETS\t{count}"
        elif line.startswith("NUMBER_OF_SETS"):
            at = len(lines)
        elif inside:
            name = line.split("\t")[0]
            if name[-1].isdigit() and int(name[-1]) % 2 == 0:
                continue
            count += 1
        lines.append(line)
    path = folder / "half.txt"
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return path


@pytest.fixture(scope="module")
def room(demo_archive: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Room]:
    folder = tmp_path_factory.mktemp("odd")
    shutil.copyfile(demo_archive, folder / "odd.db")
    with open_archive(folder / "odd.db") as archive:
        bench, names = Bench(archive), {}
        lustre, rag = READINGS / "lustre-fine.txt", READINGS / "rag-fine-dry.txt"

        names["two"] = begun(bench, 1)
        taken(bench, names["two"], lustre)
        looked(bench, names["two"], "Ada Quist", skin=4, shadow=3)
        looked(bench, names["two"], "Ben Orrin", skin=3, shadow=1)

        names["before"] = begun(bench, 1, printed_at="2099-12-25T10:00:00+00:00")
        taken(bench, names["before"], lustre)
        looked(bench, names["before"], "Ada Quist", grade=3)

        names["half"] = begun(bench, 1)
        taken(bench, names["half"], half(folder))
        looked(bench, names["half"], "Ada Quist")

        names["second"] = begun(bench, 1)
        taken(bench, names["second"], lustre)
        looked(bench, names["second"], "Ada Quist", grade=2)
        looked(bench, names["second"], "Ada Quist", only=("neutral",))

        names["own mode"] = begun(bench, 1, driver_mode="driver's black and white")
        taken(bench, names["own mode"], lustre)
        looked(bench, names["own mode"], "Ada Quist")

        names["foreign"] = begun(bench, 1)
        taken(bench, names["foreign"], rag)
        looked(bench, names["foreign"], "Ada Quist")

        names["revealed"] = begun(bench, 1)
        taken(bench, names["revealed"], lustre)
        weigh.weigh(bench, names["revealed"], reveal=True)

        names["eye"] = begun(bench, 1)
        looked(bench, names["eye"], "Ada Quist")

        names["empty"] = begun(bench, 1)
        yield Room(bench, names)


EVERY = (
    1,
    2,
    3,
    4,
    5,
    6,
    "two",
    "before",
    "half",
    "second",
    "own mode",
    "foreign",
    "revealed",
    "eye",
    "empty",
)


@pytest.mark.parametrize("name", some_now(EVERY, 3, 5))
def test_no_fault_seen_is_said_where_nobody_said_anything_else(room: Room, name: str | int) -> None:
    session = sessions.load(room.bench.archive, room.number(name))
    for finding in room.weighed(name).findings:
        answers = [
            plainly(answer.value, load_tables())
            for viewing in session.viewings
            for (region, _), answer in viewing.answers.items()
            if region == finding.region
        ]
        named = any(
            fault.region == finding.region for viewing in session.viewings for fault in viewing.faults
        )
        below = any(grade is not None and grade < 5 for grade in answers) or named
        below |= any(pair.eye < 4.95 for pair in finding.pairs)
        if "No fault seen" in finding.why:
            assert answers and not below, finding
        assert (
            "nothing" not in finding.why.lower() or finding.instrument is None or "to mention" in finding.why
        )


@pytest.mark.parametrize("name", some_now(EVERY, 3, 5))
def test_every_number_graded_below_five_is_told(room: Room, name: str | int) -> None:
    """Of the numbers that do not enter the grade as of those that do, the worst is in the sentence."""
    tables = weigh.tables(room.bench)
    for finding in room.weighed(name).findings:
        low = [
            metric
            for metric in finding.metrics
            if metric.name in tables.anchors and float(tables.anchors[metric.name].grade(metric.value)) < 4.9
        ]
        if low:
            assert re.search(r"\d", finding.why) and "lie on" not in finding.why, finding


@pytest.mark.parametrize("name", some_now(EVERY, 3, 5))
def test_what_does_not_count_is_counted_out(room: Room, name: str | int) -> None:
    sheet = sheet_of(room.bench, sessions.load(room.bench.archive, room.number(name)))
    for finding in room.weighed(name).findings:
        region = sheet.region(finding.region)
        steps = {step.name: step for step in finding.steps}
        if finding.instrument is None:
            continue
        if region.kind in ("saturation", "gradient") and steps:
            outside = steps["print"].patches - steps["print"].counted
            assert not outside or f"{outside} lie outside the gamut, by up to" in finding.why
        if steps and (missing := len(region.patch_ids) - steps["whole"].patches):
            assert f"{missing} were not read" in finding.why


def test_the_second_light_is_in_the_sentence_of_the_greys(room: Room) -> None:
    """A number of 1.6 dCh, graded 3.6, beside an eye that answered 4, is not nothing."""
    finding = room.finding(1, "neutral")
    light = next(metric for metric in finding.metrics if metric.name == "light_shift_differential")
    assert f"Not in the grade: the greys shift apart {light.where}, {light.value:.1f} dCh (" in finding.why


def test_ramps_far_from_their_aim_are_in_the_sentence_of_the_ramps(room: Room) -> None:
    assert "54 of 96 patches count; 42 lie outside the gamut, by up to" in room.finding(1, "saturation").why
    figure = next(
        block for block in room.appendix(1).blocks() if getattr(block, "id", "").endswith("saturation-ramps")
    )
    assert ", outside the gamut." in figure.alt  # type: ignore[union-attr]


def test_observers_keep_their_grades_apart(room: Room) -> None:
    """Never their mean, 3.5, which neither of them said; and never by name."""
    skin, shadow = (room.finding("two", region).why for region in ("skin", "shadow"))
    assert skin.startswith("Eye 4 by observer 1 and 3 by observer 2, readings 5.0: ")
    assert shadow.startswith("Eye 3 by observer 1 and 1 by observer 2, readings ")
    told = str(room.appendix("two"))
    assert "Quist" not in told and "Orrin" not in told and "3.5" not in room.finding("two", "skin").why


@pytest.mark.parametrize("name", some_now(EVERY, 3, 5))
def test_the_summary_says_of_each_region_what_its_viewings_said(room: Room, name: str | int) -> None:
    session = sessions.load(room.bench.archive, room.number(name))
    sheet = sheet_of(room.bench, session)
    summary = room.appendix(name).sections[0]
    told = [block.text for block in summary.blocks if isinstance(block, Paragraph)]
    for region in sheet.regions:
        grades = [
            answer.value.value
            for viewing in session.viewings
            for (where, question), answer in viewing.answers.items()
            if where == region.id and region.whole and question == region.whole.id
        ]
        named = [text for text in told if region.title.lower() in text.lower()]
        clean = any("no fault seen" in text for text in named)
        assert not (clean and min(grades, default=0) < 5), (region.title, named)
        lowest = [re.search(r"graded (\d)", text) for text in named]
        assert all(int(found[1]) == min(grades) for found in lowest if found)


@pytest.mark.long
def test_a_contradiction_of_times_is_named_wherever_an_age_would_stand(room: Room) -> None:
    weighing = room.weighed("before")
    said = [caveat for caveat in weighing.caveats if "before the stated printing on 25 Dec 2099" in caveat]
    assert [words.partition(" on ")[0] for words in said] == ["Read", "Looked at"], (
        "once each, not once a run"
    )
    evidence = [
        words for cause in weighing.causes for words in (*cause.evidence_for, *cause.evidence_against)
    ]
    assert not any("the wait was over" in words or "it was dry" in words for words in evidence)
    greys = neutrality.neutrality(room.bench, [room.number("before")]).prints[0]
    assert greys.hours is None and "after printing" not in title(greys)
    column = compare.worked_out(room.bench, (1, room.number("before"))).column(room.number("before"))
    assert column.hours is None


def test_a_mode_of_the_driver_is_not_held_to_a_profile_it_does_not_use(room: Room) -> None:
    weighing = room.weighed("own mode")
    assert any("does not go through the profile" in caveat for caveat in weighing.caveats)
    assert weighing.print_step == () and not any(finding.steps for finding in weighing.findings)
    assert not any("than expected" in words for cause in weighing.causes for words in cause.evidence_for)


def test_a_ring_without_colour_is_left_out_everywhere(room: Room) -> None:
    finding = room.finding(3, "ring")
    assert (finding.agreement, finding.why) == (
        "left out",
        "This mode prints no colour, so the ring-around shows nothing.",
    )
    document = room.appendix(3)
    said = [block.text for block in document.sections[0].blocks if isinstance(block, Paragraph)]
    assert "Left out: ring-around. This mode prints no colour, so the ring-around shows nothing." in said
    tables = [block for block in document.blocks() if isinstance(block, Table)]
    assert not any("Ring-around, a* and b*" in table.title for table in tables)
    cell = compare.worked_out(room.bench, (3, 2)).difference("ring", 3, 2)
    assert cell is not None and cell.reason == "no colour in the mode of session 3"


def test_the_print_step_counts_what_its_difference_rests_on(room: Room) -> None:
    rows = [
        row
        for block in room.appendix(1).blocks()
        if isinstance(block, Table) and block.title.startswith("From the file to the print")
        for row in block.rows
        if row[0].startswith("print:")
    ]
    assert "54 of 96" in [row[-1] for row in rows]
    assert all(int(row[-1].split()[0]) <= int(row[-1].split()[-1]) for row in rows)


def test_half_a_chart_grades_no_step_that_may_have_parted_before(room: Room) -> None:
    """Neither the first step told apart nor the ring's centre is taken from what was read beside them."""
    assert not {metric.name for metric in room.finding("half", "shadow").metrics} & {"first_shadow_step"}
    assert not {metric.name for metric in room.finding("half", "highlight").metrics} & {"last_highlight_step"}
    ring = next((m for m in room.finding("half", "ring").metrics if m.name == "ring_offset"), None)
    assert ring is None or ring.value < 0.5
    greys = neutrality.neutrality(room.bench, [room.number("half")]).prints[0]
    assert "(11 of 21 steps read)" in greys.sentence


def test_a_viewing_just_begun_does_not_unsay_the_one_before(room: Room) -> None:
    assert room.finding("second", "skin").why == (
        "Viewing 2 has not graded it yet; its readings stay out of sight."
    )
    document = room.appendix("second")
    told = [block.text for block in document.blocks() if isinstance(block, Paragraph)]
    assert not any("The eye has not graded" in text or "Not looked at" in text for text in told)
    assert any(text.startswith("Viewing 2 has not graded this region") for text in told)
    assert any("who looked again may have seen them in between" in text for text in told)


def test_a_verdict_that_no_eye_stands_behind_says_so(room: Room) -> None:
    reasons = room.weighed("revealed").verdicts["general"].reasons
    assert any(
        reason.startswith("By readings alone, not graded by eye: neutral greyscale") for reason in reasons
    )


@pytest.mark.long
def test_prints_that_cannot_be_compared_are_not_told_apart(room: Room) -> None:
    """Two sheets, a session without grades: no sentence says that anything was told apart by eye.

    But for prints that lay side by side under letters, which the demo has of three.
    """
    compared = compare.worked_out(room.bench, (1, 2, 3, 4, 5, 6), every_pair=True)
    assert "not told apart" in " ".join(compared.beside)
    matrix = replace(compared, beside=())
    for use in ("general", "portrait", "landscape", "black and white"):
        text = f"{compare_words.review(matrix, use)} {' '.join(compare_words.separators(matrix, use))}"
        assert "told apart" not in text and "visibl" not in text
        assert "(another sheet)" in text or "too little of what this use weighs" in text


def test_what_was_only_looked_at_is_alike_as_far_as_looked(room: Room) -> None:
    pair = (room.number("eye"), room.number("half"))
    matrix = compare.worked_out(room.bench, pair)
    assert "as far as looked" in compare_words.review(matrix, "general")
    assert "looked and read" not in compare_words.review(matrix, "general")


def test_a_document_of_an_empty_session_claims_nothing(room: Room) -> None:
    told = [block.text for block in room.appendix("empty").blocks() if isinstance(block, Paragraph)]
    assert "Nobody has looked at this print yet." in told
    assert not any("Readings stayed out of sight" in text or "By eye alone" in text for text in told)
    assert not any("Print and aim were compared" in text for text in told)
