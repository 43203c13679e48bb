"""Facts that readers ask for, as a section: stated of a session or its printer, and of the paper."""

from evaluation.appendix.document import Block, Paragraph, Section
from evaluation.facts.paper import PaperFact
from evaluation.telling import facts as words
from evaluation.telling.table import typeset

OfSession = tuple[int, tuple[words.Fact, ...], tuple[PaperFact, ...]]


def facts_section(found: tuple[OfSession, ...]) -> Section | None:
    """The section "Facts for readers"; None where nothing is stated and no paper was read."""
    blocks: list[Block] = []
    for session, stated, paper in found:
        of = f", session {session}" if len(found) > 1 else ""
        for table in (
            words.table(stated, session) if stated else None,
            words.paper_table(paper) if paper else None,
        ):
            if table is not None:
                blocks.append(typeset(words.titled(table, of)))
    if not blocks:
        return None
    return Section("facts", "Facts for readers", (*blocks, Paragraph(words.TABLE_NOTE, "note")))
