"""The neutrality record of a session, as every face tells it, set for a page."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from evaluation.appendix.case import Case
from evaluation.appendix.document import Block, Facts, Paragraph, Points, Section
from evaluation.judgement.greys import NeutralityRecord
from evaluation.plain_text import capital
from evaluation.telling.metrics import telling
from evaluation.telling.neutrality import tables
from evaluation.telling.neutrality.prints import Greys
from evaluation.telling.table import Table, typeset
from evaluation.telling.wording import folded, sentence

_LIMITS = ("cast_by_third", "crossover", "evenness")


def neutrality(case: Case, prefix: str, *, in_full: bool = True) -> Section | None:
    """The section "Neutrality record"; None where no neutral scale was read or may be shown.

    `in_full` with a row for every step.
    """
    greys = case.greys
    if greys is None or greys.record is None or greys.record.region not in case.shown:
        return None
    record = greys.record
    blocks: list[Block] = []
    if greys.sentence:
        blocks.append(Paragraph(sentence(greys.sentence), "lead"))
    blocks.append(Facts(tuple(_facts(case, greys))))
    more = [tables.thirds(record), tables.lights(record), tables.drying(record)]
    if any(region.kind == "ring" and region.id in case.shown for region in case.sheet.regions):
        more.append(tables.ring(record))
    for table in more:
        blocks += placed(table)
    blocks += placed(tables.steps(record)) if in_full else ()
    blocks += [Paragraph(sentence(each), "caution") for each in greys.caveats]
    blocks.append(Points("What these numbers do not tell", limits_of([record])))
    return Section(f"{prefix}-neutrality", "Neutrality record", tuple(blocks))


def limits_of(records: Sequence[NeutralityRecord]) -> tuple[str, ...]:
    """What the numbers of these records do not tell, each once."""
    limits = [*_LIMITS]
    limits += ["light_shift_differential"] if any(record.lights for record in records) else []
    flat = [one.clear_value for record in records for one in record.flatness.values()]
    limits += ["spectral_flatness"] if any(value is not None for value in flat) else []
    limits += ["drying"] if any(record.drying for record in records) else []
    return tuple(f"{capital(each.name)}: {each.not_told}" for each in map(telling, limits))


def black_shown(case: Case) -> bool:
    """Whether the black may be shown: its region has its grade, or it belongs to none."""
    patch = case.sheet.black_patch
    return patch is not None and case.sheet.patch(patch).region in (*case.shown, "")


def _facts(case: Case, greys: Greys) -> Iterator[tuple[str, str]]:
    record = greys.record
    assert record is not None  # or there would be no section
    yield "aim of the greys", f"{folded(greys.against) or record.aim}, in absolute CIELAB"
    yield "measurement condition", record.condition or "not stated"
    yield from typeset(tables.facts(greys, black_shown=black_shown(case))).rows  # type: ignore[misc]


def placed(table: Table) -> Iterator[Block]:
    """A table set for the page, its note under it; nothing without rows."""
    if table.rows:
        yield replace(typeset(table), note="")
    if table.rows and table.note:
        yield Paragraph(table.note, "note")
