"""A neutrality record as tables of text: for the command line, the page behind Enter, and a copied text."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from evaluation.judgement.greys import Record, UnderLight
from evaluation.judgement.modes import BLACK, LIGHTS
from evaluation.metrics.black import Flatness
from evaluation.work.neutrality import Greys, Neutrality

THIRDS: Final = ("light", "middle", "dark")
_ROWS: Final[Mapping[str, tuple[str, str]]] = {
    **{name: (f"{name} third", "dE00") for name in THIRDS},
    LIGHTS: ("shift along the scale", "dCh"),
    BLACK: ("D-max", ""),
}


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under heads; columns whose index is in `right` are set flush right."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[int, ...] = ()
    note: str = ""


def title(greys: Greys) -> str:
    """One print in a line: paper, session, mode, aim, condition, age."""
    condition = greys.session.condition
    parts = [condition.paper or "no paper named", f"session {greys.id}"]
    if condition.driver_mode:
        parts.append(condition.driver_mode)
    parts.append(f"against {greys.against}")
    return f"Neutrality, {', '.join(parts)}; {read_how(greys)}"


def read_how(greys: Greys) -> str:
    """Under which condition and how long after printing: "M1, 24 h after printing"."""
    condition = greys.record.condition if greys.record is not None else None
    said = condition or "condition not stated"
    return said if greys.hours is None else f"{said}, {age_words(greys.hours)} after printing"


def of_print(greys: Greys) -> tuple[Table, ...]:
    """Everything of one print as tables, the steps first; () without a record."""
    record = greys.record
    if record is None:
        return ()
    made = (steps(record), thirds(record), facts(greys), lights(record), conditions(record))
    more = (under_light(record), drying(record), ring(record))
    return tuple(table for table in (*made, *more) if table.rows)


def steps(record: Record) -> Table:
    """L*, a*, b*, density of every step, its aim and how far it lies from it."""
    return Table(
        "Steps, black to paper",
        ("step", "L*", "a*", "b*", "D", "aim a*", "aim b*", "dCh", "dE00", ""),
        tuple(
            (
                step.name,
                f"{step.L:.1f}",
                signed(step.a, 2),
                signed(step.b, 2),
                number(step.density, 2),
                signed(step.aim_a, 2),
                signed(step.aim_b, 2),
                f"{step.dch:.1f}",
                f"{step.de00:.1f}",
                "left out" if step.hollow else "",
            )
            for step in record.steps
        ),
        tuple(range(1, 9)),
        "Left out of the cast: paper, black, and steps too dark or too noisy for a hue. dE00 at equal L*.",
    )


def thirds(record: Record) -> Table:
    """The cast of each third in words and numbers."""
    return Table(
        "Cast by thirds",
        ("third", "cast", "a*", "b*", "dE00", "dCh mean", "dCh 95 %", "steps", "furthest"),
        tuple(
            (
                name,
                third.cast,
                signed(third.da, 1),
                signed(third.db, 1),
                f"{third.de00:.1f}",
                f"{third.dch_mean:.1f}",
                f"{third.dch_p95:.1f}",
                str(third.steps),
                third.where,
            )
            for name in THIRDS
            if (third := record.thirds.get(name)) is not None
        ),
        tuple(range(2, 8)),
    )


def facts(greys: Greys) -> Table:
    """Crossover, tone, black, flatness, each in a line."""
    record = greys.record
    assert record is not None
    rows = [("crossover", crossover(record)), ("tone", evenness(record))]
    if record.black is not None:
        black = record.black
        low, high = black.effective
        rows += [
            (
                "black",
                f"L* {black.L:.1f}, D-max {black.d_max:.2f}, range {black.d_range:.2f}, {_how(record)}",
            ),
            ("black as seen", f"D {low:.2f} with 0.5 % of flare, {high:.2f} with 1 %"),
        ]
        if black.darkest:
            rows.append(("darkest", f"not the black: {black.darkest}"))
    for name, flat in record.flatness.items():
        where = "step near L* 50" if name == "middle" else "black"
        rows.append(("flatness", f"{where}, {flatness(flat)}"))
    return Table("On the whole", ("", ""), tuple(rows))


def lights(record: Record) -> Table:
    """The shift along the scale under each light, the judged ones first; the paper's own beside."""
    order = sorted(record.lights.values(), key=lambda row: row.stress)
    return Table(
        "Shift along the scale from D50, dCh",
        ("light", "largest", "mean", "spectra", "paper L*", "paper a*", "paper b*", ""),
        tuple(
            (
                row.light,
                f"{row.largest:.1f}",
                f"{row.mean:.1f}",
                row.condition or "not stated",
                *(signed(value, 1) for value in row.paper),
                _light_note(record, row),
            )
            for row in order
        ),
        (1, 2, 4, 5, 6),
        "Between the shifts of any two steps, the eye adapted to the paper. The paper's own change: the eye "
        "adapted to the perfect white.",
    )


def conditions(record: Record) -> Table:
    """a*, b* of every step under each measurement condition that was read."""
    names = sorted(record.conditions)
    if len(names) < 2:
        return Table("", (), ())
    return Table(
        "Measurement conditions along the scale",
        ("step", *(f"{name} {axis}" for name in names for axis in ("a*", "b*"))),
        tuple(
            (
                step.name,
                *(signed(record.conditions[name][k][axis], 2) for name in names for axis in (1, 2)),
            )
            for k, step in enumerate(record.steps)
        ),
        tuple(range(1, 1 + 2 * len(names))),
    )


def under_light(record: Record) -> Table:
    """a*, b* of every step's shift from D50 to each judged light."""
    names = [name for name, row in record.lights.items() if not row.stress]
    if not names:
        return Table("", (), ())
    return Table(
        "Shift of each step from D50",
        ("step", *(f"{name} {axis}" for name in names for axis in ("a*", "b*"))),
        tuple(
            (
                step.name,
                *(signed(float(record.scale.shifts[name][k, axis]), 1) for name in names for axis in (0, 1)),
            )
            for k, step in enumerate(record.steps)
        ),
        tuple(range(1, 1 + 2 * len(names))),
    )


def drying(record: Record) -> Table:
    """How the print moved between readings of different age."""
    found = record.drying
    if found is None:
        return Table("", (), ())
    still = f"Still moving by {found.a_day:.1f} dE*ab a day when it was read last."
    return Table(
        "Drying, each age against the one before",
        ("age", "moved dE*ab", "L*", "C*", "paper dE*ab"),
        tuple(
            (
                age_words(age.hours),
                number(age.moved, 1),
                signed(age.lighter, 1),
                signed(age.stronger, 1),
                "-" if age.paper is None else number(age.paper, 1),
            )
            for age in found.ages
        ),
        (1, 2, 3, 4),
        f"Settled from {age_words(found.settled)} on." if found.settled is not None else still,
    )


def ring(record: Record) -> Table:
    """The eye's neutral against the instrument's, each off the aim."""
    return Table(
        "Ring-around, off the aim",
        ("group", "eye a*", "eye b*", "print a*", "print b*", "apart", ""),
        tuple(
            (
                one.group,
                *_pair(one.eye),
                *_pair(one.centre),
                "-" if one.eye is None or one.centre is None else f"{_apart(one.eye, one.centre):.1f}",
                one.light or ("" if one.measured else "by nominal values"),
            )
            for one in record.rings
        ),
        (1, 2, 3, 4, 5),
        "Eye: what was taken for grey; adaptation or light. Print: the patch meant as grey.",
    )


def side_by_side(found: Neutrality) -> Table:
    """Prints as columns: casts by thirds, turn, lights, black; the word against the first of them."""
    prints = _ordered(found)
    rows = [
        ("mode", *(one.name or "-" for one in prints)),
        *(
            (
                f"{name} third",
                *(_third(one, name) + _word(found, one, name) for one in prints),
            )
            for name in THIRDS
        ),
        ("crossover", *(crossover(one.record) if one.record else "-" for one in prints)),
        ("shift along the scale", *(_worst(one) + _word(found, one, LIGHTS) for one in prints)),
        ("D-max", *(_dmax(one) + _word(found, one, BLACK) for one in prints)),
        ("tone", *(evenness(one.record) if one.record else "-" for one in prints)),
    ]
    return Table("Side by side", ("", *(f"session {one.id}" for one in prints)), tuple(rows))


def crossover(record: Record) -> str:
    turn = record.crossover
    if turn is None:
        return "none"
    if turn.only:
        return f"{turn.dark}, darks alone" if turn.light == "none" else f"{turn.light}, lights alone"
    return f"near L* {turn.near_l:.0f}, turn {turn.turn:.1f}"


def evenness(record: Record) -> str:
    tone = record.evenness
    if tone is None:
        return "-"
    falls = "" if tone.monotone else ", one falls back"
    return f"{tone.even} of {tone.of} steps even{falls}"


def flatness(flat: Flatness) -> str:
    """Never graded; too few readings, or noise, say so."""
    if flat.value is not None:
        return f"{flat.value:.2f}, noise {flat.noise:.2f}"
    if flat.readings < 3:
        count = "one reading" if flat.readings == 1 else f"{flat.readings} readings"
        return f"not told: {count}"
    return f"hidden by noise, {flat.noise:.2f}"


def age_words(hours: float) -> str:
    """
    >>> age_words(0.42), age_words(24.4), age_words(80)
    ('25 min', '24 h', '3 days')
    """
    if hours < 1:
        return f"{hours * 60:.0f} min"
    return f"{hours:.0f} h" if hours < 48 else f"{hours / 24:.0f} days"


def signed(value: float, digits: int) -> str:
    """With its sign; nothing is read as 0.0, never as -0.0."""
    if not np.isfinite(value):
        return "-"
    return f"{round(value, digits) + 0.0:+.{digits}f}"


def number(value: float, digits: int) -> str:
    return f"{value:.{digits}f}" if np.isfinite(value) else "-"


def _ordered(found: Neutrality) -> Sequence[Greys]:
    first = found.beside[0].a if found.beside else None
    return sorted(found.known, key=lambda one: one.id != first)


def _word(found: Neutrality, one: Greys, what: str) -> str:
    pair = next((pair for pair in found.beside if pair.b == one.id), None)
    if pair is None:
        return ""
    row = pair.row(what)
    return ", not comparable" if pair.reason else f", {row.word}" if row is not None else ""


def _third(one: Greys, name: str) -> str:
    third = one.record.thirds.get(name) if one.record is not None else None
    return "-" if third is None else f"{third.cast} {third.de00:.1f} dE00"


def _worst(one: Greys) -> str:
    record = one.record
    if record is None or record.worst_light is None:
        return "-"
    return f"{record.lights[record.worst_light].largest:.1f} dCh under {record.worst_light}"


def _dmax(one: Greys) -> str:
    return "-" if one.record is None or one.record.black is None else f"{one.record.black.d_max:.2f}"


def _light_note(record: Record, row: UnderLight) -> str:
    if row.light == record.worst_light:
        return "worst"
    return "stress" if row.stress else ""


def _pair(values: tuple[float, float] | None) -> tuple[str, str]:
    return ("-", "-") if values is None else (signed(values[0], 1), signed(values[1], 1))


def _apart(one: tuple[float, float], other: tuple[float, float]) -> float:
    return float(np.hypot(one[0] - other[0], one[1] - other[1]))


def _how(record: Record) -> str:
    basis = record.black.basis if record.black is not None else "Y"
    density = "ISO 5-3" if basis == "spectra" else "from Y"
    return f"{density}, {record.condition or 'condition not stated'}"
