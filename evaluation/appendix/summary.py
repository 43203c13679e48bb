"""Verdicts by use, and what may be behind the findings."""

from evaluation.appendix.article import ordered
from evaluation.appendix.case import Case
from evaluation.appendix.document import Block, Paragraph, Points, Section
from evaluation.session import for_use
from evaluation.telling.numbers import NOTHING
from evaluation.telling.table import Table
from evaluation.telling.wording import folded, sentence


def session_title(case: Case) -> str:
    return f"Session {case.session.id}, {folded(case.session.condition.paper) or 'paper not said'}"


def conclusions(case: Case, prefix: str) -> Section:
    """The sections "Verdict" and "What may be behind it"."""
    verdicts = ordered(case)
    table = Table(
        "Verdict by use",
        ("use", "verdict", "reasons", "what would decide"),
        tuple(
            (
                for_use(verdict.use).capitalize(),
                verdict.words,
                " ".join(sentence(reason) for reason in verdict.reasons) or NOTHING,
                sentence(verdict.would_decide or "") or NOTHING,
            )
            for verdict in verdicts
        ),
    )
    blocks: list[Block] = [table] if verdicts else [Paragraph("No verdict was reached.")]
    blocks.append(
        Paragraph(
            "A verdict stands when at least the share of simulated gradings named under the thresholds gives "
            "it; otherwise it is undecided. Each takes the grades of all regions within their spreads, with "
            "one lean of the observer for all of them. Where observers were simulated, such shares came true "
            "over all words together; “accepted” more often than said, the other words less often, by "
            "about one in ten. No observer has been asked.",
            "note",
        )
    )
    return Section(f"{prefix}-verdict", "Verdict", tuple(blocks))


def causes(case: Case, prefix: str) -> Section:
    """What may be behind the findings, still open: suspicions, never more."""
    if not case.weighing.causes:
        nothing = Paragraph("Nothing points to a cause.")
        return Section(f"{prefix}-causes", "What may be behind it", (nothing,))
    blocks: list[Block] = [Paragraph("Suspicions, the likeliest first. None is proved.")]
    for cause in case.weighing.causes:
        items = [f"for: {folded(evidence)}" for evidence in cause.evidence_for]
        items += [f"against: {folded(evidence)}" for evidence in cause.evidence_against] or [
            "against: nothing yet"
        ]
        items.append(f"check first: {folded(cause.first_check)} (cost: {folded(cause.cost)})")
        blocks.append(Points(f"May be: {folded(cause.text).rstrip('.')}", tuple(items)))
    return Section(f"{prefix}-causes", "What may be behind it", tuple(blocks))
