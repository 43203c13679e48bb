"""The black of an accepted earlier print: chosen, checked, and used alike wherever a print is judged.

The demo's sessions 2 and 3 are one paper; 3 is accepted, 2 is not. Prints and readings are invented.
"""

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.errors import UsageProblem
from evaluation.session import Grade
from evaluation.work import home
from evaluation.work.bench import Bench
from evaluation.work.compare import compare
from evaluation.work.describe import begin, fields
from evaluation.work.look import look
from evaluation.work.neutrality.neutrality import neutrality
from evaluation.work.weigh import curves, weigh
from evaluation.work.weigh.weigh import aims_of
from evaluation.work.write_up import write_up

SAID = "Black level taken from session 3, an accepted print."


@pytest.fixture(scope="module")
def made(demo_archive: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, its session 2 without its profile: nothing else says how deep its black should be."""
    path = tmp_path_factory.mktemp("demo") / "demo.db"
    with open_archive(shutil.copy(demo_archive, path)) as opened:
        begin.say_condition(Bench(opened), 2, "profile_digest", None)
    return path


@pytest.fixture
def bench(made: Path, tmp_path: Path) -> Iterator[Bench]:
    with open_archive(shutil.copy(made, tmp_path / "room.db")) as opened:
        yield Bench(opened)


def chosen(bench: Bench) -> None:
    fields.say_field(bench, 2, "black_from", "session 3")


def told(bench: Bench) -> str:
    """What the weighing of session 2 says of the black it was told to take."""
    return " ".join(c for c in weigh.weigh(bench, 2).caveats if "The black of session" in c)


def test_the_black_chosen_is_the_aims_black_in_every_result(bench: Bench) -> None:
    chosen(bench)
    record = neutrality(bench, (3,)).prints[0].record
    assert record is not None and record.black is not None
    aims = aims_of(bench, sessions.load(bench.archive, 2), weigh.tables(bench))
    assert aims.expected is None and aims.earlier_black is not None
    of_paper = 10**-record.black.d_range
    assert aims.earlier_black / 100 == pytest.approx(of_paper, rel=0.03), "densities are of illuminant A"

    assert SAID in weigh.weigh(bench, 2).caveats
    on_record = neutrality(bench, (2,)).prints[0]
    assert on_record.record is not None and on_record.record.black_from == "earlier session"
    assert any(caveat.endswith("taken from session 3, an accepted print.") for caveat in on_record.caveats)
    written = write_up.as_text(write_up.appendix(bench, (2,)))
    assert "as deep as in the earlier session named for it" in written
    assert "session 3, where no profile says it" in written
    assert "taken from this print" not in written


def test_the_curve_of_a_region_is_drawn_against_that_black_too(bench: Bench) -> None:
    def darkest() -> float:
        found = curves.of_region(bench, 2, "mono_neutral")
        assert isinstance(found, tuple)
        lightness = next(curve for curve in found if curve.title.startswith("lightness"))
        return min(value for _, value in next(line for line in lightness.lines if line.name == "aim").points)

    before = darkest()
    chosen(bench)
    assert darkest() != before


def test_a_profile_says_it_first(bench: Bench) -> None:
    chosen(bench)
    session = sessions.load(bench.archive, 2)
    kept = sessions.load(bench.archive, 1).condition.profile_digest
    aims = aims_of(
        bench,
        replace(session, condition=replace(session.condition, profile_digest=kept)),
        weigh.tables(bench),
    )
    assert aims.expected is not None and aims.earlier_black is None and aims.caveats == aims.expected.remarks


def test_describe_shows_the_choice_and_offers_accepted_sessions(bench: Bench) -> None:
    chosen(bench)
    assert fields.shown(sessions.load(bench.archive, 2).condition, "black_from") == "session 3"
    offered = fields.offered(bench, "black_from")
    assert "session 3" in offered and "session 2" not in offered
    fields.say_field(bench, 2, "black_from", "")
    assert sessions.load(bench.archive, 2).condition.black_from is None


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("77", "No session goes by 77."),
        ("session 2", "A print cannot take its black from itself."),
        (
            "1",
            "Session 1 was printed on Sallowfell Lustre 247, this one on Sallowfell Baryta 322.",
        ),
        ("the best one", "No session goes by the best one."),
    ],
)
def test_a_black_that_cannot_be_had_is_refused_in_a_sentence(bench: Bench, typed: str, sentence: str) -> None:
    with pytest.raises(UsageProblem) as refused:
        fields.say_field(bench, 2, "black_from", typed)
    assert sentence in refused.value.sentence
    assert sessions.load(bench.archive, 2).condition.black_from is None


def test_only_an_accepted_print_gives_its_black(bench: Bench) -> None:
    with pytest.raises(UsageProblem, match="Session 2 is undecided; only an accepted print gives its black"):
        weigh.weigh(bench, 2)
        fields.say_field(bench, 3, "black_from", "2")


@pytest.mark.long
def test_a_choice_that_no_longer_holds_is_told_and_not_followed(bench: Bench) -> None:
    chosen(bench)
    assert told(bench) == ""
    begin.say_condition(bench, 3, "media_setting", "matt")
    assert "session 3 was printed with the media setting matt, this one with" in told(bench)
    begin.say_condition(bench, 3, "media_setting", sessions.load(bench.archive, 2).condition.media_setting)
    assert told(bench) == "", "whether it is accepted is worked out where nobody has weighed it yet"
    home.remove(bench, 3)
    assert "The black of session 3 is not used: session 3 was removed." in told(bench)
    assert any("taken from this print" in caveat for caveat in weigh.weigh(bench, 2).caveats)
    home.bring_back(bench, 3)
    assert told(bench) == ""


def test_prints_that_ask_one_another_for_their_black_have_none_to_give(bench: Bench) -> None:
    chosen(bench)
    begin.say_condition(bench, 3, "profile_digest", None)
    begin.say_condition(bench, 3, "black_from", 2)
    assert told(bench).endswith("its own black comes from session 2 in turn.")
    own = next(caveat for caveat in weigh.weigh(bench, 3).caveats if "black of session" in caveat)
    assert own.endswith("its own black comes from session 3 in turn.")


def test_a_black_without_a_grade_stays_out_of_sight(bench: Bench) -> None:
    """Who looks anew has not graded the scale: its black is not told through another session either."""
    chosen(bench)
    aims = aims_of(bench, sessions.load(bench.archive, 2), weigh.tables(bench))
    assert aims.earlier_black is not None
    look.start(bench, 3, observer="a guest")
    aims = aims_of(bench, sessions.load(bench.archive, 2), weigh.tables(bench))
    assert aims.earlier_black is None and "is not used" in aims.caveats[-1]


CONDITION = """[condition]
paper = "Sallowfell Baryta 322"
media_setting = "{media}"
black_from = {number}
"""


def test_a_condition_file_names_it(bench: Bench) -> None:
    media = sessions.load(bench.archive, 3).condition.media_setting
    condition, _ = begin.read_condition(CONDITION.format(media=media, number=3), "mine.toml")
    assert begin.begin(bench, condition, {}).condition.black_from == 3
    condition, _ = begin.read_condition(CONDITION.format(media="matt", number=3), "mine.toml")
    with pytest.raises(UsageProblem, match=r"condition.black_from: .*printed with the media setting"):
        begin.begin(bench, condition, {})


def test_a_session_begun_like_another_takes_the_choice_along(bench: Bench) -> None:
    chosen(bench)
    home.remove(bench, 3)
    assert begin.begin_like(bench, 2).condition.black_from == 3, "what became of it is said with the result"


@pytest.mark.long
@pytest.mark.parametrize(("field", "said"), [("black_from", "session 3"), ("tone_wanted", "like session 3")])
def test_a_result_that_leans_on_another_session_is_kept_until_that_one_changes(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, field: str, said: str
) -> None:
    fields.say_field(bench, 2, field, said)
    compare.worked_out(bench, [2, 3])
    assert compare.at_once(bench, [2, 3]).unweighed == ()
    assert home.disagreeing(bench, sessions.load(bench.archive, 2)) is not None
    look.answer(bench, 3, "mono_neutral", "overall", Grade(5))
    assert compare.at_once(bench, [2, 3]).unweighed == (2, 3)
    assert home.disagreeing(bench, sessions.load(bench.archive, 2)) is None
