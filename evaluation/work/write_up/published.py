"""What a session was written up with, kept for good; and where its results differ by now, in a sentence.

A weighing is kept with every appendix, in full, as it was published. When rules or settings change later, it
is said what the results were, what they are now, and why.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from evaluation.archive import documents, entries, sessions
from evaluation.errors import ArchiveProblem
from evaluation.judgement import codec
from evaluation.judgement.opinion import Finding, Inputs, Weighing
from evaluation.plain_text import listed
from evaluation.session import for_use
from evaluation.telling.numbers import grade
from evaluation.telling.wording import folded, spaced, utc
from evaluation.work.bench import Bench

_MOST_TOLD: Final = 4  # of regions, and of settings


@dataclass(frozen=True, slots=True)
class Published:
    """The weighing that the newest appendix of a session was written with, and when that was."""

    at: datetime
    weighing: Weighing


def keep(bench: Bench, weighing: Weighing) -> str:
    """Keep a weighing as it is published; the digest for the entry that says so."""
    name = f"weighing of session {weighing.session}"
    return documents.keep(bench.archive, "appendix", name, codec.encoded(weighing).encode())


def newest(bench: Bench, session_id: int) -> Published | None:
    """What a session was written up with last; None before, and where what was kept cannot be read."""
    for said in reversed(entries.history(bench.archive, session_id)):
        entry = said.entry
        if entry.kind == "written" and said.live and isinstance(entry.value, dict):
            try:
                text = documents.fetch(bench.archive, str(entry.value.get("weighing")))[1].decode()
                return Published(entry.at, codec.decoded(Weighing, text))
            except (ArchiveProblem, ValueError):
                return None
    return None


def since(bench: Bench, weighing: Weighing) -> str:
    """What a session was written up as and is no longer, with the reason; "" where nothing shown differs."""
    session = sessions.load(bench.archive, weighing.session)
    before = newest(bench, session.id) if session.written else None
    if before is None or before.weighing.inputs == weighing.inputs:
        return ""
    changes = [*_verdict(before.weighing, weighing, session.condition.made_for or "general")]
    changes += _limited(list(_regions(before.weighing, weighing)), "region")
    if not changes:
        return ""
    why = "; ".join(_reasons(bench, before.weighing.inputs, weighing.inputs))
    return (
        f"Session {session.id} was written up on {utc(before.at)} with other results: "
        f"{'; '.join(changes)}. Why: {why}."
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
        name = folded(finding.title).lower()
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


def _reasons(bench: Bench, before: Inputs, now: Inputs) -> Iterator[str]:
    if before.rules != now.rules:
        yield f"the rules of weighing have changed (version {before.rules}, now {now.rules})"
    if before.settings != now.settings:
        names = _limited(_settings(bench, before.settings, now.settings), "setting")
        yield f"the settings have changed{f' ({listed(names)})' if names else ''}"
    if before.session != now.session:
        yield "its answers, its readings or its description have changed"
    if before.named != now.named:
        numbers = sorted({one.session for one in {*before.named} ^ {*now.named}})
        yield f"a print that it names has changed (session {listed([str(one) for one in numbers])})"
    if before.light != now.light:
        yield "the second light has another spectrum"


def _settings(bench: Bench, before: str, now: str) -> list[str]:
    """Names of the settings that differ; none where the tables of then are not to be had."""
    try:
        was, is_now = (json.loads(documents.fetch(bench.archive, digest)[1]) for digest in (before, now))
    except ArchiveProblem:
        return []
    names = {"thresholds": "", "anchors": "anchors of ", "uses": "weights for ", "causes": "cause "}
    return [
        f"{prefix}{spaced(name)}"
        for table, prefix in names.items()
        for name in _differing(was, is_now, table)
    ]


def _differing(was: Mapping[str, Any], is_now: Mapping[str, Any], table: str) -> Iterator[str]:
    before, now = was.get(table, {}), is_now.get(table, {})
    yield from (name for name in sorted({*before, *now}) if before.get(name) != now.get(name))


def _limited(told: list[str], noun: str) -> list[str]:
    rest = len(told) - _MOST_TOLD
    more = f"{rest} more {noun}{'s' if rest > 1 else ''}"
    return [*told[:_MOST_TOLD], more] if rest > 0 else told
