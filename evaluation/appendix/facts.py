"""Facts that readers ask for, as a section: stated of a session or its printer, and of the paper."""

from evaluation.appendix.document import Paragraph, Section
from evaluation.facts.paper_fact import PaperFact
from evaluation.telling import facts as words
from evaluation.telling.table import typeset

OfSession = tuple[int, tuple[words.Fact, ...], tuple[PaperFact, ...]]


def facts_section(found: tuple[OfSession, ...]) -> Section | None:
    """The section "Facts for readers"; None where nothing is stated and no paper was read."""
    if len(found) == 1:
        session, stated, paper = found[0]
        made = [words.table(stated, session)] if stated else []
        made += [words.paper_table(paper)] if paper else []
    else:
        made = list(words.tables_beside(found))
    if not made:
        return None
    return Section("facts", "Facts for readers", (*map(typeset, made), Paragraph(words.TABLE_NOTE, "note")))
