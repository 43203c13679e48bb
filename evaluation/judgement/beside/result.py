"""What rounds of prints side by side add up to, region by region."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from evaluation.judgement.beside import circles, scaling, triangle
from evaluation.judgement.beside.scaling import Apart
from evaluation.judgement.beside.triangle import InTriangles
from evaluation.rounds import Round, Triangles

Counts = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class InRegion:
    """What the answers in one region add up to; prints by session, `apart` by place in `prints`.

    rounds  that ended, with their letters
    wins    how often the print of the row was named before that of the column, by place in `prints`
    tied    how often neither was named, likewise; symmetric
    """

    region: str
    title: str
    ask: str
    prints: tuple[int, ...]
    rounds: tuple[Round, ...]
    wins: Counts
    tied: Counts
    apart: tuple[Apart, ...]
    circles: tuple[tuple[int, int, int], ...]  # sessions
    consistence: float | None

    @property
    def observers(self) -> tuple[str, ...]:
        """Who judged, each once, in order."""
        return tuple(dict.fromkeys(one.observer for one in self.rounds))

    @property
    def ties(self) -> int:
        """Answers that named neither."""
        return sum(map(sum, self.tied)) // 2


@dataclass(frozen=True, slots=True)
class RoundsResult:
    """All rounds and triangles of some prints: rounds that wait for answers, and what the rest say."""

    prints: tuple[int, ...]
    waiting: tuple[Round, ...]
    regions: tuple[InRegion, ...]
    opened: tuple[Round, ...]  # before their last answer
    triangles: tuple[InTriangles, ...] = ()
    lying: tuple[Triangles, ...] = ()  # that wait for answers


def added_up(
    every: Sequence[Round], odd: Sequence[Triangles], ids: Sequence[int], titles: Mapping[str, str]
) -> RoundsResult:
    """The result of what has all its prints among `ids`; rounds and triangles that wait say nothing yet."""
    places: dict[tuple[str, str], list[Round]] = {}
    for one in every:
        if not one.is_open and one.answers:
            places.setdefault((one.region, one.ask), []).append(one)
    return RoundsResult(
        tuple(ids),
        tuple(one for one in every if one.is_open),
        tuple(_in_region(titles.get(key[0], key[0]), own, ids) for key, own in places.items()),
        tuple(one for one in every if one.opened is not None),
        triangle.added_up(odd, titles),
        tuple(one for one in odd if one.is_open),
    )


def _in_region(title: str, own: Sequence[Round], ids: Sequence[int]) -> InRegion:
    prints = tuple(one for one in ids if any(one in each.sessions for each in own))
    people = dict.fromkeys(one.observer for one in own)
    each = [[said for one in own if one.observer == who for said in one.judged] for who in people]
    tables = scaling.counted(prints, each)
    wins, ties = (of.sum(0) for of in tables)
    return InRegion(
        own[0].region,
        title,
        own[0].ask,
        prints,
        tuple(own),
        tuple(tuple(map(int, row)) for row in wins),
        tuple(tuple(map(int, row)) for row in ties),
        scaling.scaled(*tables),
        tuple((prints[a], prints[b], prints[c]) for a, b, c in circles.circles(wins)),
        circles.consistence(wins),
    )


def of_these(region: InRegion, wanted: Collection[int]) -> InRegion:
    """A region with the pairs and circles of the `wanted` prints alone; how far apart they are rests on all
    that lay there.
    """
    places = {place for place, one in enumerate(region.prints) if one in wanted}
    return replace(
        region,
        apart=tuple(one for one in region.apart if {one.first, one.second} <= places),
        circles=tuple(each for each in region.circles if set(each) <= set(wanted)),
        consistence=None,
    )
