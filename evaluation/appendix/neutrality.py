"""The neutrality record of a session: casts by thirds, turns, evenness, black, lights, drying, ring."""

import math
from collections.abc import Iterator

from evaluation.appendix.case import Case
from evaluation.appendix.document import Block, Facts, Figure, Paragraph, Points, Section, Table
from evaluation.colorimetry.flatness import Flatness
from evaluation.judgement.greys import Record
from evaluation.judgement.ring import COLOURLESS
from evaluation.telling.metrics import telling
from evaluation.telling.wording import NOTHING, counted, folded, measured, number, sentence

_CASTS = {"noise": "none beyond noise", "scattered": "none in common"}


def neutrality(case: Case, prefix: str, figures: tuple[Figure, ...] = ()) -> Section | None:
    """The section "Neutrality record"; None where no neutral scale was read or may be shown."""
    record = case.record
    if record is None or record.region not in case.shown:
        return None
    blocks: list[Block] = [
        *([Paragraph(sentence(case.record_words), "lead")] if case.record_words else []),
        Facts(tuple(_facts(case, record))),
        _thirds(record),
    ]
    blocks += [table for table in (_lights(record), _drying(record), _rings(case, record)) if table]
    blocks += [*figures, _steps(record)]
    limits = ["cast_by_third", "crossover", "evenness"]
    limits += ["light_shift_differential"] if record.lights else []
    limits += ["spectral_flatness"] if record.flatness else []
    limits += ["drying"] if record.drying else []
    told = [telling(metric) for metric in limits]
    items = tuple(f"{each.name[0].upper()}{each.name[1:]}: {each.not_told}" for each in told)
    blocks.append(Points("What these numbers do not tell", items))
    if case.record_caveats:
        blocks.append(Points("What goes with this record", tuple(map(sentence, case.record_caveats))))
    return Section(f"{prefix}-neutrality", "Neutrality record", tuple(blocks))


def black_shown(case: Case) -> bool:
    """Whether the black may be shown: its region has its grade, or it belongs to none."""
    patch = case.sheet.black_patch
    return patch is not None and case.sheet.patch(patch).region in (*case.shown, "")


def _facts(case: Case, record: Record) -> Iterator[tuple[str, str]]:
    yield "aim of the greys", f"{folded(case.record_against) or record.aim}, in absolute CIELAB"
    yield "measurement condition", record.condition or "not stated"
    turn = record.crossover
    if turn is None:
        yield "crossover", "none beyond noise"
    else:
        parts = f"{turn.light} above, {turn.dark} below" if not turn.only else "a cast in one part only"
        yield "crossover", f"{number(turn.turn, 1)} dCh near L* {number(turn.near_l, 0)}: {parts}"
    even = record.evenness
    if even is not None:
        falls = "" if even.monotone else "; some fall back"
        yield "evenness", f"{even.even} of {even.of} steps even against {folded(even.against)}{falls}"
    black = record.black
    if black is not None and black_shown(case):
        seen = " and ".join(number(value, 2) for value in black.effective)
        yield "black", f"L* {number(black.L, 1)}, D {measured(black.d_max, black.d_spread)}"
        yield "black seen at 0.5 and 1 % flare (unconfirmed)", f"D {seen}"
        if black.darkest:
            yield "darker than the black", folded(black.darkest)
        if black.note:
            yield "to the black", sentence(black.note)
    for where, flat in record.flatness.items():
        if where == "black" and not black_shown(case):
            continue
        yield f"spectral flatness, {where}", _flat(flat)
    if record.colourless:
        yield "ring-around", COLOURLESS


def _flat(flat: Flatness) -> str:
    if not math.isfinite(flat.floor):
        return f"not told: {counted(flat.readings, 'reading')}, three are needed"
    value = "not told from noise at this density" if flat.clear_value is None else number(flat.clear_value, 3)
    return f"{value} (noise {number(flat.floor, 3)})"


def _thirds(record: Record) -> Table:
    return Table(
        "Casts by thirds of the printed range",
        (
            "third",
            "cast",
            "da*",
            "db*",
            "mean dCh",
            "95 %",
            "dE00 at equal L*",
            "furthest",
            "steps",
        ),
        tuple(
            (
                third.name,
                _CASTS.get(third.told, third.cast),
                number(third.da, 1),
                number(third.db, 1),
                number(third.dch_mean, 1),
                number(third.dch_p95, 1),
                number(third.de00, 1),
                folded(third.where),
                str(third.steps),
            )
            for third in record.thirds.values()
        ),
        numeric=(2, 3, 4, 5, 6, 8),
    )


def _lights(record: Record) -> Table | None:
    if not record.lights:
        return None
    return Table(
        "Shift along the scale under other lights, dCh; the paper's own, eye adapted to the perfect white",
        ("light", "largest", "mean", "paper dL*", "da*", "db*", "from", "counts"),
        tuple(
            (
                folded(row.light),
                number(row.largest, 1),
                number(row.mean, 1),
                *(number(value, 1) for value in row.paper),
                row.condition or "not stated",
                "stress, apart" if row.stress else "worst" if row.light == record.worst_light else "yes",
            )
            for row in record.lights.values()
        ),
        numeric=(1, 2, 3, 4, 5),
    )


def _drying(record: Record) -> Table | None:
    drying = record.drying
    if drying is None:
        return None
    settled = (
        f"settled from {number(drying.settled, 0)} h on"
        if drying.settled is not None
        else f"not settled: still moving by {number(drying.a_day, 1)} dE*ab a day"
    )
    return Table(
        f"Drying, change since the age before: {settled}",
        ("hours", "inks, dE*ab", "lighter, dL*", "stronger, dC*", "paper, dE*ab"),
        tuple(
            (
                number(age.hours, 1),
                number(age.moved, 1),
                number(age.lighter, 1),
                number(age.stronger, 1),
                NOTHING if age.paper is None else number(age.paper, 1),
            )
            for age in drying.ages
        ),
        numeric=(0, 1, 2, 3, 4),
    )


def _rings(case: Case, record: Record) -> Table | None:
    shown = any(region.kind == "ring" and region.id in case.shown for region in case.sheet.regions)
    if not record.rings or not shown:
        return None
    return Table(
        "Ring-around, a* and b* off the aim: the eye's neutral (adaptation, light), the centre (the print)",
        ("group", "eye's neutral", "printed centre", "from", "light"),
        tuple(
            (
                folded(ring.group),
                _ab(ring.eye),
                _ab(ring.centre),
                "readings" if ring.measured else "nominal values",
                folded(ring.light) or "viewing light",
            )
            for ring in record.rings
        ),
    )


def _ab(value: tuple[float, float] | None) -> str:
    return NOTHING if value is None else f"{number(value[0], 1)}, {number(value[1], 1)}"


def _steps(record: Record) -> Table:
    return Table(
        "Step by step, absolute CIELAB",
        ("step", "L*", "a*", "b*", "density", "dCh", "dE00 at equal L*", "counts"),
        tuple(
            (
                folded(step.name),
                number(step.L, 1),
                number(step.a, 1),
                number(step.b, 1),
                number(step.density, 2),
                number(step.dch, 1),
                number(step.de00, 1),
                "no" if step.hollow else "yes",
            )
            for step in record.steps
        ),
        numeric=(1, 2, 3, 4, 5, 6),
    )
