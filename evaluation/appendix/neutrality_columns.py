"""The neutrality records of several prints: beside each other in the article, every step in the annexe."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from evaluation.appendix.case import Case
from evaluation.appendix.document import ANNEXE, Block, Paragraph, Points, Section
from evaluation.appendix.neutrality import black_shown, limits_of, placed
from evaluation.telling.article import set_units
from evaluation.telling.neutrality import several, tables
from evaluation.telling.neutrality.prints import Greys, Neutrality
from evaluation.telling.table import Table
from evaluation.telling.wording import folded, sentence

_FEWEST: Final = 2


def beside(cases: Sequence[Case], found: Neutrality) -> tuple[Section, Section] | None:
    """The section of the article and that of the annexe; None for fewer than two records."""
    known = _shown(cases, found)
    if len(known.known) < _FEWEST:
        return None
    by_id = {case.session.id: case for case in cases}
    blacks = frozenset(one for one, case in by_id.items() if black_shown(case))
    rings = frozenset(
        one
        for one, case in by_id.items()
        if any(region.kind == "ring" and region.id in case.shown for region in case.sheet.regions)
    )
    blocks: list[Block] = [*quoted(known), *_set(several.beside(known, blacks))]
    blocks += [*_set(several.lights(known)), *_set(several.rings(known, rings))]
    records = [one.record for one in known.known if one.record is not None]
    blocks.append(Points("What these numbers do not tell", limits_of(records)))
    article = Section("greys", "Neutrality side by side", tuple(blocks))
    full: list[Block] = [block for table in several.every_step(known) for block in _set(table)]
    full += [*_set(several.thirds(known)), *_set(several.papers(known))]
    for record in records:
        moved = tables.drying(record)
        full += _set(replace(moved, title=f"{moved.title}, session {record.session}"))
    return article, Section(ANNEXE, "Annexe: every step", tuple(full))


def quoted(found: Neutrality) -> Iterator[Block]:
    """How the neutrality of several compares, as a sentence for a review, and what goes with it."""
    yield Paragraph(set_units(folded(found.quote)), "lead")
    if found.caveats:
        yield Points("Caveats", tuple(set_units(sentence(each)) for each in found.caveats))
    yield from (
        Paragraph(sentence(one.why), "caution") for one in found.prints if one.record is None and one.why
    )


def _shown(cases: Sequence[Case], found: Neutrality) -> Neutrality:
    """Without records whose region may not be shown: the appendix holds the gate by itself."""
    open_regions = {case.session.id: case.shown for case in cases}

    def kept(one: Greys) -> bool:
        return one.record is not None and one.record.region in open_regions.get(one.id, frozenset())

    ids = {one.id for one in found.prints if kept(one)}
    prints = tuple(one if one.id in ids else replace(one, record=None) for one in found.prints)
    pairs = tuple(pair for pair in found.beside if {pair.a, pair.b} <= ids)
    return replace(found, prints=prints, beside=pairs)


def _set(table: Table) -> Iterator[Block]:
    rows = tuple(tuple(set_units(cell) for cell in row) for row in table.rows)
    heads = tuple(map(set_units, table.heads))
    named = replace(table, title=set_units(table.title), heads=heads, rows=rows, note=set_units(table.note))
    return placed(named)
