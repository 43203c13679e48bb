"""Prints side by side: how it was done, under which letters, what was answered, what it cannot tell."""

from collections.abc import Iterator
from dataclasses import replace

from evaluation.appendix.case import Naming
from evaluation.appendix.document import Block, Paragraph, Points, Section
from evaluation.judgement.beside.result import Beside
from evaluation.plain_text import listed
from evaluation.telling import beside as words
from evaluation.telling import beside_tables as tables
from evaluation.telling import triangle
from evaluation.telling.jnd_ruler import jnd_ruler
from evaluation.telling.table import typeset
from evaluation.telling.wording import sentence


def side_by_side(found: tuple[Beside, ...], naming: Naming) -> tuple[Section, ...]:
    """A section for each set of prints that lay side by side; none before a round has ended."""
    told = [one for one in found if one.regions or one.triangles]
    return tuple(_section(one, naming, place, len(told) > 1) for place, one in enumerate(told, 1))


def _section(found: Beside, naming: Naming, place: int, named: bool) -> Section:
    id = f"side-by-side-{place}"
    blocks = list(_rounds(found, naming, id)) if found.regions else []
    if found.triangles:
        told = tuple(sentence(triangle.of_region(one)) for one in found.triangles)
        blocks.append(Points("Triangles: whether there is anything to see", (*told, triangle.ONLY)))
    title = "Side by side under letters" if found.regions else "Triangles of three sheets"
    which = f": sessions {listed([str(one) for one in found.prints])}" if named else ""
    return Section(id, f"{title}{which}", tuple(blocks))


def _rounds(found: Beside, naming: Naming, id: str) -> Iterator[Block]:
    yield Paragraph(sentence(tables.lead(found)), "lead")
    yield from (replace(jnd_ruler(one, id), size="L") for one in found.regions)
    yield typeset(tables.counts(found))
    if fits := [line for one in found.regions for line in words.fits(one.circles, one.consistence)]:
        yield Points("Whether the answers fit together", tuple(map(sentence, fits)))
    yield typeset(tables.letters(found, by_name=naming == "name"))
    yield Points("How it was done", tables.design(found))
    yield Paragraph(words.CANNOT, "caution")
