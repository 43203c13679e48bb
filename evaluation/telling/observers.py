"""Several observers of one print, in words: how alike they graded, who leans, and what that cannot tell."""

from collections.abc import Sequence
from typing import Final, Protocol

from evaluation.judgement.observers.agreement import Coefficient, LeanFromMean, Leans, Shares
from evaluation.judgement.observers.in_common import InCommon
from evaluation.judgement.observers.pooled import Pooled
from evaluation.judgement.opinion import Weighing
from evaluation.judgement.several import limit
from evaluation.plain_text import capital, counted, listed, lower_first
from evaluation.session import Session, for_use
from evaluation.telling.numbers import number, signed
from evaluation.telling.table import Table

_NAMED: Final = 6  # prints in a sentence
_WHY_NOT: Final = {
    "too few": "No coefficient of agreement: fewer than {items:.0f} grades that two observers gave.",
    "regions alike": (
        "No coefficient of agreement: the regions are graded too alike for one, so that it would reflect the "
        "print and not the observers."
    ),
    "undefined": "No coefficient of agreement: every grade is the same.",
}


class OneRegion(Protocol):
    """A region as each observer graded it."""

    @property
    def title(self) -> str: ...
    @property
    def grades(self) -> Sequence[float | None]: ...
    @property
    def pooled(self) -> Pooled | None: ...
    @property
    def all_in(self) -> Pooled | None: ...
    @property
    def shares(self) -> Shares | None: ...


class Several(Protocol):
    """Several observers of a print, in order."""

    @property
    def roles(self) -> Sequence[str]: ...
    @property
    def names(self) -> Sequence[str]: ...
    @property
    def aside(self) -> Sequence[bool]: ...
    @property
    def lean_of(self) -> Sequence[LeanFromMean | None]: ...
    @property
    def regions(self) -> Sequence[OneRegion]: ...


def aside(roles: Sequence[str]) -> str:
    """Whose viewings were set aside; "" without any."""
    if not roles:
        return ""
    return f"Set aside: {listed(list(roles))}; below are the others alone."


def people(roles: Sequence[str], known: Sequence[tuple[int, str]]) -> str:
    """Of each observer, how many prints they have seen here, and what is known of their colour vision."""
    told = [
        f"{role}: {counted(prints, 'print')} seen, colour vision {vision or 'not known'}"
        for role, (prints, vision) in zip(roles, known, strict=True)
    ]
    return f"{capital('; '.join(told))}."


def alike(shares: Shares | None) -> str:
    """How many pairs of grades are equal, and how many within one grade."""
    if shares is None:
        return "No question was graded by two observers."
    return (
        f"Of {counted(shares.pairs, 'pair')} of grades {_percent(shares.equal)} are equal, "
        f"{_percent(shares.within_one)} within one grade."
    )


def leaning(found: Leans | None, roles: Sequence[str]) -> list[str]:
    """Who grades kinder or harsher than the others, where it is sure enough, and what else they differ by."""
    if found is None:
        return ["No lean is known: fewer than two regions were graded by all observers."]
    named = [
        f"{role} grades {number(abs(one.by), 1)} {'kinder' if one.by > 0 else 'harsher'} "
        f"than the mean of all (± {number(one.error, 1)})"
        for role, one in zip(roles, found.of, strict=True)
        if one.named
    ]
    said = f"{capital('; '.join(named))}." if named else "No observer leans by enough to be named."
    rest = f"Beyond leans they differ by {number(found.rest, 1)} grades, from region to region."
    return [said, f"{rest} Leans: of {counted(found.items, 'region')} that all graded."]


def table(found: "Several", *, by_name: bool = False, alike: bool = False) -> Table:
    """A row a region, a column an observer, then all of them as one grade; the last row has the leans.

    `alike`: of pairs of grades of all questions of a region, how many are equal and within one grade.
    """
    who = found.names if by_name else found.roles
    aside = [" (aside)" if each else "" for each in found.aside]
    all_in = any(found.aside)
    rows = [
        (
            one.title,
            *(["-" if grade is None else number(grade, 0) for grade in one.grades]),
            "-" if one.pooled is None else interval(one.pooled),
            *([interval(one.all_in) if one.all_in else "-"] if all_in else []),
            *([_alike_in(one.shares)] if alike else []),
        )
        for one in found.regions
    ]
    leans = ["-" if one is None else signed(one.by, 1) for one in found.lean_of]
    return Table(
        "Grades by observer",
        (
            "region",
            *(f"{name}{more}" for name, more in zip(who, aside, strict=True)),
            "together (95 %)",
            *(["with all in"] if all_in else []),
            *(["equal, within one grade"] if alike else []),
        ),
        (*rows, ("lean", *leans, *[""] * (1 + all_in + alike))),
        right=tuple(range(1, len(who) + 1)),
    )


def _alike_in(shares: Shares | None) -> str:
    return "-" if shares is None else f"{_percent(shares.equal)}, {_percent(shares.within_one)}"


def unlike(named: Sequence[str], observers: int) -> str:
    """Whose answers are unlike the others'; "" where all are alike. Nobody is left out for it."""
    if not named:
        return ""
    if observers == 2:
        return (
            f"The answers of {listed(list(named))} are unlike each other's, and with two there is no knowing "
            "whose are off: look again together."
        )
    who = capital(listed(list(named)))
    return f"{who}: answers unlike the others'. Look again together; nobody was left out."


def coefficient(found: Coefficient) -> str:
    """The coefficient with its rough interval, or why there is none."""
    if found.alpha is None or found.interval is None:
        return _WHY_NOT[found.why_not].format(items=limit("coefficient_from"))
    low, high = (number(one, 2) for one in found.interval)
    return (
        f"Krippendorff's alpha, ordinal: {number(found.alpha, 2)} ({low} to {high}, for these observers, "
        "rough). It reflects the regions as much as the observers."
    )


def screening(count: int) -> str:
    """Why nobody was screened: too few observers, or that it is left to people."""
    needed = limit("screened_from")
    if count >= needed:
        return (
            "So many observers can be screened by ITU-R BT.500; drydown sets nobody aside by itself, and "
            "names those who answer unlike the others."
        )
    few = f"with fewer than {needed:.0f} observers it misses most who guess"
    return f"Nobody is screened by ITU-R BT.500: {few}."


def gaps(partial: Sequence[str], waiting: Sequence[str]) -> list[str]:
    """Regions that not all graded, and those whose grades stay hidden."""
    found = []
    if partial:
        found.append(f"Not graded by all, so that leans do not cancel there: {listed(list(partial))}.")
    if waiting:
        found.append(f"Hidden until the newest viewing has graded them: {listed(list(waiting))}.")
    return found


def in_common(found: InCommon) -> tuple[str, ...]:
    """Which prints were seen by other people than this one, and what that does to grades; () without any."""
    told = []
    if found.others:
        told.append(
            f"{_prints(found.others, 'was', 'were')} seen by others than print {found.print}: what they "
            "differ by to the eye may be what observers differ by."
        )
    if found.partly:
        told.append(
            f"{_prints(found.partly, 'shares', 'share')} only some observers with print {found.print}: what "
            "observers lean by does not cancel between them."
        )
    return tuple(told)


def _prints(numbers: Sequence[int], one: str, many: str) -> str:
    """As a subject with its verb; of many prints the first ones.

    >>> _prints([4], "was", "were"), _prints([4, 5], "was", "were")
    ('Print 4 was', 'Prints 4 and 5 were')
    """
    if len(numbers) == 1:
        return f"Print {numbers[0]} {one}"
    named = [str(each) for each in numbers[:_NAMED]]
    more = [f"{len(numbers) - _NAMED} more"] if len(numbers) > _NAMED else []
    return f"Prints {listed([*named, *more])} {many}"


def set_aside(session: Session, without: Weighing, all_in: Weighing) -> tuple[str, ...]:
    """Which viewings a person set aside and why, and what the result is with all of them in."""
    found = [
        f"Viewing {one.ordinal}, {session.role(one.observer)}, is set aside: “{one.aside}”."
        for one in session.viewings
        if one.aside
    ]
    use = session.condition.made_for or "general"
    now, then = without.verdicts[use].words, all_in.verdicts[use].words
    changed = [f"{for_use(use)} {then} in place of {now}"] if now != then else []
    for one, other in zip(without.findings, all_in.findings, strict=True):
        grades = [number(each.eye.grade, 1) if each.eye else "no grade" for each in (other, one)]
        if grades[0] != grades[1]:
            changed.append(f"{lower_first(one.title)} by eye {grades[0]} in place of {grades[1]}")
    many = "it" if len(found) == 1 else "them"
    return (*found, f"With {many} in: {'; '.join(changed) or 'the same grades and the same verdict'}.")


def interval(one: Pooled) -> str:
    """A pooled grade with what 95 % lies within, no further than the scale goes."""
    low, high = max(one.low, 1.0), min(one.high, 5.0)
    return f"{number(one.grade, 1)} ({number(low, 1)} to {number(high, 1)})"


def _percent(share: float) -> str:
    return f"{share * 100:.0f} %"
