"""The curves of a neutrality record: plain points and their numbers, ready to be drawn anywhere."""

from collections.abc import Callable
from string import ascii_letters
from typing import Final

from evaluation.judgement.greys import NeutralityRecord
from evaluation.metrics.cast import shifts_from_grey
from evaluation.plain_text import capital
from evaluation.telling.figure import Figure, at_zero, line
from evaluation.telling.neutrality.prints import Greys, Neutrality
from evaluation.telling.numbers import plain, signed
from evaluation.telling.table import Table

_LETTERS: Final = ascii_letters


def of_print(found: Neutrality, session_id: int) -> tuple[Figure, ...]:
    """The curves of one print, its greys first, with those of the others laid over; () without a record."""
    record = found.of(session_id).record
    if record is None:
        return ()
    made = (_casts(record), *laid_over(found), _under(record), _conditions(record), _tone(record))
    return tuple(curve for curve in made if curve is not None)


def laid_over(found: Neutrality) -> tuple[Figure, ...]:
    """b* and a* of all prints over each other; () for fewer than two with a record."""
    return tuple(_laid(found, axis) for axis in (1, 0)) if len(found.known) > 1 else ()


def as_table(curve: Figure) -> Table:
    """The numbers of a curve under its title."""
    title = curve.title if curve.title.startswith(("a*", "b*")) else capital(curve.title)
    return Table(title, curve.heads, curve.rows, tuple(range(len(curve.heads))))


def marks(found: Neutrality) -> dict[int, str]:
    """The character each print is drawn with: the last digit of its number, letters where two share one."""
    ids = [one.id for one in found.prints]
    last = [str(one)[-1] for one in ids]
    return dict(zip(ids, last if len(set(last)) == len(ids) else _LETTERS, strict=False))


def _casts(record: NeutralityRecord) -> Figure:
    L = [step.L for step in record.steps]
    a = [step.a - step.aim_a for step in record.steps]
    b = [step.b - step.aim_b for step in record.steps]
    rows = tuple(
        (f"{step.L:.0f}", signed(a[k], 1), signed(b[k], 1), f"{step.dch:.1f}")
        for k, step in enumerate(record.steps)
    )
    return Figure(
        "casts",
        f"a*, b* of {len(L)} steps off their aim",
        "L*",
        "",
        (at_zero(L), line("a*", L, a, "a"), line("b*", L, b, "b")),
        ("L*", "a*", "b*", "dCh"),
        rows,
    )


def _laid(found: Neutrality, axis: int) -> Figure:
    """a* or b* of all prints over each other, each from its own aim."""
    name = "ab"[axis] + "*"
    drawn = marks(found)
    lines = []
    for one in found.known:
        assert one.record is not None
        scale = one.record.scale
        lines.append(
            line(
                str(one.id) if drawn[one.id] == str(one.id) else f"{drawn[one.id]} session {one.id}",
                scale.absolute[:, 0],
                shifts_from_grey(scale)[:, axis],
                drawn[one.id],
            )
        )
    points = [x for each in lines for x in each.x]
    heads = ("step", *(str(one.id) for one in found.known))
    return Figure(
        f"{name} of all",
        f"{name} of each session off its aim",
        "L*",
        "",
        (at_zero(points), *lines),
        heads,
        _by_step(found.known, lambda record, k: signed(float(shifts_from_grey(record.scale)[k, axis]), 1)),
    )


def _by_step(
    prints: tuple[Greys, ...], value: Callable[[NeutralityRecord, int], str]
) -> tuple[tuple[str, ...], ...]:
    """A row a step of the first print's scale, a column a print; steps are the same by their patch."""
    records = [one.record for one in prints if one.record is not None]
    places = [{step.patch: k for k, step in enumerate(record.steps)} for record in records]
    return tuple(
        (
            f"{step.source_l:.0f}",
            *(
                value(record, place[step.patch]) if step.patch in place else "-"
                for record, place in zip(records, places, strict=True)
            ),
        )
        for step in records[0].steps
    )


def _under(record: NeutralityRecord) -> Figure | None:
    """How each step shifts from D50 to the worst of the judged lights."""
    light = record.worst_light
    if light is None:
        return None
    L = [step.L for step in record.steps]
    shift = record.scale.shifts[light]
    return Figure(
        "light",
        f"shift of each step from D50 to {light}",
        "L*",
        "",
        (
            at_zero(L, "none"),
            line("a*", L, shift[:, 0], "a"),
            line("b*", L, shift[:, 1], "b"),
        ),
        ("L*", "a*", "b*"),
        tuple(
            (f"{x:.0f}", signed(float(s[0]), 1), signed(float(s[1]), 1))
            for x, s in zip(L, shift, strict=True)
        ),
    )


def _conditions(record: NeutralityRecord) -> Figure | None:
    """b* along the scale under M0, M1, M2, M3: digits draw them."""
    names = sorted(record.conditions)
    if len(names) < 2:
        return None
    L = [step.L for step in record.steps]
    values = {name: [lab[2] for lab in record.conditions[name]] for name in names}
    return Figure(
        "conditions",
        f"b* along the scale under {', '.join(names)}, aim dotted",
        "L*",
        "",
        (
            line("aim", L, [step.aim_b for step in record.steps]),
            *(line(name, L, values[name], name[-1]) for name in names),
        ),
        ("L*", *names),
        tuple((f"{x:.0f}", *(signed(values[name][k], 1) for name in names)) for k, x in enumerate(L)),
    )


def _tone(record: NeutralityRecord) -> Figure | None:
    """L* read over L* of the source, absolute; the straight line from printed black to paper is dotted."""
    source = [step.source_l for step in record.steps]
    L = [step.L for step in record.steps]
    if len(L) < 2:
        return None
    return Figure(
        "tone",
        "L* over L* of the source, a straight line dotted",
        "source L*",
        "",
        (
            line("straight line", [source[0], source[-1]], [L[0], L[-1]]),
            line("read", source, L, "o"),
        ),
        ("source", "L*", "D"),
        tuple((f"{step.source_l:.0f}", f"{step.L:.1f}", plain(step.density, 2)) for step in record.steps),
    )
