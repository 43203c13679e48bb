"""Side by side: rounds drawn for two to six prints, their answers, and what they add up to."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import count
from pathlib import Path
from random import Random, SystemRandom
from typing import Final

from evaluation.archive import rounds, sessions, triangles
from evaluation.errors import UsageProblem
from evaluation.judgement.beside.design import MOST_PRINTS, THREES_FROM, drawn, in_threes
from evaluation.judgement.beside.result import InRegion, RoundsResult, added_up, of_these
from evaluation.judgement.several import limit
from evaluation.plain_text import listed, lower_first, quoted
from evaluation.rounds import Named, Round
from evaluation.session import Session
from evaluation.sheet.layout import Sheet, SheetRegion
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.log import refuse_read_only
from evaluation.work.onto_disk import put
from evaluation.work.sidebyside import pages
from evaluation.work.weigh import weigh

NOT_DRAWN: Final = "No round was drawn."
FEWEST: Final = 2
MOST_TIMES: Final = 40


def prints_of(bench: Bench, ids: Sequence[int]) -> tuple[Session, ...]:
    """The sessions, checked: two to six different prints of one sheet in one size. Raises UsageProblem."""
    if len(set(ids)) < len(ids):
        twice = next(one for one in ids if ids.count(one) > 1)
        raise UsageProblem(NOT_DRAWN, expected="every print once", found=f"session {twice} twice")
    if not FEWEST <= len(ids) <= MOST_PRINTS:
        raise UsageProblem(NOT_DRAWN, expected=f"{FEWEST} to {MOST_PRINTS} prints", found=str(len(ids)))
    found = tuple(sessions.load(bench.archive, one) for one in ids)
    first = found[0]
    for other in found[1:]:
        if other.sheet_digest != first.sheet_digest:
            raise _unlike("prints of one sheet", f"another sheet in session {other.id} than in {first.id}")
        if _size(first) and _size(other) and _size(first) != _size(other):
            raise _unlike("prints of one size", f"another size in session {other.id} than in {first.id}")
    return found


def regions_of(
    bench: Bench, found: Sequence[Session], wanted: Sequence[str] = (), *, all_of: bool = False
) -> tuple[SheetRegion, ...]:
    """The regions asked for, else the key regions of the use, or all that the prints share.

    Raises UsageProblem for an unknown one.
    """
    known = {region.id: region for region in _common(bench, found)}
    for one in wanted:
        if one not in known:
            raise UsageProblem(NOT_DRAWN, expected=f"a region: {', '.join(known)}", found=quoted(one))
    if wanted:
        return tuple(known[one] for one in dict.fromkeys(wanted))
    if all_of:
        return tuple(known.values())
    made = {session.condition.made_for or "general" for session in found}
    use = made.pop() if len(made) == 1 else "general"
    key = weigh.tables(bench).uses[use].key
    return tuple(one for one in known.values() if one.kind in key and one.whole) or tuple(known.values())[:1]


def refuse_threes(found: Sequence[Session], at_once: int) -> None:
    """Raise UsageProblem for three at a time of fewer than four prints."""
    if at_once == 3 and len(found) < THREES_FROM:
        raise UsageProblem(
            NOT_DRAWN, expected=f"{THREES_FROM} prints for three at a time", found=str(len(found))
        )


def begin(
    bench: Bench,
    ids: Sequence[int],
    *,
    observer: str,
    regions: Sequence[str] = (),
    times: int = 0,
    ask: str = "better",
    at_once: int = 2,
    random: Random | None = None,
) -> tuple[Round, ...]:
    """Draw a round for each region, all or none. `times` each pair is shown; 0: as often as advised.

    `at_once`: two prints lie there, or from four prints on three, and each pair is seen at least so often.

    Raises UsageProblem as `prints_of` and `regions_of`, and where the observer has a round open in a region.
    """
    refuse_read_only(bench)
    found = prints_of(bench, ids)
    chosen = regions_of(bench, found, regions)
    random = random or SystemRandom()
    times = times or advised()
    if not 1 <= times <= MOST_TIMES:
        raise UsageProblem(NOT_DRAWN, expected=f"each pair 1 to {MOST_TIMES} times", found=str(times))
    refuse_threes(found, at_once)
    with bench.archive.joined():
        titles = {region.id: region.title for region in chosen}
        for one in rounds.with_any(bench.archive, ids):
            if one.is_open and one.observer == observer and one.region in titles:
                prints = listed([str(number) for number in sorted(one.sessions)])
                raise UsageProblem(
                    NOT_DRAWN,
                    expected=f"round {one.id} in {lower_first(titles[one.region])} to be ended first",
                    found=f"{one.observer} has it open, of sessions {prints}",
                    remedy="Answer it, or open its letters, which ends it.",
                )
        made = []
        taken = [letter for one in waiting(bench, ids) for letter in one.prints]
        for region in chosen:
            letters, shown = (in_threes if at_once == 3 else drawn)(ids, times, random, taken)
            taken += letters
            made.append(
                rounds.begin(
                    bench.archive,
                    observer=observer,
                    region=region.id,
                    ask=ask,
                    prints=letters,
                    shown=shown,
                    now=bench.now(),
                )
            )
    return tuple(made)


def waiting(bench: Bench, ids: Sequence[int], observer: str | None = None) -> tuple[Round, ...]:
    """Rounds of exactly these prints that wait for answers, of one observer or of all."""
    return tuple(
        one
        for one in rounds.among(bench.archive, ids)
        if one.is_open and one.sessions == set(ids) and observer in (None, one.observer)
    )


def answer(bench: Bench, one: Round, named: Named) -> Round:
    """Keep the answer to the next pair of a round. Raises UsageProblem when all are answered."""
    place = one.next
    if place is None:
        raise UsageProblem("No answer was taken.", found=f"round {one.id}, which has all of its answers")
    return rounds.judge(bench.archive, one.id, place, named, bench.now())


def best_of_three(bench: Bench, one: Round, letter: str) -> Round:
    """Keep which of the three that lie there is best, "" for no difference; the other two are left as a pair.

    Raises UsageProblem where no three wait for it.
    """
    three, place = one.three_at_once, one.next
    if three is None or place is None or letter not in ("", *three):
        raise UsageProblem(
            "No answer was taken.", expected="one of three that lie there", found=quoted(letter)
        )
    answered = one
    with bench.archive.joined():
        for at in range(place, place + 3):
            if not letter or letter in one.pairs[at]:
                named: Named = "none" if not letter else "left" if one.pairs[at][0] == letter else "right"
                answered = rounds.judge(bench.archive, one.id, at, named, bench.now())
    return answered


def take_back(bench: Bench, one: Round, *, unseen: bool = False) -> Round:
    """Take back the last answer of a round that still waits for some; unchanged where there is none.

    `unseen`: all is answered, and nobody was shown the letters yet.
    """
    if one.opened is not None or not (one.is_open or unseen) or not one.answers:
        return one
    taken = one
    with bench.archive.joined():
        for place in _last(one):
            taken = rounds.judge(bench.archive, one.id, place, None, bench.now())
    return taken


def _last(one: Round) -> tuple[int, ...]:
    """Places of the last answer; naming the best of three answered two pairs, finding them alike three."""
    newest = max(one.answers)
    if len(one.shown[0]) == 2:
        return (newest,)
    first = newest - newest % 3
    given = [place for place in range(first, first + 3) if place in one.answers]
    if len(given) < 3:
        return tuple(given)
    named = [_named(one, place) for place in given]
    best = next((letter for letter in named if letter and named.count(letter) == 2), None)
    return tuple(place for place in given if best is None or best not in one.pairs[place])


def _named(one: Round, place: int) -> str:
    left, right = one.pairs[place]
    return {"left": left, "right": right, "none": ""}[one.answers[place]]


def open_letters(bench: Bench, one: Round) -> Round:
    """Open the letters of a round before its last answer, which ends it and is on record."""
    refuse_read_only(bench)
    return rounds.open_letters(bench.archive, one.id, bench.now())


def write_slips(bench: Bench, drawn: Sequence[Round], titles: Mapping[str, str], path: Path) -> None:
    """Write the slips of rounds as PDF. Raises UsageProblem for any other ending, or a name taken."""
    pages.refuse(path, overwrite=False)
    put(path, slips(bench, drawn, titles), pages.NO_PAGES)


def slips(bench: Bench, drawn: Sequence[Round], titles: Mapping[str, str]) -> bytes:
    """The slips of rounds as a PDF."""
    return pages.slips(drawn, titles, papers(bench, (one for each in drawn for one in each.sessions)))


def papers(bench: Bench, ids: Iterable[int]) -> dict[int, str]:
    """The paper of every one of these prints."""
    return {one: sessions.load(bench.archive, one).condition.paper for one in sorted(set(ids))}


def result(bench: Bench, ids: Sequence[int]) -> RoundsResult:
    """What rounds and triangles among these prints say, once their letters are open."""
    every, odd = rounds.among(bench.archive, ids), triangles.among(bench.archive, ids)
    return added_up(every, odd, ids, _titles(bench, ids))


def of_prints(bench: Bench, ids: Sequence[int]) -> tuple[RoundsResult, ...]:
    """What rounds and triangles say in which all of these prints lay; a result for each set of prints."""
    wanted = set(ids)
    ended = [one for one in rounds.with_any(bench.archive, ids) if not one.is_open and one.answers]
    odd = [one for one in triangles.with_any(bench.archive, ids) if not one.is_open]
    sets = dict.fromkeys([*(one.sessions for one in ended), *(frozenset(one.prints) for one in odd)])
    return tuple(
        added_up(
            [one for one in ended if one.sessions == prints],
            [one for one in odd if set(one.prints) == prints],
            sorted(prints),
            _titles(bench, sorted(prints)),
        )
        for prints in sets
        if wanted <= prints or prints <= wanted
    )


def wider(bench: Bench, ids: Sequence[int]) -> tuple[InRegion, ...]:
    """What rounds say of two or more of these prints in which others lay as well: of these prints alone."""
    wanted = frozenset(ids)
    held = [
        one
        for one in rounds.with_any(bench.archive, ids)
        if not one.is_open and one.answers and len(one.sessions & wanted) > 1 and not one.sessions <= wanted
    ]
    return tuple(
        of_these(region, wanted)
        for prints in dict.fromkeys(one.sessions for one in held)
        for region in added_up(
            [one for one in held if one.sessions == prints],
            (),
            sorted(prints),
            _titles(bench, sorted(prints)),
        ).regions
    )


def next_observer(found: RoundsResult) -> str:
    """A role that no observer of these prints has yet: "observer 2" after the first."""
    people = {one.observer for one in found.waiting} | {
        name for region in found.regions for name in region.observers
    }
    return next(role for place in count(1) if (role := f"observer {place}") not in people)


def advised() -> int:
    """How often each pair is shown if nothing else is entered."""
    return int(limit("pair_advised"))


def _titles(bench: Bench, ids: Sequence[int]) -> dict[str, str]:
    sheets = [sheet_of(bench, sessions.load(bench.archive, one)) for one in ids]
    return {region.id: region.title for sheet in sheets for region in sheet.regions}


def _common(bench: Bench, found: Sequence[Session]) -> tuple[SheetRegion, ...]:
    """Regions that every one of the prints has."""
    sheets: list[Sheet] = [sheet_of(bench, session) for session in found]
    shared = set.intersection(*({region.id for region in sheet.regions} for sheet in sheets))
    return tuple(region for region in sheets[0].regions if region.id in shared)


def _size(session: Session) -> tuple[float, float] | None:
    width, height = session.condition.sheet_width_mm, session.condition.sheet_height_mm
    return None if width is None or height is None else (width, height)


def _unlike(expected: str, found: str) -> UsageProblem:
    return UsageProblem(
        NOT_DRAWN, expected=expected, found=found, remedy="Only like can be laid beside like."
    )
