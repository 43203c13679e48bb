"""What a session was written up as and is no longer, and why, in one sentence."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Final

from evaluation.judgement.opinion import Finding, Inputs, Weighing
from evaluation.plain_text import listed, lower_first
from evaluation.session import for_use
from evaluation.telling.numbers import grade
from evaluation.telling.wording import folded, utc

_MOST_NAMED: Final = 4  # of regions, and of settings


def changed(before: Weighing, now: Weighing, use: str) -> tuple[str, ...]:
    """The verdict and the regions that are shown otherwise by now."""
    return (*_verdict(before, now, use), *_limited(list(_regions(before, now)), "region"))


def sentence(
    session: int, at: datetime, changes: Sequence[str], before: Inputs, now: Inputs, settings: Sequence[str]
) -> str:
    """`changes` as `changed` gives them; `settings` are the names of those that differ."""
    why = "; ".join(_reasons(before, now, settings))
    return (
        f"Session {session} was written up on {utc(at)} with other results: {'; '.join(changes)}. Why: {why}."
    )


def _verdict(before: Weighing, now: Weighing, use: str) -> Iterator[str]:
    was, is_now = (one.verdicts[use].verdict if use in one.verdicts else "none" for one in (before, now))
    if was != is_now:
        yield f"{for_use(use)} {was}, now {is_now}"


def _regions(before: Weighing, now: Weighing) -> Iterator[str]:
    """Regions that are shown with another grade or another agreement, as they are shown."""
    found = {finding.region: finding for finding in before.findings}
    for finding in now.findings:
        earlier = found.get(finding.region)
        if earlier is None:
            continue
        name = lower_first(folded(finding.title))
        for what, was, is_now in zip(
            ("", " by eye", " by readings", ""), _shown(earlier), _shown(finding), strict=True
        ):
            if was != is_now:
                yield f"{name}{what} {was}, now {is_now}"
                break


def _shown(finding: Finding) -> tuple[str, ...]:
    grades = tuple(
        "without a grade" if opinion is None else grade(opinion.grade)
        for opinion in (finding.combined, finding.eye, finding.instrument)
    )
    return (*grades, finding.agreement)


def _reasons(before: Inputs, now: Inputs, settings: Sequence[str]) -> Iterator[str]:
    if before.rules != now.rules:
        yield f"the rules of weighing have changed (version {before.rules}, now {now.rules})"
    if before.settings != now.settings:
        names = _limited(list(settings), "setting")
        yield f"the settings have changed{f' ({listed(names)})' if names else ''}"
    if before.session != now.session:
        yield "its answers, its readings or its description have changed"
    if before.named != now.named:
        numbers = sorted({one.session for one in {*before.named} ^ {*now.named}})
        yield f"a print that it names has changed (session {listed([str(one) for one in numbers])})"
    if before.light != now.light:
        yield "the second light has another spectrum"


def _limited(told: list[str], noun: str) -> list[str]:
    rest = len(told) - _MOST_NAMED
    more = f"{rest} more {noun}{'s' if rest > 1 else ''}"
    return [*told[:_MOST_NAMED], more] if rest > 0 else told
