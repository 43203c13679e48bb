"""Profiling data in words, sessions side by side."""

from collections.abc import Iterator, Sequence
from typing import Final

from evaluation.judgement.charts import Again, ChartPair, ChartsCompared, OfSession
from evaluation.judgement.charts_offered import OF_THE_MACHINE, Offered
from evaluation.plain_text import listed, visible
from evaluation.readings.chart import ChartFacts, GreyRow
from evaluation.readings.run import Array
from evaluation.telling.neutrality.values import flatness
from evaluation.telling.numbers import LAB_DIGITS, plain, signed

LIMITS: Final = (
    "Facts of the machine, the paper and the setting; nothing here is graded or of a picture. A black "
    "compares only within one instrument and one measurement condition. Alike: within repeats. Measured: "
    "beyond. Large: and large enough to be seen. Without repeats, what two sheets of one setting may differ "
    "by is taken."
)
_NO_CHART: Final = "no profiling data"


def rows(found: Sequence[OfSession]) -> list[tuple[str, ...]]:
    """A row a fact, a column a session."""
    columns = [dict(_facts(each)) for each in found]
    names = dict.fromkeys(name for column in columns for name in column)
    return [(name, *(column.get(name, "-") for column in columns)) for name in names]


def _facts(found: OfSession) -> Iterator[tuple[str, str]]:
    condition = found.session.condition
    for field in OF_THE_MACHINE:
        if value := getattr(condition, field):
            yield field.replace("_", " "), visible(value)
    facts = found.chart
    if facts is None:
        yield "file", _NO_CHART
        return
    run = facts.run
    yield "file", visible(listed(facts.files))
    yield "measured", f"{run.stated.measured_at:%d %b %Y}" if run.stated.measured_at else "date not stated"
    yield "patches", f"{facts.patches:,} of {run.device_space}, {len(run):,} readings"
    yield "condition", listed(facts.conditions)
    yield "backing", visible(run.stated.backing or "not stated")
    yield from _black(facts)
    if facts.greys is not None:
        yield from _greys(facts.greys)
    glow = facts.whitener
    yield (
        "whitener",
        "not read under both"
        if glow is None
        else f"M2 less {facts.lit_by}: paper b* {signed(glow.db, 1)}, L* {signed(glow.dl, 1)}"
        + ("" if glow.glow is None else f", glow {glow.glow:.2f} at {glow.glow_at:.0f} nm"),
    )
    noise = facts.repeats
    yield (
        "read twice",
        "no patch"
        if noise.mcdm is None
        else f"{noise.patches} patches, {noise.mcdm:.2f} dE*ab from their mean",
    )


def _black(facts: ChartFacts) -> Iterator[tuple[str, str]]:
    depth = facts.depth
    if depth.paper_lab is not None and depth.d_min is not None:
        yield "paper, colour", f"L* a* b* {_lab(depth.paper_lab)}, D {depth.d_min:.2f}"
    if depth.d_max is not None and facts.black is not None:
        above = "" if depth.d_range is None else f", {depth.d_range:.2f} above the paper"
        yield "black", f"D {depth.d_max:.2f}{above}"
        given, status = facts.given
        if given is not None:
            yield "black, as given", f"D {given:.2f}, {f'status {status}' if status else 'status not stated'}"
        yield "black, colour", f"L* a* b* {_lab(facts.black)}"
        flares = (f"D {seen:.2f} at {flare * 100:g} %" for flare, seen in depth.seen)
        yield "black, with flare", f"{', '.join(flares)} (unconfirmed)"
    if not depth.darkest_is_black:
        yield "darkest", f"{depth.darkest}, D {depth.darkest_density:.2f}"
    if facts.flatness is not None:
        yield "black, flatness", flatness(facts.flatness)


def _greys(greys: GreyRow) -> Iterator[tuple[str, str]]:
    falls = "" if not greys.falls else f", {greys.falls} darker than the one before"
    yield (
        "greys",
        f"{len(greys.level)} of equal values, L* {greys.lab[0, 0]:.1f} to {greys.lab[-1, 0]:.1f}{falls}",
    )
    judged = greys.judged
    if len(judged):
        worst = judged[int(greys.from_paper[judged].argmax())]
        yield (
            "greys, tint",
            f"{greys.from_paper[judged].mean():.1f} dCh from the paper's on average, "
            f"{greys.from_paper[worst]:.1f} at L* {greys.lab[worst, 0]:.0f}",
        )


def told(found: Sequence[OfSession], between: Sequence[ChartPair]) -> list[str]:
    """What was read again, what could not be held against the chart, and each session against the first."""
    lines = [again_words(again) for each in found for again in each.again]
    for each in found:
        chart = each.chart.run.source_name if each.chart is not None else ""
        lines += [
            f"{visible(name)}, session {each.session.id}: not compared with {visible(chart)}; it was read "
            "earlier, or no patch is in both under one measurement condition."
            for name in each.others
        ]
    return lines + [between_words(each) for each in between]


def again_words(again: Again) -> str:
    """One line about a re-reading."""
    at = again.run.stated.measured_at
    when = f"{at:%d %b %Y}" if at else "date not stated"
    return f"{visible(again.run.source_name)}, {when}: {_compared(again.compared)}"


def between_words(found: ChartPair) -> str:
    """One line about two charts."""
    if found.compared is None:
        return f"Session {found.b} and {found.a}: no patch in common under one measurement condition."
    return f"Session {found.b} against {found.a}: {_compared(found.compared)}"


def _compared(found: ChartsCompared) -> str:
    off = found.against
    than = "within" if found.within_sheets else "beyond"
    noise = f"no repeats; {than} what two sheets of one setting may differ by"
    if off.limit is not None:
        dark = f", of the dark ones {off.limit_dark.value:.1f}" if off.limit_dark is not None else ""
        noise = f"{off.beyond} beyond repeats ({off.limit.value:.1f} dE*ab{dark})"
    if off.limit is not None and found.word == "measured" and found.within_sheets:
        noise += ", less than two sheets of one setting may differ by"
    return (
        f"{found.word}; {len(off.patches)} patches under {found.condition}, {off.mean:.1f} dE00 on average, "
        f"{off.p95:.1f} at the 95th percentile, {off.largest:.1f} at most ({visible(off.worst)}), {noise}; "
        f"all together L* {signed(off.bias[0], 1)}, a* {signed(off.bias[1], 1)}, b* {signed(off.bias[2], 1)}"
        + "".join(f"; {remark}" for remark in off.remarks)
        + "."
    )


def offered_words(session: int, each: Offered) -> str:
    """What another session has, and how to take it over."""
    return f"Session {session} may take over: {visible(each.about)}."


def _lab(lab: Array) -> str:
    return " ".join(plain(float(value), LAB_DIGITS) for value in lab)
