"""Prints side by side: how it was done, under which letters, what was answered, what it cannot tell."""

from dataclasses import replace

from evaluation.appendix.case import Naming
from evaluation.appendix.document import Block, Paragraph, Points, Section
from evaluation.judgement.beside.result import Beside
from evaluation.telling import beside as words
from evaluation.telling import beside_tables as tables
from evaluation.telling.jnd_ruler import jnd_ruler
from evaluation.telling.table import typeset
from evaluation.telling.wording import sentence


def side_by_side(found: tuple[Beside, ...], naming: Naming) -> tuple[Section, ...]:
    """A section for each set of prints that lay side by side; none before a round has ended."""
    return tuple(_section(one, naming, place) for place, one in enumerate(found, 1) if one.regions)


def _section(found: Beside, naming: Naming, place: int) -> Section:
    id = f"side-by-side-{place}"
    blocks: list[Block] = [Paragraph(sentence(tables.lead(found)), "lead")]
    blocks += [replace(jnd_ruler(one, id), size="L") for one in found.regions]
    blocks.append(typeset(tables.counts(found)))
    if fits := [line for one in found.regions for line in words.fits(one.circles, one.consistence)]:
        blocks.append(Points("Whether the answers fit together", tuple(map(sentence, fits))))
    blocks.append(typeset(tables.letters(found, by_name=naming == "name")))
    blocks.append(Points("How it was done", tables.design(found)))
    blocks.append(Paragraph(words.CANNOT, "caution"))
    return Section(id, "Side by side under letters", tuple(blocks))
