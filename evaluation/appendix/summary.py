"""What a reader can quote: each use in a sentence, where eye and instrument part, what is open."""

from collections.abc import Iterator

from evaluation.appendix.case import Case, Edition
from evaluation.appendix.document import Block, Paragraph, Points, Section, Table
from evaluation.appendix.printed import condition_words
from evaluation.appendix.wording import (
    NOTHING,
    folded,
    number,
    sentence,
)
from evaluation.judgement.opinion import Verdict
from evaluation.plain_text import listed
from evaluation.session import READINESS, SERIOUS_READINESS, for_use

_SEEN = {
    5: "no fault seen",
    4: "differences perceptible, but not annoying",
    3: "differences slightly annoying",
    2: "differences annoying",
    1: "differences very annoying",
}


def summary(cases: tuple[Case, ...], edition: Edition) -> Section:
    """The first section, for all sessions."""
    if len(cases) == 1:
        return Section("summary", "Summary", tuple(beginning(cases[0], edition)))
    parts = tuple(
        Section(f"summary-{case.session.id}", session_title(case), tuple(beginning(case, edition)))
        for case in cases
    )
    return Section("summary", "Summary", (), parts)


def session_title(case: Case) -> str:
    return f"Session {case.session.id}, {folded(case.session.condition.paper) or 'paper not said'}"


def beginning(case: Case, edition: Edition) -> Iterator[Block]:
    """How the appendix begins about one session: the print, the verdicts, the grades, what is open."""
    yield Paragraph(sentence(condition_words(case.session.condition)), "lead")
    answerable = _answerable(case, edition)
    for verdict in _ordered(case):
        if verdict.use in answerable:
            yield Paragraph(verdict_words(verdict), "lead")
    for told in (*_grades(case), *_agreement(case)):
        yield Paragraph(told)
    if open_items := [
        READINESS[item]
        for item in SERIOUS_READINESS
        if (made := case.session.readiness.get(item)) is None or made.mark in (None, "not done")
    ]:
        yield Paragraph(f"Open when judged: {', '.join(open_items)}.", "caution")


def verdict_words(verdict: Verdict) -> str:
    """A verdict as sentences: the word for its use, the reasons, what would decide it.

    >>> verdict_words(Verdict("portrait", "accepted with remarks", ("skin a little red",)))
    'For portraits: accepted with remarks. Skin a little red.'
    """
    parts = [f"{for_use(verdict.use).capitalize()}: {verdict.verdict}."]
    parts += [sentence(reason) for reason in verdict.reasons]
    if verdict.would_decide:
        told = folded(verdict.would_decide)
        parts.append(sentence(told if "decide" in told else f"to decide: {told}"))
    return " ".join(parts)


def conclusions(case: Case, prefix: str) -> Section:
    """The sections "Verdict" and "What may be behind it"."""
    verdicts = _ordered(case)
    table = Table(
        "Verdict by use",
        ("use", "verdict", "share of draws", "reasons", "what would decide"),
        tuple(
            (
                for_use(verdict.use).capitalize(),
                verdict.verdict,
                f"{number(100 * verdict.share, 0)} %" if verdict.share is not None else NOTHING,
                " ".join(sentence(reason) for reason in verdict.reasons) or NOTHING,
                sentence(verdict.would_decide or "") or NOTHING,
            )
            for verdict in verdicts
        ),
        numeric=(2,),
    )
    blocks: list[Block] = [table] if verdicts else [Paragraph("No verdict was reached.")]
    blocks.append(
        Paragraph(
            "A verdict stands when at least the share of draws named under the thresholds gives it, each "
            "draw taking every region's grade within its spread; otherwise it is undecided.",
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


def _ordered(case: Case) -> list[Verdict]:
    """The use the print was made for leads."""
    made_for = case.session.condition.made_for
    return sorted(case.weighing.verdicts.values(), key=lambda verdict: verdict.use != made_for)


def _answerable(case: Case, edition: Edition) -> frozenset[str]:
    """The uses whose key regions all stand on this sheet; it cannot speak of the others."""
    kinds = {region.kind for region in case.sheet.regions}
    made_for = case.session.condition.made_for
    return frozenset(
        use for use, weights in edition.tables.uses.items() if use == made_for or kinds >= set(weights.key)
    )


def _grades(case: Case) -> Iterator[str]:
    """The regions by how much is seen in them, best first, in the words of the scale."""
    by_grade: dict[int, list[str]] = {}
    for finding in case.weighing.findings:
        told = finding.combined if finding.region in case.shown else None
        if told is not None:
            by_grade.setdefault(min(5, max(1, round(told.grade))), []).append(folded(finding.title).lower())
    for value in sorted(by_grade, reverse=True):
        yield sentence(f"{listed(by_grade[value])}: {_SEEN[value]}")


def _agreement(case: Case) -> Iterator[str]:
    found: dict[str, list[str]] = {}
    for finding in case.weighing.findings:
        word = finding.agreement if finding.region in case.shown or finding.eye else "not looked"
        found.setdefault(word, []).append(folded(finding.title).lower())
    if both := found.get("agree"):
        yield f"Eye and instrument agree on {listed(both)}."
    if apart := found.get("disagree"):
        yield f"Eye and instrument disagree on {listed(apart)}; no mean is shown there."
    if alone := found.get("eye only"):
        yield f"The eye alone speaks of {listed(alone)}."
    if len(found.get("not looked", ())) == len(case.weighing.findings):
        yield "Nobody has looked at this print yet."
    elif unseen := found.get("not looked"):
        yield f"Not looked at yet: {listed(unseen)}."
