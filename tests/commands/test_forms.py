"""Every form the program prints: taken back as it came it says nothing; filled in, it says just that."""

import json
import random
import re
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from evaluation.archive import sessions
from evaluation.archive.connection import open_archive
from evaluation.session import Cast, Count, Grade, Pick, Place, Session, Value, YesNo
from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.work.bench import Bench, drawn_sheet_of

Drydown = Callable[..., Any]
CHART = Path(__file__).parents[1] / "sheet" / "data" / "chart-24.toml"


@pytest.fixture
def begun(drydown: Drydown, tmp_path: Path) -> Path:
    """A session on the usual sheet; the path of its archive."""
    condition = tmp_path / "condition.toml"
    condition.write_text('[condition]\npaper = "rag"\nmade_for = "general"\n', "utf-8")
    assert drydown("new", "--from", condition).out == "1\n"
    return tmp_path / "archive.db"


def stands(archive: Path, number: int = 1) -> tuple[Session, Sheet]:
    with open_archive(archive) as opened:
        session = sessions.load(opened, number)
        return session, drawn_sheet_of(Bench(opened), session)


# The grades form --------------------------------------------------------------------------------------------


def test_a_grades_form_taken_back_blank_records_nothing(
    drydown: Drydown, begun: Path, tmp_path: Path
) -> None:
    form = tmp_path / "g.toml"
    form.write_text(drydown("grade", 1, "--template").out, "utf-8")
    ran = drydown("grade", 1, "--from", form)
    assert (ran.code, ran.out) == (1, "")
    assert "no answer found; every line of the form is blank" in ran.err and ran.err.count("\n") == 1
    assert stands(begun)[0].viewings == ()


WORDS = ("red", "yellow", "green", "cyan", "blue", "magenta")
STRENGTHS = ("just", "clear", "strong")


def lean(draw: random.Random) -> tuple[str, tuple[str, str | None]]:
    """A cast of one part as people write it, and what is meant."""
    if draw.random() < 0.4:
        return draw.choice(["none", "0", "None"]), ("none", None)
    word, strength = draw.randrange(6), draw.randrange(3)
    written = draw.choice(
        [f"{WORDS[word]}, {STRENGTHS[strength]}", f"{word + 1}{strength + 1}", f"{word + 1} {strength + 1}"]
    )
    return written, (WORDS[word], STRENGTHS[strength])


def filled(draw: random.Random, sheet: Sheet, region: SheetRegion, question: Question) -> tuple[str, Value]:
    """An answer as it stands in the file after the equals sign, and what is meant by it."""
    patches = [sheet.patch(patch) for patch in region.patch_ids]
    match question.answer:
        case "grade":
            grade = draw.randint(1, 5)
            return draw.choice([f"{grade}", f'"{grade}"']), Grade(grade)
        case "count":
            number = draw.randint(0, max((patch.step or 0 for patch in patches), default=9))
            return draw.choice([f"{number}", f'"{number}"', *(['"none"'] if not number else [])]), Count(
                number
            )
        case "yesno":
            yes = draw.random() < 0.5
            return draw.choice(['"yes"', "true"] if yes else ['"no"', "false"]), YesNo(yes)
        case "cast":
            parts = [(part, *lean(draw)) for part in question.parts]
            meant = Cast(tuple((part, word, strength) for part, _, (word, strength) in parts))  # type: ignore[misc]
            if len(parts) == 1:
                return f'"{parts[0][1]}"', meant
            inside = ", ".join(f'{part} = "{written}"' for part, written, _ in parts)
            return f"{{ {inside} }}", meant
        case "pick":
            numbers = sorted(int(patch.name) for patch in patches if patch.series in question.parts)
            one, other = draw.sample(numbers, 2)
            return draw.choice(
                [
                    (f"{one}", Pick((one,))),
                    (f'"{one}"', Pick((one,))),
                    (f'"{one}, {other}"', Pick((one, other))),
                    (f"[{one}, {other}]", Pick((one, other))),
                    ('"none"', Pick(())),
                    ('"outside: green"', Pick((), "green")),
                ]
            )
        case "place":
            series = dict.fromkeys(patch.series for patch in patches if patch.series)
            one, other = draw.sample(list(series), 2)
            meant = Place(((one, 1), (other, None)))
            table = f'{{ "{one}" = 1, "{other}" = true }}'
            return draw.choice([(f'"{one} 1, {other}"', meant), (table, meant), ('"none"', Place(()))])
    raise AssertionError(question.answer)


def written_in(form: str, region: str, key: str, value: str) -> str:
    """The form with one blank filled in, as an editor leaves it: the comment behind it stays."""
    pattern = re.compile(
        rf"(^\[{region}\]$.*?^{key} = )(\"\"|\{{.*?\}}|false)( +#|$)", re.DOTALL | re.MULTILINE
    )
    changed, times = pattern.subn(lambda found: f"{found[1]}{value}{found[3]}", form, count=1)
    assert times == 1, (region, key)
    return changed


@pytest.mark.parametrize("seed", range(6))
def test_what_is_filled_in_is_recorded_and_what_stays_blank_is_listed(
    drydown: Drydown, begun: Path, tmp_path: Path, seed: int
) -> None:
    draw = random.Random(seed)
    _, sheet = stands(begun)
    form = drydown("grade", 1, "--template").out
    meant: dict[tuple[str, str], Value] = {}
    faults: set[tuple[str, str]] = set()
    faultless, remarks, again, left = set(), {}, set(), {}
    for region in sheet.regions:
        if draw.random() < 0.2:
            left[region.id] = ["all"]
            continue
        open_here = []
        for question in region.questions:
            if draw.random() < 0.7:
                text, value = filled(draw, sheet, region, question)
                form = written_in(form, region.id, question.id, text)
                meant[region.id, question.id] = value
            elif question.light != "the second light of the session":  # nobody named one
                open_here.append(question.id)
        chosen = draw.random()
        if chosen < 0.3:
            form = written_in(form, region.id, "faults", draw.choice(['"none"', "0"]))
            faultless.add(region.id)
        elif chosen < 0.6:
            number = draw.randint(1, len(region.faults))
            name = region.faults[number - 1]
            form = written_in(
                form, region.id, "faults", draw.choice([f'"{number}"', f'"{name}"', f'["{name}"]'])
            )
            faults.add((region.id, name))
        else:
            open_here.append("faults")
        if draw.random() < 0.3:
            form = written_in(form, region.id, "remark", '"at the left edge"')
            remarks[region.id] = "at the left edge"
        if draw.random() < 0.3:
            form = written_in(form, region.id, "again", "true")
            again.add(region.id)
        asked = [q for q in region.questions if q.light != "the second light of the session"]
        nothing = len(open_here) == len(asked) + 1
        if open_here:
            left[region.id] = ["all"] if nothing else open_here
    path = tmp_path / "g.toml"
    path.write_text(form, "utf-8")
    ran = drydown("grade", 1, "--from", path, "--json")
    assert ran.code == 0, ran.err
    (viewing,) = stands(begun)[0].viewings
    assert {key: answer.value for key, answer in viewing.answers.items()} == meant
    assert {(fault.region, fault.name) for fault in viewing.faults} == faults
    assert viewing.faultless == faultless and viewing.remarks == remarks and viewing.look_again == again
    assert ran.json["left_out"] == left and ran.json["answers"] == len(meant)


def test_what_is_left_out_is_told_by_the_keys_of_the_form(
    drydown: Drydown, begun: Path, tmp_path: Path
) -> None:
    path = tmp_path / "g.toml"
    path.write_text("[viewing]\nkind = 'quick'\n[skin]\noverall = 4\n[ring]\nfaults = 'none'\n", "utf-8")
    ran = drydown("grade", 1, "--from", path)
    first, second = ran.out.splitlines()
    assert first == "Recorded: 1 answer and 1 region without a fault of observer 1 in session 1."
    assert second == (
        "Left out: neutral; ring (overall); shadow; highlight; skin (faults); saturation; gradient; detail; "
        "structure; tints; gloss; scenes; picture."
    )


def test_a_form_that_says_what_a_viewing_said_before_is_told(
    drydown: Drydown, begun: Path, tmp_path: Path
) -> None:
    path = tmp_path / "g.toml"
    path.write_text("[skin]\noverall = 4\nfaults = 'grey'\n", "utf-8")
    assert drydown("grade", 1, "--from", path).err == ""
    assert "Viewing 1 says the same." in drydown("grade", 1, "--from", path).err


def test_a_region_that_is_not_on_the_sheet_is_said_and_asked_for_no_more(
    drydown: Drydown, begun: Path, tmp_path: Path
) -> None:
    path = tmp_path / "g.toml"
    form = written_in(drydown("grade", 1, "--template").out, "picture", "absent", "true")
    path.write_text(written_in(form, "skin", "overall", '"4"'), "utf-8")
    ran = drydown("grade", 1, "--from", path)
    assert "1 region not on the sheet" in ran.out and "picture" not in ran.out
    assert stands(begun)[0].condition.absent == ("picture",)
    assert "[picture]" not in drydown("grade", 1, "--template").out
    path.write_text("[picture]\noverall = 4\n", "utf-8")
    assert "picture.absent: answered, and yet not on this sheet" in drydown("grade", 1, "--from", path).err


# The condition form -----------------------------------------------------------------------------------------


def test_a_condition_taken_back_blank_begins_nothing(drydown: Drydown, tmp_path: Path) -> None:
    form = tmp_path / "c.toml"
    form.write_text(drydown("new", "--template").out, "utf-8")
    ran = drydown("new", "--from", form)
    assert (ran.code, ran.out) == (1, "")
    assert "nothing; every line of the form is blank" in ran.err
    assert not (tmp_path / "archive.db").exists() or drydown("list", "--json").json["sessions"] == []


CONDITION = {
    "printer": "Merrowby 24",
    "inks": "ten inks",
    "paper": "Rag 293",
    "media_setting": "rag, heavy",
    "quality": "3 of 5",
    "direction": "one way",
    "driver_mode": "driver's colour",
    "profile": "rag.icc",
    "intent": "perceptual",
    "black_point_compensation": "yes",
    "made_for": "portrait",
    "tone_wanted": "warm",
    "printed_at": "2026-03-02 13:10",
    "drying": "rack",
    "sheet_width_mm": "330.2",
    "sheet_height_mm": "483",
    "absent": "picture, ring",
}
READINESS = {
    "settled": '"does not apply"',
    "nozzle_check": '"done"',
    "alignment": '"not done"',
    "media_setting": '"done"',
    "feed_and_side": '"done"',
    "dry": '{ mark = "done", celsius = "21,5", humidity = "48" }',
    "flat": '{ mark = "done", mm = "100.2" }',
    "viewing_light": '{ mark = "done", lux = "2040", kelvin = 5050, class = "P1", second = "A", uv = "no" }',
    "surround": '"done"',
    "adapted": '"done"',
    "colour_vision": '{ mark = "done", how = "plates, all read" }',
}


def blanks(form: str) -> Iterator[tuple[str, str]]:
    for table, keys in tomllib.loads(form).items():
        yield from ((table, key) for key in keys)


def test_the_condition_form_has_a_blank_for_everything_it_can_say(drydown: Drydown) -> None:
    form = drydown("new", "--template").out
    assert set(blanks(form)) == {
        *(("condition", key) for key in (*CONDITION, "black_from")),
        *(("readiness", key) for key in READINESS),
    }


@pytest.mark.parametrize("seed", range(5))
def test_a_condition_filled_in_is_what_the_session_says(drydown: Drydown, tmp_path: Path, seed: int) -> None:
    draw = random.Random(seed)
    form = drydown("new", "--template").out
    said = {key for key in CONDITION if draw.random() < 0.6 or key == "paper"}
    lines = {item for item in READINESS if draw.random() < 0.6}
    for key in said:
        form = written_in(form, "condition", key, f'"{CONDITION[key]}"')
    for item in lines:
        form = written_in(form, "readiness", item, READINESS[item])
    path = tmp_path / "c.toml"
    path.write_text(form, "utf-8")
    ran = drydown("new", "--from", path, "--json")
    assert ran.code == 0, ran.err
    session, _ = stands(tmp_path / "archive.db")
    shown = {key: getattr(session.condition, key) for key in CONDITION}
    assert {key for key, value in shown.items() if value not in ("", None, ())} == said
    for key in said & {"printer", "paper", "quality", "intent", "made_for", "tone_wanted", "drying"}:
        assert shown[key] == CONDITION[key]
    if "sheet_width_mm" in said:
        assert shown["sheet_width_mm"] == 330.2
    if "black_point_compensation" in said:
        assert shown["black_point_compensation"] is True
    if "printed_at" in said:
        assert f"{shown['printed_at'].astimezone():%Y-%m-%d %H:%M}" == "2026-03-02 13:10"
    if "absent" in said:
        assert shown["absent"] == ("picture", "ring")
    assert set(session.readiness) == lines
    details = {item: dict(made.detail) for item, made in session.readiness.items() if made.detail}
    whole = {
        "dry": {"celsius": 21.5, "humidity": 48.0},
        "flat": {"mm": 100.2},
        "viewing_light": {"lux": 2040.0, "kelvin": 5050.0, "class": "P1", "second": "A", "uv": "no"},
        "colour_vision": {"how": "plates, all read"},
    }
    assert details == {item: detail for item, detail in whole.items() if item in lines}
    left = ran.json["left_out"]
    assert set(left.get("condition", ())) == set(CONDITION) - said - {"tone_wanted", "absent"}
    assert set(left.get("readiness", ())) == set(READINESS) - lines
    told = "Left out: " + "; ".join(f"{table} ({', '.join(keys)})" for table, keys in left.items()) + "."
    assert not left or told in ran.err


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            'viewing_light = { mark = "done", condition = "P1" }',
            "viewing_light.condition: unknown key (known",
        ),
        (
            'viewing_light = { mark = "done", class = "P3" }',
            "viewing_light.class: expected one of “P1”, “P2”",
        ),
        ('viewing_light = { lux = "2040" }', "viewing_light.mark: missing"),
        ('viewing_light = { mark = "done", lux = "bright" }', "viewing_light.lux: expected a number"),
        ('viewing_light = { mark = "done", second = "LED, 3000 K" }', "the name of a light without a comma"),
        ('flat = { mark = "done", cm = 10 }', "flat.cm: unknown key (known here: mark, mm)"),
        ('surround = { mark = "done", colour = "grey" }', "surround.colour: unknown key"),
    ],
)
def test_a_detail_that_nothing_reads_is_refused(
    drydown: Drydown, tmp_path: Path, line: str, told: str
) -> None:
    path = tmp_path / "c.toml"
    path.write_text(f'[condition]\npaper = "rag"\n[readiness]\n{line}\n', "utf-8")
    ran = drydown("new", "--from", path)
    assert ran.code == 1 and told in ran.err


def test_a_region_that_the_sheet_never_had_cannot_be_lacking(drydown: Drydown, tmp_path: Path) -> None:
    path = tmp_path / "c.toml"
    path.write_text('[condition]\npaper = "rag"\nabsent = "moon"\n', "utf-8")
    ran = drydown("new", "--from", path)
    assert ran.code == 2 and "condition.absent. Expected: regions of the sheet (neutral" in ran.err


def test_a_profile_that_does_not_lie_there_is_told(drydown: Drydown, tmp_path: Path) -> None:
    path = tmp_path / "c.toml"
    path.write_text('[condition]\npaper = "rag"\nprofile = "gone.icc"\n', "utf-8")
    assert "gone.icc does not lie beside c.toml: only its name is kept." in drydown("new", "--from", path).err


# The map of a picture of one's own --------------------------------------------------------------------------


def test_a_map_that_was_started_says_only_what_the_picture_says(drydown: Drydown, tmp_path: Path) -> None:
    from PIL import Image

    picture = tmp_path / "own.png"
    Image.new("RGB", (600, 400), "grey").save(picture)
    out = tmp_path / "own.sheet.toml"
    assert drydown("sheet", "--map-from", picture, out).code == 0
    facts = json.loads(drydown("sheet", "--check", out, "--json").out)
    assert (facts["patches"], facts["paper"], facts["black"], facts["regions"]) == (0, None, None, 1)
    assert "encoding" not in tomllib.loads(out.read_text("utf-8"))
