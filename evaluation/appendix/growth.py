"""Settings stepped through, as a section: sentences to quote, slices, tables, what limits them."""

from collections.abc import Iterator

from evaluation.appendix.document import Block, Paragraph, Section
from evaluation.judgement.settings_in_order import Series
from evaluation.telling import growth as words
from evaluation.telling.table import typeset
from evaluation.telling.wording import sentence


def stepped_through(series: Series) -> Section:
    """The section "Settings stepped through": what matters first, the last setting over the first drawn."""
    return Section("settings-stepped", "Settings stepped through", tuple(_blocks(series)))


def _blocks(series: Series) -> Iterator[Block]:
    for step in series.steps:
        yield Paragraph(" ".join(words.step_words(series, step)), "lead")
    last = series.step(0, len(series.settings) - 1)
    yield words.slices(series, last)
    for step in series.steps:
        yield typeset(words.growth_table(series, step))
    yield typeset(words.held_table(series))
    yield from (Paragraph(sentence(each), "caution") for each in words.basis(series))
    yield Paragraph(words.TELLS_NOT, "note")
    yield Paragraph(words.volumes(series), "note")
