"""Prints side by side: how far apart they are, in the article; who answered what, and how, in the annexe."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from evaluation.appendix.case import Naming
from evaluation.appendix.document import Block, Paragraph, Points, Section
from evaluation.judgement.beside.result import RoundsResult
from evaluation.plain_text import listed
from evaluation.telling import side_by_side as words
from evaluation.telling import side_by_side_tables as tables
from evaluation.telling import triangle
from evaluation.telling.jnd_ruler import jnd_ruler
from evaluation.telling.table import Table, typeset
from evaluation.telling.wording import sentence


def side_by_side(found: tuple[RoundsResult, ...], *, counted: bool) -> tuple[Section, ...]:
    """A section for each set of prints that lay side by side; none before a round has ended.

    `counted`: with how often each print was named, which the rulers rest on.
    """
    told = [one for one in found if one.regions or one.triangles]
    rounds = [one for one in told if one.regions]
    sections = []
    for place, one in enumerate(told, 1):
        id = f"side-by-side-{place}"
        title = "Side by side under letters" if one.regions else "Triangles of three sheets"
        blocks = list(_rounds(one, id, counted=counted)) if one.regions else []
        if one in rounds[:1]:  # what holds for all of them is said once
            blocks.insert(1, Paragraph(tables.HOW_FAR, "note"))
        if one in rounds[-1:]:
            blocks.append(Paragraph(words.CANNOT, "caution"))
        if one.triangles:
            seen = tuple(sentence(triangle.of_region(each)) for each in one.triangles)
            blocks.append(Points("Triangles: whether there is anything to see", (*seen, triangle.ONLY)))
        sections.append(Section(id, title + _which(one, told), tuple(blocks)))
    return tuple(sections)


def rounds_in_full(found: tuple[RoundsResult, ...], naming: Naming) -> tuple[Section, ...]:
    """For the annexe: what was named of each pair, under which letters, how it was done."""
    told = [one for one in found if one.regions]
    return tuple(
        Section(
            f"rounds-{place}",
            f"Rounds under letters{_which(one, told)}",
            (
                _counts(one),
                typeset(tables.letters(one, by_name=naming == "name")),
                Points("How it was done", tables.design(one)),
            ),
        )
        for place, one in enumerate(told, 1)
    )


def _which(found: RoundsResult, among: Sequence[RoundsResult]) -> str:
    return f": sessions {listed([str(one) for one in found.prints])}" if len(among) > 1 else ""


def _rounds(found: RoundsResult, id: str, *, counted: bool) -> Iterator[Block]:
    yield Paragraph(sentence(tables.lead(found)), "lead")
    yield from (replace(jnd_ruler(one, id), size="L") for one in found.regions)
    if counted:
        yield _counts(found)
    if fits := [line for one in found.regions for line in words.fits(one.circles, one.consistence)]:
        yield Points("Whether the answers fit together", tuple(map(sentence, fits)))
    if early := words.open_early(found.opened):
        yield Paragraph(early, "caution")


def _counts(found: RoundsResult) -> Table:
    """How often each was named; what that says stands beside its ruler."""
    table = typeset(tables.counts(found))
    return replace(table, heads=table.heads[:-1], rows=tuple(row[:-1] for row in table.rows))
