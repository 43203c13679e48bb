"""What a reader can quote: each use in a sentence, where eye and instrument part, what is open."""

from collections.abc import Iterator
from math import floor

from evaluation.appendix.case import Case, Edition
from evaluation.appendix.document import Block, Paragraph, Points, Section
from evaluation.appendix.printed import condition_words
from evaluation.judgement.opinion import Verdict
from evaluation.judgement.ring import COLOURLESS
from evaluation.judgement.voices import voices
from evaluation.plain_text import listed
from evaluation.session import READINESS, SERIOUS_READINESS, for_use
from evaluation.telling.numbers import NOTHING
from evaluation.telling.table import Table
from evaluation.telling.wording import folded, sentence

_SEEN = {
    5: "with a lower answer or a fault named",
    4: "perceptible, but not annoying",
    3: "slightly annoying",
    2: "annoying",
    1: "very annoying",
}
_FINE = 4.995  # shown as 5.0 in every viewing


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
    for told in (*_grades(case, edition), *_agreement(case)):
        yield Paragraph(told)
    if open_items := [
        READINESS[item]
        for item in SERIOUS_READINESS
        if (made := case.session.readiness.get(item)) is None or made.mark in (None, "not done")
    ]:
        yield Paragraph(f"Not done when judged: {', '.join(open_items)}.", "caution")


def verdict_words(verdict: Verdict) -> str:
    """A verdict as sentences: the word for its use, the reasons, what would decide it.

    >>> verdict_words(Verdict("portrait", "accepted with remarks", ("skin a little red",)))
    'For portraits: accepted with remarks. Skin a little red.'
    """
    parts = [f"{for_use(verdict.use).capitalize()}: {verdict.words}."]
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


def _grades(case: Case, edition: Edition) -> Iterator[str]:
    """What the viewings said of the regions, best first, in the words of the scale."""
    regions = {region.id: region for region in case.sheet.regions}
    faultless: list[str] = []
    by_grade: dict[int, list[str]] = {}
    for finding in case.weighing.findings:
        region = regions.get(finding.region)
        if finding.eye is None or region is None:
            continue
        said = voices(case.session, region, {}, edition.tables)
        title = folded(finding.title).lower()
        if said.faultless and all(pair.eye > _FINE for pair in finding.pairs):
            faultless.append(title)
        else:
            grades = [one.grade for one in (*said.grades, *said.aside)] or [finding.eye.grade]
            by_grade.setdefault(min(5, max(1, floor(min(grades)))), []).append(title)
    several = len(case.session.viewings) > 1
    if faultless:
        yield sentence(f"{listed(faultless)}: no fault seen{' in any viewing' if several else ''}")
    for value in sorted(by_grade, reverse=True):
        where = "" if not several else " in every viewing" if value == 5 else " at the lowest"
        yield sentence(f"{listed(by_grade[value])}: graded {value}{where}, {_SEEN[value]}")


def _agreement(case: Case) -> Iterator[str]:
    found: dict[str, list[str]] = {}
    for finding in case.weighing.findings:
        word = finding.agreement if finding.region in case.shown or finding.eye else "not graded yet"
        found.setdefault(word, []).append(folded(finding.title).lower())
    if both := found.get("agree"):
        yield f"Eye and instrument agree on {listed(both)}."
    if apart := found.get("disagree"):
        yield f"Eye and instrument disagree on {listed(apart)}; no mean is shown there."
    if alone := found.get("eye only"):
        yield f"By eye alone: {listed(alone)}."
    if read := found.get("instrument only"):
        yield f"Read, and not graded by eye: {listed(read)}."
    if left_out := found.get("left out"):
        yield f"Left out: {listed(left_out)}. {COLOURLESS}"
    unseen = [*found.get("not graded yet", ()), *found.get("none", ())]
    if len(unseen) == len(case.weighing.findings):
        yield (
            "No region has its grade yet."
            if case.session.viewings
            else "Nobody has looked at this print yet."
        )
    elif unseen:
        newest = case.session.viewing
        where = f" in viewing {newest.ordinal}" if newest is not None and newest.ordinal > 1 else ""
        yield f"Not graded{where} yet: {listed(unseen)}."
