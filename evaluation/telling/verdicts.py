"""A verdict in words: its word with how sure it is, its reasons, and what would decide it."""

from collections.abc import Iterator, Sequence
from typing import Final

from evaluation.judgement.opinion import Verdict
from evaluation.judgement.verdict import Decision, Remedy, Weighted
from evaluation.plain_text import capital, listed, lower_first, percent
from evaluation.telling.caveats import not_done

_REMEDIES: Final = {
    "look or read again": "Looking at {title} again, or reading it again{later}, would decide it.",
    "grade by eye": "Grading {title} by eye would decide it.",
    "look again": "A second look at {title} would decide it.",
    "another observer": "Another observer's look at {title} would decide it.",
    "read again": "Reading {title} again{later} would decide it.",
}


def verdict(decision: Decision) -> Verdict:
    """The verdict as it is kept and shown."""
    return Verdict(
        decision.use,
        decision.word,
        tuple(_reasons(decision)),
        None if decision.remedy is None else _remedy(decision.remedy),
        decision.share,
        decision.leading,
        _hedged(decision),
    )


def _reasons(decision: Decision) -> Iterator[str]:
    if decision.ungraded:
        yield f"Key regions without a grade: {_titles(decision.ungraded)}."
    if decision.absent:
        yield f"Key regions missing from this sheet: {_titles(decision.absent)}."
    if decision.covered is not None:
        covered, needed = percent(decision.covered), percent(decision.needed)
        yield f"The regions graded carry {covered} of the weight; {needed} are needed."
    if len(decision.apart) == 1:
        yield f"{decision.apart[0].finding.title}: eye and readings disagree, and it is a key region."
    elif decision.apart:
        titles = _titles([row.finding.title for row in decision.apart])
        yield f"Eye and readings disagree in key regions: {titles}."
    elif decision.word == "undecided":
        yield f"{_shares(decision)} simulated gradings."
    yield from (_reason(row) for row in decision.holding)
    if decision.not_done:
        yield not_done(decision.not_done)
    if decision.unseen:
        titles = _titles([row.finding.title for row in decision.unseen])
        yield f"By readings alone, not graded by eye: {titles}."


def _titles(titles: Sequence[str]) -> str:
    return listed([lower_first(title) for title in titles])


def _reason(row: Weighted) -> str:
    """A region that holds a verdict back: its grade, what that is made of, and why."""
    eye, read = row.finding.eye, row.finding.instrument
    made = (
        f" (eye {eye.grade:.1f}, readings {read.grade:.1f})" if eye is not None and read is not None else ""
    )
    shown = row.finding.combined or eye or read
    return f"{row.finding.title} {row.grade if shown is None else shown.grade:.1f}{made}. {row.finding.why}"


def _shares(decision: Decision) -> str:
    """Every word that has a tenth of the draws or more: "Accepted in 5, accepted with remarks in 4 of 10"."""
    named = [
        f"{word} in {round(10 * share)}"
        for word, share in reversed(list(decision.shares.items()))
        if round(10 * share) > 0
    ]
    return capital(f"{', '.join(named)} of 10")


def _hedged(decision: Decision) -> str:
    """The word with how sure it is, and beside an undecided one the word it leans to."""
    if decision.share is None or decision.apart:
        return ""
    tenths = f"about {min(9, round(10 * decision.share))} in 10"  # no finer than such shares come true
    if decision.word != "undecided":
        return f"{decision.word}, {tenths}" if decision.hedged else decision.word
    if not decision.hedged:
        return "undecided"
    if decision.leading == "accepted with remarks":
        return "borderline: undecided"
    return f"leans to {decision.leading}, {tenths}: undecided"


def _remedy(remedy: Remedy) -> str:
    later = " once dry" if remedy.fresh else ""
    return _REMEDIES[remedy.does].format(title=remedy.title.lower(), later=later)
