"""A session's profile on the way into its weighing: kept, opened once, told when it cannot be used."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from evaluation.archive import documents, sessions
from evaluation.archive.connection import open_archive
from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.profile.engine import lab_from_device, open_profile
from evaluation.profile.icc_facts import icc_facts
from evaluation.readings.supplied import Supplied
from evaluation.session import PrintingCondition, Session
from evaluation.work.bench import Bench
from evaluation.work.charts import charts, kept
from evaluation.work.describe import begin
from evaluation.work.take_in import read
from evaluation.work.weigh import weigh
from evaluation.work.weigh.document import document as weighing_document
from evaluation.work.weigh.expected import expected_of
from fixtures.printer import icc
from tests.profile.carrying import carrying, table, text_tag

ROOM = Path(icc.__file__).parents[1]
LUSTRE = (ROOM / "profiles" / "sallowfell-lustre-finest.icc").read_bytes()
MADE = datetime.fromisoformat(icc_facts(LUSTRE, "mine.icc").created).replace(tzinfo=UTC)  # 2 March 2026


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with open_archive(tmp_path / "archive.db", create=True) as archive:
        yield Bench(archive, now=lambda: datetime(2026, 3, 9, 12, tzinfo=UTC))


def session(bench: Bench, profile: bytes | None = LUSTRE, **said: object) -> Session:
    condition = PrintingCondition(profile="mine.icc" if profile else "", **said)  # type: ignore[arg-type]
    return begin.begin(bench, condition, {}, profile=profile)


def chart(path: Path, created: str, *, off: float = 0.0) -> Path:
    """Readings of a profiling chart: what the profile says, darker by `off` per cent but for its paper."""
    steps = np.linspace(0, 1, 4)
    device = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(-1, 3)
    profile = open_profile(LUSTRE, "mine.icc")
    lab = lab_from_device(profile, device, absolute=True)
    lab[:-1, 0] *= 1 - off / 100
    rows = [
        f"Q{k}\t" + "\t".join(f"{v:.4f}" for v in (*(rgb * 255), *row))
        for k, (rgb, row) in enumerate(zip(device, lab, strict=True), 1)
    ]
    head = f'ISO28178\nCREATED\t"{created}"\nMEASUREMENT_CONDITION\t"M1"\n'
    head += "NUMBER_OF_FIELDS\t7\nBEGIN_DATA_FORMAT\n"
    head += "SAMPLE_ID\tRGB_R\tRGB_G\tRGB_B\tLAB_L\tLAB_A\tLAB_B\nEND_DATA_FORMAT\n"
    head += f"NUMBER_OF_SETS\t{len(rows)}\nBEGIN_DATA\n"
    path.write_text(head + "\n".join(rows) + "\nEND_DATA\n")
    return path


def taken_in(bench: Bench, session_id: int, path: Path) -> None:
    said = Supplied(printed_as="unmanaged", rgb_scale=255)
    read.take_in(bench, session_id, read.preview(bench, session_id, path, said))


def test_a_session_without_a_profile_promises_nothing(bench: Bench) -> None:
    found = expected_of(bench, session(bench, None))
    assert found.expected is None and found.caveats == ()


def test_the_promise_is_that_of_the_condition(bench: Bench) -> None:
    made = session(bench, intent="perceptual", black_point_compensation=False)
    promise = expected_of(bench, made).expected
    assert promise is not None
    assert (promise.intent, promise.compensation) == ("perceptual", False)
    assert promise.profile.content == LUSTRE


def test_what_is_not_stated_is_colorimetric_and_compensated(bench: Bench) -> None:
    promise = expected_of(bench, session(bench)).expected
    assert promise is not None
    assert (promise.intent, promise.compensation) == ("relative colorimetric", True)


def test_a_promise_is_made_once_for_a_profile_a_sheet_and_an_intent(bench: Bench) -> None:
    first, second = session(bench), session(bench)
    other = session(bench, intent="saturation")
    assert expected_of(bench, first).expected is expected_of(bench, second).expected
    assert expected_of(bench, first).expected is not expected_of(bench, other).expected


def test_a_profile_that_cannot_be_used_is_a_caveat_and_no_end(bench: Bench) -> None:
    """Begin refuses such a file; an archive may hold one from a version that knew less."""
    digest = documents.keep(bench.archive, "profile", "mine.icc", LUSTRE[:9000])
    made = session(bench, None)
    begin.say_condition(bench, made.id, "profile", "mine.icc")
    made = begin.say_condition(bench, made.id, "profile_digest", digest).session
    (caveat,) = expected_of(bench, made).caveats
    assert (
        caveat.startswith("Nothing is expected of the profile: mine.icc. ") and "the file was cut" in caveat
    )
    assert caveat in weigh.weigh(bench, made.id).caveats


def test_readings_of_the_profiling_chart_say_how_well_the_profile_fits(bench: Bench, tmp_path: Path) -> None:
    made = session(bench)
    taken_in(bench, made.id, chart(tmp_path / "chart.txt", "2026-02-27T09:00:00+00:00", off=2.0))
    weighing = weigh.weigh(bench, made.id)
    assert weighing.fit is not None and weighing.fit.patches == 64
    assert 0.5 < weighing.fit.median < 1.5
    assert sum(part.patches for part in weighing.fit.parts) == 64
    document = weighing_document(weighing)["profile_fit"]
    assert document["patches"] == 64 and {"part", "median", "p95", "patches"} == document["parts"][0].keys()


def test_profiling_data_of_another_session_count_once_taken_over(bench: Bench, tmp_path: Path) -> None:
    first = session(bench, printer="Merrowby 24", paper="Sallowfell Lustre 247")
    taken_in(bench, first.id, chart(tmp_path / "chart.txt", "2026-02-27T09:00:00+00:00", off=2.0))
    second = begin.begin_like(bench, first.id).id
    assert weigh.weigh(bench, second).fit is None
    kept.take_over(bench, second, first.id)
    fit = weigh.weigh(bench, second).fit
    assert fit is not None and fit == weigh.weigh(bench, first.id).fit


def test_readings_of_later_say_nothing_of_the_fit(bench: Bench, tmp_path: Path) -> None:
    made = session(bench)
    taken_in(bench, made.id, chart(tmp_path / "chart.txt", "2026-03-08T09:00:00+00:00"))
    assert weigh.weigh(bench, made.id).fit is None


@pytest.mark.parametrize(
    ("date", "why"),
    [
        ("", "“chart.txt” states no date of measurement. If the profile was made from them, say so in Read"),
        pytest.param("May 2015", "“chart.txt” states no date of measurement.", marks=pytest.mark.long),
        ("2026-03-08T09:00:00+00:00", "was read, on 2026-03-08, after the profile was made, on 2026-03-02."),
    ],
)
def test_a_fit_that_cannot_be_told_says_why_until_a_person_says_it(
    bench: Bench, tmp_path: Path, date: str, why: str
) -> None:
    made, path = session(bench), chart(tmp_path / "chart.txt", date)
    taken_in(bench, made.id, path)
    weighing = weigh.weigh(bench, made.id)
    (told,) = (caveat for caveat in weighing.caveats if caveat.startswith("How well the profile follows"))
    assert weighing.fit is None and why in told and "--made-from-these" in told
    said = Supplied(printed_as="unmanaged", rgb_scale=255)
    for more in (replace(said, made_profile=True), replace(said, measured_at=MADE)):
        read.take_in(bench, made.id, read.preview(bench, made.id, path, more))
        weighing = weigh.weigh(bench, made.id)
        assert weighing.fit is not None and told not in weighing.caveats


def test_a_clock_an_hour_ahead_costs_no_fit_and_two_days_do(bench: Bench, tmp_path: Path) -> None:
    for hours, fits in ((1, True), (23, True), (48, False)):
        made = session(bench)
        at = (MADE + timedelta(hours=hours)).isoformat()
        taken_in(bench, made.id, chart(tmp_path / f"after {hours}.txt", at))
        assert (weigh.weigh(bench, made.id).fit is not None) is fits, hours


def test_readings_inside_the_profile_are_its_own_whatever_the_dates(bench: Bench, tmp_path: Path) -> None:
    """A profile alone is enough: fit, repeats, black and greys from one file."""
    inside = chart(tmp_path / "chart.txt", "2031-03-08T09:00:00+00:00", off=2.0).read_bytes()
    path = tmp_path / "mine.icc"
    path.write_bytes(carrying(LUSTRE, {b"targ": text_tag(inside)}))
    made = begin.begin(bench, PrintingCondition(profile="mine.icc"), {}, profile=path.read_bytes())
    what = read.preview(bench, made.id, path, Supplied(rgb_scale=255))
    read.take_in(bench, made.id, what)
    weighing = weigh.weigh(bench, made.id)
    assert weighing.fit is not None and weighing.fit.patches == 64 and 0.5 < weighing.fit.median < 1.5
    facts = charts.of_session(bench, made.id, weigh.tables(bench)).chart
    assert facts is not None and facts.patches == 64 and facts.greys is not None and facts.black is not None
    kept = documents.fetch(bench.archive, documents.digest_of(path.read_bytes()))
    assert kept == ("mine.icc", path.read_bytes())


def test_profiling_data_without_a_profile_and_of_another_space_are_caveats(
    bench: Bench, tmp_path: Path
) -> None:
    bare = session(bench, None)
    taken_in(bench, bare.id, chart(tmp_path / "chart.txt", "2026-02-27T09:00:00+00:00"))
    told = "How well the profile follows its profiling data is not known: "
    assert told + "no profile is kept with this session." in weigh.weigh(bench, bare.id).caveats
    inks, path = session(bench), tmp_path / "inks.txt"
    rows = [(n, n * 10, 0, 0, 0, 90 - n * 5, 0, -n) for n in range(9)]
    path.write_text(table("SAMPLE_ID CMYK_C CMYK_M CMYK_Y CMYK_K LAB_L LAB_A LAB_B", rows))
    taken_in(bench, inks.id, path)
    found = weigh.weigh(bench, inks.id).caveats
    assert told + "“inks.txt” holds CMYK values, and the profile is for RGB." in found


def test_later_readings_of_the_same_patches_tell_how_far_the_machine_moved(
    bench: Bench, tmp_path: Path
) -> None:
    from evaluation.work.take_in.profiling import profiling

    made = session(bench)
    taken_in(bench, made.id, chart(tmp_path / "chart.txt", "2026-02-27T09:00:00+00:00"))
    taken_in(bench, made.id, chart(tmp_path / "again.txt", "2026-03-08T09:00:00+00:00", off=5.0))
    now = sessions.load(bench.archive, made.id)
    found = profiling(open_profile(LUSTRE, "mine.icc"), read.taken_in(bench, now))
    assert found.facts.fit_median is not None and found.facts.fit_median < 0.05
    assert found.facts.moved is not None and 1.5 < found.facts.moved < 3
    assert found.facts.condition == "M1"


@pytest.mark.parametrize(("backing", "told"), [("white", True), (None, True), ("black", False)])
def test_readings_on_another_backing_tell_no_movement(
    bench: Bench, tmp_path: Path, backing: str | None, told: bool
) -> None:
    from evaluation.work.take_in.profiling import profiling

    made = session(bench)
    taken_in(bench, made.id, chart(tmp_path / "chart.txt", "2026-02-27T09:00:00+00:00"))
    taken_in(bench, made.id, chart(tmp_path / "again.txt", "2026-03-08T09:00:00+00:00", off=5.0))
    first, again = read.taken_in(bench, sessions.load(bench.archive, made.id))
    first = replace(first, run=replace(first.run, stated=replace(first.run.stated, backing="white")))
    again = replace(again, run=replace(again.run, stated=replace(again.run.stated, backing=backing)))
    found = profiling(open_profile(LUSTRE, "mine.icc"), (first, again))
    assert (found.facts.moved is not None) is told


def test_what_repeats_explain_is_no_movement(bench: Bench, tmp_path: Path) -> None:
    """Every patch read three times by an instrument that wanders by 2 dE*ab: its mean difference is noise."""
    from evaluation.work.take_in.profiling import profiling

    made, draw = session(bench), np.random.default_rng(7)
    for name, day in (("chart.txt", "2026-02-27"), ("again.txt", "2026-03-08")):
        path = chart(tmp_path / name, f"{day}T09:00:00+00:00")
        head, _, rows = path.read_text().partition("BEGIN_DATA\n")
        noisy = []
        for row in [row for row in rows.splitlines() if row[:1] == "Q"] * 3:
            cells = row.split("\t")
            lab = np.clip(np.array(cells[4:], float) + draw.normal(0, 2, 3), [0, -99, -99], 99)
            noisy.append("\t".join([*cells[:4], *(f"{value:.3f}" for value in lab)]))
        head = head.replace("NUMBER_OF_SETS\t64", f"NUMBER_OF_SETS\t{len(noisy)}")
        path.write_text(head + "BEGIN_DATA\n" + "\n".join(noisy) + "\nEND_DATA\n")
        taken_in(bench, made.id, path)
    now = sessions.load(bench.archive, made.id)
    found = profiling(open_profile(LUSTRE, "mine.icc"), read.taken_in(bench, now))
    assert found.facts.moved == 0.0


def test_what_was_printed_as_a_picture_says_nothing_of_the_fit(bench: Bench, tmp_path: Path) -> None:
    made = session(bench)
    path = chart(tmp_path / "chart.txt", "2026-02-27T09:00:00+00:00")
    said = Supplied(printed_as="managed", rgb_scale=255)
    read.take_in(bench, made.id, read.preview(bench, made.id, path, replace(said, by_order=True)))
    assert weigh.weigh(bench, made.id).fit is None


def test_a_print_that_follows_its_profile_has_a_print_step_of_nothing(bench: Bench, tmp_path: Path) -> None:
    """Readings made from the promise itself, on the profile's own paper: the whole is intent and gamut."""
    made = session(bench)
    promise = expected_of(bench, made).expected
    assert promise is not None
    lab = lab_from_xyz(xyz_from_lab(promise.lab(promise.patches)) * promise.profile.white_scale)
    rows = [
        f"{patch.id}\t" + "\t".join(f"{value:.4f}" for value in row)
        for patch, row in zip(promise.patches, lab, strict=True)
        if np.isfinite(row).all()
    ]
    path = tmp_path / "print.txt"
    path.write_text(
        'ISO28178\nMEASUREMENT_CONDITION\t"M1"\nNUMBER_OF_FIELDS\t4\nBEGIN_DATA_FORMAT\n'
        "SAMPLE_ID\tLAB_L\tLAB_A\tLAB_B\nEND_DATA_FORMAT\n"
        f"NUMBER_OF_SETS\t{len(rows)}\nBEGIN_DATA\n" + "\n".join(rows) + "\nEND_DATA\n"
    )
    read.take_in(bench, made.id, read.preview(bench, made.id, path, Supplied(printed_as="managed")))
    weighing = weigh.weigh(bench, made.id, reveal=True)
    assert weighing.paper is not None and weighing.paper.de00 < 0.3
    told = [finding for finding in weighing.findings if finding.steps]
    assert told
    for finding in told:
        profile, printed, whole = finding.steps
        assert printed.de00 is None or printed.de00 < 0.3
        assert np.allclose(np.add(profile.vector, printed.vector), whole.vector)


def test_where_the_gamut_ends_is_a_setting(bench: Bench) -> None:
    """An aim that lies some way outside is inside for who says that this much is nothing."""
    far = np.array([[60.0, -90.0, 60.0]])
    shipped = expected_of(bench, session(bench)).expected
    assert shipped is not None and not shipped.inside(far).all()  # type: ignore[union-attr]
    wide = Bench(bench.archive, "[thresholds]\ngamut_distance = 90\n", bench.now)
    lenient = expected_of(wide, session(wide)).expected
    assert lenient is not None and lenient.inside(far).all()  # type: ignore[union-attr]
