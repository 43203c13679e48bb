"""What a session was written up with, kept for good; and where its results differ by now, in a sentence.

A weighing is kept with every appendix, in full, as it was published. When rules or settings change later, it
is said what the results were, what they are now, and why.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from evaluation.archive import documents, entries, sessions
from evaluation.errors import ArchiveProblem
from evaluation.judgement import codec
from evaluation.judgement.opinion import Weighing
from evaluation.telling import rewritten
from evaluation.telling.wording import spaced
from evaluation.work.bench import Bench


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
    changes = rewritten.changed(before.weighing, weighing, session.condition.made_for or "general")
    if not changes:
        return ""
    was, is_now = before.weighing.inputs, weighing.inputs
    settings = _settings(bench, was.settings, is_now.settings) if was.settings != is_now.settings else []
    return rewritten.sentence(session.id, before.at, changes, was, is_now, settings)


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
