"""Prints of a neutrality record side by side: one column a print, the word against the first of them."""

from collections.abc import Sequence

from evaluation.judgement.greys_compared import BLACK, LIGHTS
from evaluation.telling.neutrality.prints import Greys, Neutrality
from evaluation.telling.neutrality.sentences import difference_words
from evaluation.telling.neutrality.tables import THIRDS
from evaluation.telling.neutrality.values import cast, crossover, evenness
from evaluation.telling.numbers import measured
from evaluation.telling.table import Table


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


def in_words(found: Neutrality) -> tuple[str, ...]:
    """Row by row what is alike, measured or large, a sentence for each pair."""
    return tuple(difference_words(pair) for pair in found.beside)


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
    return "-" if third is None else f"{cast(third)} {third.de00:.1f} dE00"


def _worst(one: Greys) -> str:
    record = one.record
    if record is None or record.worst_light is None:
        return "-"
    worst = record.lights[record.worst_light]
    return f"{measured(worst.largest, worst.spread.both)} dCh under {record.worst_light}"


def _dmax(one: Greys) -> str:
    return "-" if one.record is None or one.record.black is None else f"{one.record.black.d_max:.2f}"
