"""The one content tree of an appendix, built by pure functions; every form of it renders the same tree."""

from evaluation.appendix.case import Case, Edition
from evaluation.appendix.comparison import Comparison, compared
from evaluation.appendix.document import Document, Paragraph, Section, harmless, walked
from evaluation.appendix.judged import judged
from evaluation.appendix.measured import how_measured
from evaluation.appendix.neutrality import neutrality
from evaluation.appendix.origins import settings, sources, versions
from evaluation.appendix.printed import condition_words, printed
from evaluation.appendix.regions import figures_of, overview, regions
from evaluation.appendix.summary import causes, conclusions, session_title, summary
from evaluation.telling.wording import folded, sentence


def build(
    cases: tuple[Case, ...],
    edition: Edition,
    comparison: Comparison | None = None,
    greys: tuple[str, tuple[str, ...]] = ("", ()),
) -> Document:
    """The appendix of one session or several, in the order given. Raises ValueError without any.

    `greys`: how the neutrality of several compares, as a sentence for a review, and what goes with it.
    """
    if not cases:
        raise ValueError("an appendix speaks of at least one session")
    parts = edition.choices.parts
    sections = [summary(cases, edition)]
    if comparison is not None and parts != "neutrality":
        sections.append(compared(comparison))
    if len(cases) > 1 and parts != "summary" and greys[0]:
        told = (
            Paragraph(folded(greys[0]), "lead"),
            *(Paragraph(sentence(each), "caution") for each in greys[1]),
        )
        sections.append(Section("greys", "Neutrality side by side", told))
    for case in cases:
        sections += _of_session(case, edition, alone=len(cases) == 1)
    sections.append(settings(edition))
    if parts != "summary":
        sections.append(sources(cases, edition))
    sections.append(versions(cases, edition))
    document = Document(
        title=_title(cases),
        subtitle=_subtitle(cases),
        written=edition.written,
        version=edition.version,
        sections=tuple(sections),
        findings=tuple(case.findings for case in cases),
        house=edition.style.house,
        paper=edition.style.paper,
    )
    return harmless(document)  # type: ignore[no-any-return]


def beginning_words(document: Document) -> str:
    """How the document will begin, as plain text: what Write up shows before anything is written."""
    lines = []
    for section in walked(document.sections[:1]):
        if section.title != "Summary":
            lines.append(section.title)
        lines += [block.text for block in section.blocks if isinstance(block, Paragraph)]
    return "\n".join(lines)


def _of_session(case: Case, edition: Edition, *, alone: bool) -> list[Section]:
    """The sections of one session: on their own level when it is the only one, else under its name."""
    naming = edition.choices.observers
    prefix = f"session-{case.session.id}"
    match edition.choices.parts:
        case "summary":
            parts: list[Section | None] = [
                Section(f"{prefix}-regions", "Findings by region", (overview(case),))
            ]
        case "neutrality":
            greys = case.greys.record.region if case.greys and case.greys.record else ""
            figures = figures_of(case, prefix).get(greys, ())
            parts = [
                printed(case, naming, prefix),
                how_measured(case, prefix),
                neutrality(case, prefix, figures) or _no_record(prefix),
            ]
        case _:
            parts = [
                printed(case, naming, prefix),
                judged(case, naming, prefix),
                how_measured(case, prefix),
                regions(case, edition, prefix, figures_of(case, prefix)),
                neutrality(case, prefix),
                conclusions(case, prefix),
                causes(case, prefix),
            ]
    there = [part for part in parts if part is not None]
    return there if alone else [Section(prefix, session_title(case), (), tuple(there))]


def _no_record(prefix: str) -> Section:
    told = "No greys are on record: none were read, or their region has no grade yet."
    return Section(f"{prefix}-neutrality", "Neutrality record", (Paragraph(told, "caution"),))


def _title(cases: tuple[Case, ...]) -> str:
    papers = list(dict.fromkeys(folded(case.session.condition.paper) or "a print" for case in cases))
    if len(papers) > 3:
        return f"Review appendix: {len(cases)} sessions on {len(papers)} papers"
    return f"Review appendix: {', '.join(papers)}"


def _subtitle(cases: tuple[Case, ...]) -> str:
    if len(cases) == 1:
        return sentence(f"session {cases[0].session.id}, {condition_words(cases[0].session.condition)}")
    return sentence("sessions " + ", ".join(str(case.session.id) for case in cases))
