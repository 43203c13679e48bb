"""Neutrality records of several prints on a page: a column a print, and what lies between two of them."""

from collections.abc import Callable, Sequence
from typing import Final

from evaluation.judgement.greys import GreyStep, NeutralityRecord
from evaluation.judgement.greys_compared import BLACK, LIGHTS
from evaluation.telling.neutrality.prints import Greys, Neutrality
from evaluation.telling.neutrality.tables import THIRDS, steps
from evaluation.telling.neutrality.values import cast, crossover, evenness, flatness, read_how
from evaluation.telling.numbers import DENSITY_DIGITS, LAB_DIGITS, measured, plain, signed
from evaluation.telling.table import Table

Rows = tuple[tuple[str, ...], ...]
Cell = Callable[[Greys, NeutralityRecord], str]
_TOGETHER: Final = 2  # prints whose steps stand in one table
_FLAT: Final = {"middle": "flatness near L* 50", "black": "flatness of the black"}


def beside(found: Neutrality, black_shown: frozenset[int]) -> Table:
    """One row a fact: greys, turn, lights, black, tone. Blacks only of the sessions in `black_shown`."""
    prints = found.known

    def dark(cell: Cell) -> Cell:
        return lambda one, record: cell(one, record) if one.id in black_shown else "-"

    made: list[tuple[str, str, Cell]] = [
        ("held against", "", lambda one, _: one.against),
        ("read", "", lambda one, _: read_how(one)),
        *((f"{name} third", name, _third(name)) for name in THIRDS),
        ("turn", "", lambda _, record: crossover(record)),
        ("shift under the worst light", LIGHTS, lambda _, record: _worst(record)),
        ("black", BLACK, dark(lambda _, record: _black(record))),
        ("black as seen", "", dark(lambda _, record: _seen(record))),
        ("tone", "", lambda _, record: evenness(record)),
        (_FLAT["middle"], "", _flat("middle")),
        (_FLAT["black"], "", dark(_flat("black"))),
    ]
    two = len(prints) == _TOGETHER
    rows = []
    for head, what, cell in made:
        cells = [cell(one, one.record) if one.record is not None else "-" for one in prints]
        if set(cells) != {"-"}:
            rows.append((head, *cells, *([_between(found, what)] if two else [])))
    heads = ("fact", *(f"session {one.id}" for one in prints), *(["between them"] if two else []))
    return Table("Beside each other", heads, tuple(rows))


def _between(found: Neutrality, what: str) -> str:
    pair = next(iter(found.beside), None)
    row = pair.row(what) if pair is not None and not pair.reason else None
    if row is None:
        return "not comparable" if what and pair is not None and pair.reason else ""
    return f"{row.word}, {row.difference:.1f} dCh" if what in THIRDS else row.word


def _third(name: str) -> Cell:
    def cell(_: Greys, record: NeutralityRecord) -> str:
        third = record.thirds.get(name)
        if third is None:
            return "-"
        return f"{cast(third)}, {third.de00:.1f} dE00 (a* {signed(third.da, 1)}, b* {signed(third.db, 1)})"

    return cell


def _worst(record: NeutralityRecord) -> str:
    worst = record.lights.get(record.worst_light or "")
    return "-" if worst is None else f"{measured(worst.largest, worst.spread.both)} dCh under {worst.light}"


def _black(record: NeutralityRecord) -> str:
    black = record.black
    if black is None:
        return "-"
    depth = f"D {measured(black.d_max, black.d_spread)}, {plain(black.d_range, DENSITY_DIGITS)} above paper"
    darkest = f"; not the darkest, that is {black.darkest}" if black.darkest else ""
    return f"{depth}, L* {plain(black.L, LAB_DIGITS)}{darkest}"


def _seen(record: NeutralityRecord) -> str:
    if record.black is None:
        return "-"
    low, high = (plain(each, DENSITY_DIGITS) for each in record.black.effective)
    return f"D {high} to {low} in a lit room¹"


def _flat(where: str) -> Cell:
    def cell(_: Greys, record: NeutralityRecord) -> str:
        found = record.flatness.get(where)
        return "-" if found is None else flatness(found)

    return cell


def lights(found: Neutrality) -> Table:
    """The largest shift along the scale under each light, a column a print."""
    prints = found.known
    rows = []
    for name, stress in _named(prints):
        rows.append((f"{name}, for stress" if stress else name, *(_shift(one, name) for one in prints)))
    return Table(
        "Shift along the scale from D50, dCh: largest between two steps, and mean",
        ("light", *(f"session {one.id}" for one in prints)),
        tuple(rows),
    )


def _named(prints: Sequence[Greys]) -> list[tuple[str, bool]]:
    """Every light, those that are judged first."""
    rows = [row for one in prints if one.record for row in one.record.lights.values()]
    return sorted(dict.fromkeys((row.light, row.stress) for row in rows), key=lambda each: each[1])


def _shift(one: Greys, light: str) -> str:
    row = one.record.lights.get(light) if one.record is not None else None
    return "-" if row is None else f"{measured(row.largest, row.spread.both)}, mean {row.mean:.1f}"


def papers(found: Neutrality) -> Table:
    """The paper's own change under each light, and the spectra that were taken."""
    prints = found.known
    rows = [
        (name, str(one.id), row.condition or "not stated", *(signed(value, 1) for value in row.paper))
        for name, _ in _named(prints)
        for one in prints
        if one.record is not None and (row := one.record.lights.get(name)) is not None
    ]
    heads = ("light", "session", "spectra", "L*", "a*", "b*")
    return _turned(
        Table(
            "The paper under each light, the eye adapted to the perfect white", heads, tuple(rows), (3, 4, 5)
        )
    )


def thirds(found: Neutrality) -> Table:
    """What stands behind the casts of the thirds."""
    rows = [
        (name, str(one.id), f"{third.dch_mean:.1f}", f"{third.dch_p95:.1f}", str(third.steps), third.where)
        for name in THIRDS
        for one in found.known
        if one.record is not None and (third := one.record.thirds.get(name)) is not None
    ]
    heads = ("third", "session", "dCh mean", "dCh 95 %", "steps", "furthest")
    return _turned(Table("Thirds, step by step", heads, tuple(rows), (2, 3, 4)))


def _turned(table: Table) -> Table:
    """Rows (name, session, cells) of two sessions become one row a name; those of more stay as they are."""
    sessions = list(dict.fromkeys(row[1] for row in table.rows))
    if len(sessions) != _TOGETHER:
        return table
    cells = {row[:2]: row[2:] for row in table.rows}
    width = len(table.heads) - 2
    none = ("-",) * width
    return Table(
        table.title,
        (table.heads[0], *(f"{one} {head}" for one in sessions for head in table.heads[2:])),
        tuple(
            (name, *(cell for one in sessions for cell in cells.get((name, one), none)))
            for name in dict.fromkeys(row[0] for row in table.rows)
        ),
        tuple(place - 1 + k * width for k in range(_TOGETHER) for place in table.right),
    )


def rings(found: Neutrality, shown: frozenset[int]) -> Table:
    """The eye's neutral against the instrument's, of the sessions in `shown`."""
    rows = [
        (
            str(one.id),
            ring.group,
            *(_pair(at) for at in (ring.eye, ring.centre)),
            ring.light or ("" if ring.measured else "by nominal values"),
        )
        for one in found.known
        if one.record is not None and one.id in shown
        for ring in one.record.rings
    ]
    return Table(
        "Ring-around, a* and b* off the aim",
        ("session", "group", "taken for grey", "neutral patch", "note"),
        tuple(rows),
        note="What was taken for grey tells of adaptation or light, the neutral patch of the print.",
    )


def _pair(at: tuple[float, float] | None) -> str:
    return "-" if at is None else f"{signed(at[0], 1)}, {signed(at[1], 1)}"


def every_step(found: Neutrality) -> tuple[Table, ...]:
    """The steps of two prints of one scale in one table, else a table each."""
    prints = found.known
    records = [one.record for one in prints if one.record is not None]
    scales = {tuple(step.patch for step in record.steps) for record in records}
    if len(records) != _TOGETHER or len(scales) > 1:
        made = ((record.session, steps(record)) for record in records)
        return tuple(
            Table(f"{table.title}, session {session}", table.heads, table.rows, table.right, table.note)
            for session, table in made
        )
    names = ("L*", "a*", "b*", "D", "aim a*", "aim b*", "dCh", "dE00")
    rows = tuple(
        (one.name, *(cell for step in (one, other) for cell in _step(step)))
        for one, other in zip(records[0].steps, records[1].steps, strict=True)
    )
    return (
        Table(
            "Every step, black to paper, by session",
            ("step", *(f"{record.session} {name}" for record in records for name in names)),
            rows,
            tuple(range(1, 1 + 2 * len(names))),
            "In brackets, left out of the cast: paper, black, and steps too dark or too noisy for a hue. "
            "dE00 at equal L*.",
        ),
    )


def _step(step: GreyStep) -> tuple[str, ...]:
    far = (f"{step.dch:.1f}", f"{step.de00:.1f}")
    return (
        f"{step.L:.1f}",
        signed(step.a, 2),
        signed(step.b, 2),
        plain(step.density, 2),
        signed(step.aim_a, 2),
        signed(step.aim_b, 2),
        *(f"({each})" if step.hollow else each for each in far),
    )
