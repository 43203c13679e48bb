"""What the article of an appendix says of a print: verdict with reasons, where it departs, what is open."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from evaluation.judgement.opinion import Cause, Finding, Verdict, Weighing
from evaluation.plain_text import capital, listed, lower_first
from evaluation.session import USES_IN_FULL, Grade, Session
from evaluation.sheet.layout import SheetRegion
from evaluation.telling.numbers import grade, number
from evaluation.telling.region_answers import seen
from evaluation.telling.wording import counted, folded, how_sure, sentence

RULE: Final = (
    "A region is shown in full when its mean grade by eye is below 4.5, when eye and readings disagree, "
    "when a fault was named, or when one of its questions came to 4 or less."
)
_CLEAR: Final = 4.45  # shown as 4.5: from here on a region shares a table with others
_FULL: Final = 4.95  # shown as 5.0, which nothing is better than
_REMARKED: Final = 4.05  # shown as 4.0
_NUMBERS: Final = ("none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_UNITS: Final = {"dE00": "ΔE₀₀", "dE*ab": "ΔE*ab", "dCh": "ΔCh", "dC*": "ΔC*", "dH*": "ΔH*", "dL*": "ΔL*"}
Bold = tuple[str, str]  # a word or claim in bold, and what follows it


@dataclass(frozen=True, slots=True)
class DepartureWords:
    """A region that departs, in words: its grades in a line, and at most three sentences."""

    grades: str
    told: tuple[str, ...]


def set_units(text: str) -> str:
    """Differences as a page sets them.

    >>> set_units("0.4 dE00 off, dL* 1")
    '0.4 ΔE₀₀ off, ΔL* 1'
    """
    for name, shown in _UNITS.items():
        text = text.replace(name, shown)
    return text


def departs(finding: Finding, shown: bool) -> bool:
    """Whether a region is shown in full, by `RULE`; what compares with readings counts only where `shown`."""
    low = finding.eye is not None and finding.eye.grade < _CLEAR
    against = shown and (finding.agreement == "disagree" or any(p.eye < _REMARKED for p in finding.pairs))
    return low or against or bool(finding.faults)


def verdicts(found: Sequence[Verdict], elsewhere: Sequence[str]) -> tuple[Bold, ...]:
    """A sentence for each word, the uses joined; `elsewhere`: uses this sheet cannot be judged for."""
    grouped: dict[tuple[str, tuple[str, ...], str], list[str]] = {}
    for one in found:
        why = () if one.verdict == "accepted" else one.reasons
        key = (one.words, why, one.would_decide or "")
        grouped.setdefault(key, []).append(USES_IN_FULL.get(one.use, one.use))
    told = []
    for (words, grounds, decide), uses in grouped.items():
        word, sure = how_sure(words)
        parts = [f" for {listed(uses)}{sure}{':' if grounds else '.'}"]
        parts += [sentence(r) if k else lower_first(sentence(r)) for k, r in enumerate(grounds)]
        if decide:
            wanted = folded(decide)
            parts.append(sentence(wanted if "decide" in wanted else f"to decide: {wanted}"))
        told.append((capital(word), " ".join(parts)))
    if elsewhere:
        others = listed([USES_IN_FULL.get(use, use) for use in elsewhere])
        told.append(("Not judged", f" for {others}: this sheet lacks what decides it."))
    return tuple(told)


def reasons(session: Session, weighing: Weighing, shown: frozenset[str]) -> tuple[Bold, ...]:
    """The reasons that carry the verdict, each a claim and its evidence: the eye's, then the readings'."""
    found = [_by_eye(session, weighing.findings), _by_readings(weighing, shown)]
    apart = [one for one in weighing.findings if one.agreement == "disagree" and one.region in shown]
    if apart:
        names = listed([_name(one) for one in apart])
        found.append((f"Eye and readings disagree on {names}.", sentence(apart[0].why)))
    return tuple((claim, set_units(evidence)) for claim, evidence in found)


def _by_eye(session: Session, findings: Sequence[Finding]) -> Bold:
    seen = [(one, one.eye) for one in findings if one.eye is not None]
    if not seen:
        return "Nothing has been graded by eye yet.", "No region has its grade."
    viewings = f"In {_count(len(session.heard), 'viewing')}"
    given = _grades(session)
    lowest = min([*given, *(eye.grade for _, eye in seen)])
    clear = sum(eye.grade >= _CLEAR for _, eye in seen)
    stayed = f"{_number(clear)} of {_number(len(seen))} regions stayed at 4.5 or better"
    faults = [one for one, _ in seen if one.faults]
    if lowest >= 4:
        claim = "The eye found nothing annoying."
        told = f"{viewings} no region fell below grade {lowest:.0f}; {stayed}."
    else:
        worst, eye = min(seen, key=lambda each: each[1].grade)
        claim = f"The eye marks {_name(worst)} lowest, {grade(eye.grade)}."
        told = f"{viewings} {stayed}."
    if faults:
        names = listed([f"{listed(list(one.faults))} in {_name(one)}" for one in faults[:3]])
        told += f" Faults named: {names}."
    return claim, told


def _by_readings(weighing: Weighing, shown: frozenset[str]) -> Bold:
    read = [(one, one.instrument) for one in weighing.findings if one.instrument and one.region in shown]
    if not read:
        judged = any(one.eye is not None for one in weighing.findings)
        return "The eye decides alone." if judged else "", "No readings carry a grade here."
    worst, lowest = min(read, key=lambda each: each[1].grade)
    best = lowest.grade >= _FULL
    every = f"Every region that readings grade comes to {grade(lowest.grade)}{'' if best else ' or better'}."
    step = {metric.name: metric for metric in weighing.print_step}
    where = [every]
    fine = lowest.grade >= _CLEAR
    if "print_mean" in step and "print_p95" in step:
        mean, most = (number(step[name].value, 2) for name in ("print_mean", "print_p95"))
        claim = "The readings find the print near what the profile expects:" if fine else ""
        told = f"{mean} ΔE₀₀ off on average, {most} at the 95th percentile."
        if claim:
            return claim, f"{told} {every}"
        where = [f"From what the profile expects it lies {told}"]
    if fine:
        return "The readings find no fault either.", " ".join(where)
    claim = f"The readings mark {_name(worst)} lowest, {grade(lowest.grade)}."
    why = [] if worst.agreement == "disagree" else [_first(worst.why)]  # has a sentence of its own
    return claim, " ".join([*why, *where])


def cause(found: Cause) -> str:
    """What may be behind it, and what to check first."""
    text, first = folded(found.text).rstrip("."), folded(found.first_check).rstrip(".")
    return f"{capital(text)}. Check first: {first} ({folded(found.cost)})."


def mind(findings: Sequence[Finding], shown: frozenset[str]) -> str:
    """What a buyer should know although the print was accepted; "" where nothing departs."""
    low: dict[str, list[str]] = {}
    light, full = [], []
    for one in findings:
        if not departs(one, one.region in shown):
            continue
        if one.eye is not None and one.eye.grade < _CLEAR:
            low.setdefault(grade(one.eye.grade), []).append(_name(one))
        elif any(pair.question.startswith("second") and pair.eye < _REMARKED for pair in one.pairs):
            light.append(_name(one))
        else:
            full.append(_name(one))
    told = [f"the eye gave only {given} for {listed(names)}" for given, names in sorted(low.items())]
    if light:
        told.append(f"{listed(light)} changed under the second light")
    if full:
        told.append(f"see below on {listed(full)}")
    return f"Even so, {'; '.join(told)}." if told else ""


def departure(session: Session, region: SheetRegion | None, finding: Finding, shown: bool) -> DepartureWords:
    """What was seen, what was read, and whose doing it is."""
    parts = [f"eye {grade(finding.eye.grade)}" if finding.eye else "not graded by eye"]
    if shown and finding.instrument is not None:
        parts.append(f"instrument {grade(finding.instrument.grade)}")
    if shown and finding.agreement == "disagree":
        parts.append("they disagree")
    elif shown and finding.combined is not None and finding.instrument is not None:
        parts.append(f"together {grade(finding.combined.grade)}")
    told = [seen(session, region, finding)]
    if shown:
        told += [_without_grades(finding.why), _whose(finding)]
    return DepartureWords(" · ".join(parts), tuple(set_units(each) for each in told if each))


def read(finding: Finding, shown: bool) -> str:
    """What the readings say, in a sentence."""
    if not shown or finding.instrument is None:
        return "nothing to read" if shown else "not shown yet"
    said = _first(_without_grades(finding.why))
    return set_units(capital(said.removeprefix("The readings lie ")))  # the column's head says that


def not_known(session: Session, findings: Sequence[Finding], shown: frozenset[str]) -> str:
    """What this appendix cannot say; never empty."""
    people = len({viewing.observer for viewing in session.heard})
    told = ["how another sheet would differ: one copy was judged"]
    if people < 2:
        told.append("how other eyes would" if people else "what an eye would say")
    unread = [_name(one) for one in findings if one.instrument is None or one.region not in shown]
    if unread:
        names = listed(unread) if len(unread) < 4 else f"{len(unread)} regions"
        told.append(f"anything a reading would say of {names}")
    return sentence("; ".join(told))


def _whose(finding: Finding) -> str:
    """Paper and intent, or the printing: by the steps of the profile; "" without them."""
    steps = {step.name: step.de00 for step in finding.steps}
    asked, printed = steps.get("intent and gamut"), steps.get("print")
    if asked is None or printed is None:
        return ""
    by_intent, by_printing = number(asked, 1), number(printed, 1)
    return f"Paper and intent account for {by_intent} dE00 from the file, printing for {by_printing}."


def _grades(session: Session) -> Iterator[float]:
    for viewing in session.heard:
        for (_, question), answer in viewing.answers.items():
            if question == "overall" and isinstance(answer.value, Grade):
                yield float(answer.value.value)


def _without_grades(why: str) -> str:
    """What was read: the sentences after that of the grades, which are shown next to it."""
    parts = why.split(". ")
    kept = [part for part in parts if not part.startswith(("Graded ", "Nothing to read"))]
    return sentence(". ".join(kept)) if kept else ""


def _first(text: str) -> str:
    head, stop, _ = text.partition(". ")
    return sentence(head if stop else text)


def _name(finding: Finding) -> str:
    return lower_first(folded(finding.title))


def _number(count: int) -> str:
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def _count(count: int, noun: str) -> str:
    return f"{_number(count)} {noun}{'s' if count != 1 else ''}" if count else counted(0, noun)
