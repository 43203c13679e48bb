"""A neutrality record as tables of text: for the command line, the page behind Enter, and a copied text."""

from typing import Final

import numpy as np

from evaluation.colorimetry.adaptation import TRANSFORMS
from evaluation.judgement.greys import NeutralityRecord, UnderLight
from evaluation.plain_text import listed
from evaluation.telling.findings import COLOURLESS
from evaluation.telling.neutrality.prints import Greys
from evaluation.telling.neutrality.values import cast, crossover, evenness, flatness, read_how
from evaluation.telling.numbers import DENSITY_DIGITS, LAB_DIGITS, measured, plain, signed
from evaluation.telling.table import Table
from evaluation.telling.wording import age_words

THIRDS: Final = ("light", "middle", "dark")


def title(greys: Greys) -> str:
    """One print in a line: paper, session, mode, aim, condition, age."""
    condition = greys.session.condition
    parts = [condition.paper or "no paper named", f"session {greys.id}"]
    if condition.driver_mode:
        parts.append(condition.driver_mode)
    parts.append(f"against {greys.against}")
    return f"Neutrality, {', '.join(parts)}; {read_how(greys)}"


def of_print(greys: Greys) -> tuple[Table, ...]:
    """Everything of one print as tables, the steps first; () without a record."""
    record = greys.record
    if record is None:
        return ()
    made = (steps(record), thirds(record), facts(greys), lights(record), conditions(record))
    more = (under_light(record), drying(record), ring(record))
    return tuple(table for table in (*made, *more) if table.rows)


def steps(record: NeutralityRecord) -> Table:
    """L*, a*, b*, density of every step, its aim and how far it lies from it."""
    return Table(
        "Steps, black to paper",
        ("step", "L*", "a*", "b*", "D", "aim a*", "aim b*", "dCh", "dE00", "note"),
        tuple(
            (
                step.name,
                f"{step.L:.1f}",
                signed(step.a, 2),
                signed(step.b, 2),
                plain(step.density, 2),
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


def thirds(record: NeutralityRecord) -> Table:
    """The cast of each third in words and numbers."""
    return Table(
        "Cast by thirds",
        ("third", "cast", "a*", "b*", "dE00", "dCh mean", "dCh 95 %", "steps", "furthest"),
        tuple(
            (
                name,
                cast(third),
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


def facts(greys: Greys, *, black_shown: bool = True) -> Table:
    """Crossover, tone, black, flatness, each in a line; the black only where its own region may be shown."""
    record = greys.record
    assert record is not None
    rows = [("crossover", crossover(record)), ("tone", evenness(record))]
    if record.black is not None and black_shown:
        black = record.black
        low, high = black.effective
        depth = f"D-max {measured(black.d_max, black.d_spread)}, range {plain(black.d_range, DENSITY_DIGITS)}"
        seen = f"D {plain(low, DENSITY_DIGITS)} with 0.5 % of flare, {plain(high, DENSITY_DIGITS)} with 1 %"
        rows += [
            ("black", f"L* {plain(black.L, LAB_DIGITS)}, {depth}, {_how(record)}"),
            ("black as seen", f"{seen} (unconfirmed)"),
        ]
        if black.darkest:
            rows.append(("darkest", f"not the black: {black.darkest}"))
    for name, flat in record.flatness.items():
        if name == "middle" or black_shown:
            where = "step near L* 50" if name == "middle" else "black"
            rows.append(("flatness", f"{where}, {flatness(flat)}"))
    if record.colourless:
        rows.append(("ring-around", COLOURLESS))
    return Table("On the whole", ("", ""), tuple(rows))


def lights(record: NeutralityRecord) -> Table:
    """The shift along the scale under each light, the judged ones first; the paper's own beside."""
    order = sorted(record.lights.values(), key=lambda row: row.stress)
    return Table(
        "Shift along the scale from D50, dCh",
        ("light", "largest", "mean", "spectra", "paper L*", "paper a*", "paper b*", "note"),
        tuple(
            (
                row.light,
                measured(row.largest, row.spread.both),
                f"{row.mean:.1f}",
                row.condition or "not stated",
                *(signed(value, 1) for value in row.paper),
                _light_note(record, row),
            )
            for row in order
        ),
        (1, 2, 4, 5, 6),
        "Between the shifts of any two steps, the eye adapted to the paper by "
        f"{next(iter(TRANSFORMS))}; ± by reading again and by what {listed(list(TRANSFORMS))} differ by. "
        "The paper's own change: the eye "
        "adapted to the perfect white.",
    )


def conditions(record: NeutralityRecord) -> Table:
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


def under_light(record: NeutralityRecord) -> Table:
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


def drying(record: NeutralityRecord) -> Table:
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
                plain(age.moved, 1),
                signed(age.lighter, 1),
                signed(age.stronger, 1),
                "-" if age.paper is None else plain(age.paper, 1),
            )
            for age in found.ages
        ),
        (1, 2, 3, 4),
        f"Settled from {age_words(found.settled)} on." if found.settled is not None else still,
    )


def ring(record: NeutralityRecord) -> Table:
    """The eye's neutral against the instrument's, each off the aim."""
    return Table(
        "Ring-around, off the aim",
        ("group", "eye a*", "eye b*", "print a*", "print b*", "apart", "note"),
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
        "Eye: what was taken for grey; adaptation or light. Print: the neutral patch.",
    )


def _light_note(record: NeutralityRecord, row: UnderLight) -> str:
    if row.light == record.worst_light:
        return "worst"
    return "stress" if row.stress else ""


def _pair(values: tuple[float, float] | None) -> tuple[str, str]:
    return ("-", "-") if values is None else (signed(values[0], 1), signed(values[1], 1))


def _apart(one: tuple[float, float], other: tuple[float, float]) -> float:
    return float(np.hypot(one[0] - other[0], one[1] - other[1]))


def _how(record: NeutralityRecord) -> str:
    basis = record.black.basis if record.black is not None else "Y"
    density = "ISO 5-3" if basis == "spectra" else "from Y"
    return f"{density}, {record.condition or 'condition not stated'}"
