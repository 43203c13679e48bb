"""A run comes back exactly as it was given, and counts while an entry says so."""

from dataclasses import fields, replace
from datetime import datetime, timedelta, timezone

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from evaluation.archive import documents, entries, runs
from evaluation.entry import Draft
from evaluation.errors import UsageProblem
from evaluation.readings.run import CONDITIONS, MATCHED_BY, PRINTED_AS, Densities, PatchRef, Run, Stated

ARRAYS = ("wavelengths", "spectra", "lab", "xyz", "device")


def same(one, other):
    """Equal field by field, arrays bit by bit: NaN, minus zero and the last place included."""
    for field in fields(Run):
        a, b = getattr(one, field.name), getattr(other, field.name)
        if field.name in ARRAYS and a is not None:
            assert b.dtype == np.float64
            assert (a.shape, np.ascontiguousarray(a).tobytes()) == (b.shape, b.tobytes()), field.name
        elif field.name != "id":
            assert a == b, field.name
    return True


text = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
said_or_not = st.none() | text
zones = st.integers(-14 * 60, 14 * 60).map(lambda m: timezone(timedelta(minutes=m)))
moments = zones.flatmap(
    lambda zone: st.datetimes(datetime(1990, 1, 1), datetime(2090, 1, 1), timezones=st.just(zone))
)
stated = st.builds(
    Stated,
    st.none() | st.sampled_from(CONDITIONS),
    said_or_not,
    said_or_not,
    said_or_not,
    said_or_not,
    said_or_not,
    st.none() | moments,
    st.frozensets(st.sampled_from([field.name for field in fields(Stated)[:-2]])),
    st.none() | st.booleans(),
)


@st.composite
def any_run(draw):
    count = draw(st.integers(1, 5))
    bands = draw(st.integers(1, 5))
    has = draw(st.sampled_from([{"spectra"}, {"lab"}, {"xyz"}, {"spectra", "lab", "xyz"}]))

    def table(columns, name):
        return draw(arrays(np.float64, (count, columns))) if name in has else None

    device = draw(st.none() | st.integers(1, 6).flatmap(lambda n: arrays(np.float64, (count, n))))
    return Run(
        patches=tuple(
            PatchRef(draw(text), draw(text), row, draw(text), draw(text))
            for row in draw(st.permutations(range(1, count + 1)))
        ),
        stated=draw(stated),
        printed_as=draw(st.sampled_from(PRINTED_AS)),
        wavelengths=draw(arrays(np.float64, bands)) if "spectra" in has else None,
        spectra=table(bands, "spectra"),
        lab=table(3, "lab"),
        xyz=table(3, "xyz"),
        device=device,
        device_space=draw(said_or_not),
        part=draw(text),
        source_name=draw(text),
        reader=draw(text),
        rounding=draw(st.floats(0, 1)),
        matched_by=draw(st.sampled_from([None, *MATCHED_BY])),
        remarks=tuple(draw(st.lists(text, max_size=3))),
    )


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(run=any_run())
def test_every_field_of_a_run_comes_back_exactly(archive, session_id, now, run):
    (number,) = runs.keep(archive, session_id, [run], now)
    back = runs.load(archive, number)
    assert same(run, back)
    assert back.id == number


def test_a_time_that_was_kept_without_offset_is_local_time(archive, session_id, now, a_run):
    wall = datetime(2026, 3, 2, 14, 5)
    stated = replace(a_run.stated, measured_at=wall)
    (number,) = runs.keep(archive, session_id, [replace(a_run, stated=stated)], now)
    assert runs.load(archive, number).stated.measured_at == wall.astimezone()


def test_arrays_of_any_layout_are_kept_row_after_row(archive, session_id, now, a_run):
    turned = replace(a_run, spectra=np.asfortranarray(a_run.spectra), lab=a_run.lab[::-1])
    (number,) = runs.keep(archive, session_id, [turned], now)
    assert same(turned, runs.load(archive, number))


def test_densities_come_back_with_their_gaps_and_status(archive, session_id, now, a_run):
    given = Densities(("visual", "red"), np.array([[0.06, np.nan]] * len(a_run)), "E")
    (number,) = runs.keep(archive, session_id, [replace(a_run, densities=given)], now)
    back = runs.load(archive, number).densities
    assert (back.filters, back.status) == (("visual", "red"), "E")
    np.testing.assert_array_equal(back.values, given.values)


def test_nobody_changes_a_reading_by_accident(archive, session_id, now, a_run):
    (number,) = runs.keep(archive, session_id, [a_run], now)
    with pytest.raises(ValueError, match="read-only"):
        runs.load(archive, number).lab[0, 0] = 0.0


def test_the_file_is_kept_with_its_runs_once(archive, session_id, now, a_run):
    content = b"ISO28178\r\n\x00\xff"
    keep = lambda: runs.keep(archive, session_id, [a_run, a_run], now, source=("strip.txt", content))  # noqa: E731
    first, second = keep(), keep()
    assert len({*first, *second}) == 4
    digest = runs.load(archive, first[0]).source_digest
    assert documents.fetch(archive, digest) == ("strip.txt", content)
    assert archive.row("SELECT count(*) FROM document WHERE kind = 'source'") == (1,)


def take_in(archive, session_id, run, now, summarise):
    with archive.transaction():
        numbers = runs.keep(archive, session_id, [run], now, source=("strip.txt", b"text"))
        drafts = [Draft("readings", str(number), "in") for number in numbers]
        entries.say(archive, session_id, drafts, now, summarise)
    return numbers[0]


def live(archive, session_id):
    return [run.id for run in runs.of_session(archive, session_id)]


def test_a_run_counts_once_it_was_said_to_be_in(archive, session_id, now, summarise, a_run, load):
    runs.keep(archive, session_id, [a_run], now)
    assert live(archive, session_id) == []
    number = take_in(archive, session_id, a_run, now, summarise)
    assert live(archive, session_id) == [number] == list(load().runs)


def test_the_one_undo_takes_readings_out_and_redo_brings_them_back(
    archive, session_id, now, summarise, a_run, undo, redo
):
    number = take_in(archive, session_id, a_run, now, summarise)
    undo()
    assert live(archive, session_id) == []
    redo()
    assert live(archive, session_id) == [number]


def test_a_run_is_left_out_and_brought_back(archive, session_id, now, summarise, a_run, say, undo, load):
    number = take_in(archive, session_id, a_run, now, summarise)
    say(Draft("readings", str(number), "out"))
    assert live(archive, session_id) == [] == list(load().runs)
    undo()
    assert live(archive, session_id) == [number]
    say(Draft("readings", str(number), None))
    assert live(archive, session_id) == [] == list(load().runs)


def test_file_runs_and_entries_are_kept_together_or_not_at_all(archive, session_id, now, summarise, a_run):
    with pytest.raises(ZeroDivisionError):
        take_in(archive, session_id, a_run, now, lambda session: 1 / 0)
    assert archive.rows("SELECT 1 FROM readings UNION SELECT 1 FROM document WHERE kind = 'source'") == []


def test_runs_belong_to_their_session(archive, session_id, sheet_digest, now, summarise, a_run):
    from evaluation.archive import sessions

    other = sessions.create(archive, sheet_digest=sheet_digest, now=now)
    number = take_in(archive, other, a_run, now, summarise)
    assert live(archive, session_id) == []
    assert live(archive, other) == [number]
    with pytest.raises(UsageProblem):
        runs.keep(archive, 99, [a_run], now)


def test_an_unknown_run_has_no_readings(archive):
    with pytest.raises(KeyError):
        runs.load(archive, 7)


def test_heads_say_what_a_list_shows_of_runs_without_their_readings(archive, session_id, now, a_run):
    of_a_file, by_hand = (
        runs.keep(archive, session_id, [a_run], now, source=("strip.txt", b"text")),
        runs.keep(archive, session_id, [replace(a_run, printed_as="unmanaged")], now),
    )
    first, second = runs.heads(archive, {*by_hand, *of_a_file, 77})
    assert (first.id, second.id) == (*of_a_file, *by_hand)
    assert first.source == documents.digest_of(b"text") and second.source is None
    assert first.count == len(a_run) and first.condition == a_run.stated.condition
    assert (first.printed_as, second.printed_as) == (a_run.printed_as, "unmanaged")
    assert runs.heads(archive, ()) == ()
