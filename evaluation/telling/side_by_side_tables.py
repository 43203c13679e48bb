"""Rounds of prints side by side, set down: how they were drawn, under which letters, what was answered."""

from collections.abc import Sequence
from itertools import combinations

from evaluation.judgement.beside.result import InRegion, RoundsResult
from evaluation.judgement.several import limit
from evaluation.plain_text import counted, listed, lower_first
from evaluation.rounds import ASKED
from evaluation.telling.side_by_side import pair
from evaluation.telling.table import Table
from evaluation.telling.triangle import of_region

HOW_FAR = (
    "How far prints are apart: Thurstone's case V with a prior; at 1 JND 75 % name the better one "
    "(ISO 20462-1)."
)


def lead(found: RoundsResult) -> str:
    """Which prints, where, by how many people, how many judgements."""
    prints = listed([str(one) for one in found.prints])
    titles = listed(list(dict.fromkeys(lower_first(one.title) for one in found.regions)))
    people = {name for one in found.regions for name in one.observers}
    answers = sum(len(each.answers) for one in found.regions for each in one.rounds)
    ties = sum(one.ties for one in found.regions)
    return (
        f"Sessions {prints} lay side by side under letters, {_at_once(found)} at a time, in {titles}: "
        f"{counted(answers, 'judgement')} by {counted(len(people), 'observer')}, "
        f"{ties or 'none'} of them “no difference”."
    )


def _lying(found: RoundsResult) -> set[int]:
    """How many prints lay there at a time."""
    return {len(each.shown[0]) for one in found.regions for each in one.rounds}


def _at_once(found: RoundsResult) -> str:
    return " or ".join({2: "two", 3: "three"}[many] for many in sorted(_lying(found)))


def design(found: RoundsResult) -> tuple[str, ...]:
    """How rounds are drawn: what makes the answers fair, and what does not."""
    early = [str(one.id) for one in found.opened]
    lying = _lying(found)
    by_two = (
        "Every pair of prints was to be shown equally often, with sides changing from one time to the next.",
        "The order follows Williams squares, in which every print follows every other equally often.",
    )
    by_three = (
        "Three prints were laid out at a time and ranked, so that every pair was seen (triplets, "
        "ISO 20462-2). Their three pairs count as judgements of their own.",
    )
    others = (
        "Intervals for other eyes allow for tastes that differ: by about "
        f"{limit('tastes_differ'):g} JND a print (project's own choice), unless the answers say otherwise.",
    )
    return (
        *(by_two if 2 in lying else ()),
        *(by_three if 3 in lying else ()),
        "New letters were drawn for each region and observer, and laid on the prints as slips of paper.",
        "The letters were opened after the last answer."
        if not early
        else f"Letters opened before the last answer: round {listed(early)}. Answers until then count.",
        HOW_FAR,
        *(others if any(len(one.observers) > 1 for one in found.regions) else ()),
    )


def letters(found: RoundsResult, *, by_name: bool = False) -> Table:
    """A row a round: where, by whom, the question, which letter was which print, how many answers.

    Observers stand by role, in the order in which they first appear; or by name.
    """
    rounds = [(one, each) for one in found.regions for each in one.rounds]
    people = list(dict.fromkeys(each.observer for _, each in rounds))
    roles = {name: name if by_name else f"observer {place}" for place, name in enumerate(people, 1)}
    return Table(
        "The rounds and their letters",
        ("round", "region", "observer", "asked", "letters", "answers"),
        tuple(
            (
                str(each.id),
                one.title,
                roles[each.observer],
                ASKED[each.ask],
                ", ".join(f"{letter} session {session}" for letter, session in sorted(each.prints.items())),
                f"{len(each.answers)} of {len(each.pairs)}",
            )
            for one, each in rounds
        ),
    )


def counts(found: RoundsResult) -> Table:
    """A row a pair: how often each of the two was named, how often neither."""
    rows = []
    for one in found.regions:
        apart = {frozenset((each.first, each.second)): each for each in one.apart}
        for a, b in combinations(range(len(one.prints)), 2):
            rows.append(
                (
                    one.title,
                    f"{one.prints[a]} and {one.prints[b]}",
                    str(one.wins[a][b]),
                    str(one.wins[b][a]),
                    str(one.tied[a][b]),
                    pair(apart[frozenset((a, b))], one.prints, one.ask),
                )
            )
    heads = ("region", "sessions", "first named", "second named", "neither", "what it says")
    return Table("What was named, of each pair", heads, tuple(rows), right=(2, 3, 4))


def beside_it(found: Sequence[RoundsResult], session: int) -> tuple[str, ...]:
    """What one print was compared with and whether a difference was seen; a sentence a region."""
    told = []
    for rounds in found:
        others = listed([str(one) for one in rounds.prints if one != session])
        many = "session" if len(rounds.prints) == 2 else "sessions"
        where = f"Side by side with {many} {others}, under letters"
        told += [
            f"{where}, {lower_first(one.title)}: {_own(one, session)}."
            for one in rounds.regions
            if session in one.prints
        ]
        told += [of_region(one) for one in rounds.triangles if session in one.prints]
    return tuple(told)


def _own(one: InRegion, session: int) -> str:
    at = one.prints.index(session)
    said = [pair(each, one.prints, one.ask) for each in one.apart if at in (each.first, each.second)]
    return "; ".join(said)
