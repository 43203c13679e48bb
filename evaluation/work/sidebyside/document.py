"""The result of prints side by side as plain JSON values and as sentences."""

from collections.abc import Mapping, Sequence

from evaluation.documents import sidebyside as shape
from evaluation.judgement.beside import triangle
from evaluation.judgement.beside.result import InRegion, RoundsResult
from evaluation.judgement.beside.scaling import Apart
from evaluation.judgement.beside.triangle import InTriangles
from evaluation.judgement.several import limit
from evaluation.rounds import Round
from evaluation.telling import side_by_side as words
from evaluation.telling import triangle as triangle_words


def told(found: RoundsResult) -> list[str]:
    """What came of it, region by region; nothing before the first round has ended."""
    return [*(line for one in found.regions for line in of_region(one)), *limits(found)]


def limits(found: RoundsResult) -> list[str]:
    """What holds for all regions: letters opened early, what stays open; then what triangles came to."""
    early = words.open_early(found.opened)
    cannot = [words.CANNOT] if found.regions else []
    return [*([early] if early else []), *cannot, *of_triangles(found)]


def waiting(found: RoundsResult, titles: Mapping[str, str]) -> list[str]:
    """Rounds and triangles that wait for answers."""
    return [
        *(words.waiting(one, titles[one.region]) for one in found.waiting),
        *(triangle_words.waiting(one, titles[one.region]) for one in found.lying),
    ]


def remarks(found: RoundsResult) -> list[str]:
    """The notes below all rulers: circles, consistence, letters opened early, what stays open."""
    lines = [line for one in found.regions for line in words.fits(one.circles, one.consistence)]
    return [*lines, *limits(found)]


def of_triangles(found: RoundsResult) -> list[str]:
    """What triangle tests came to, and what they do not tell."""
    lines = [triangle_words.of_region(one) for one in found.triangles]
    return [*lines, triangle_words.ONLY] if lines else []


def of_region(one: InRegion) -> list[str]:
    """What came of it in one region."""
    return words.region(
        one.title, one.ask, one.prints, len(one.observers), one.apart, one.circles, one.consistence
    )


def document(found: RoundsResult, titles: Mapping[str, str]) -> shape.SideBySide:
    """All of it as plain JSON values, rounded."""
    return {
        "sessions": list(found.prints),
        "waiting": [_waiting(one) for one in found.waiting],
        "regions": [_region(one) for one in found.regions],
        "opened_early": [one.id for one in found.opened],
        "triangles": [_triangles(one) for one in found.triangles],
        "told": [*waiting(found, titles), *told(found)],
    }


def triangles(
    count: int, right: int | None, order: Sequence[Sequence[int]], told: Sequence[str]
) -> shape.Triangles:
    """A triangle test as plain JSON values."""
    return {
        "triangles": count,
        "order": [list(one) for one in order],
        "least_right": triangle.least_right(count),
        "right": right,
        "something_to_see": None if right is None else right >= triangle.least_right(count),
        "missed": round(triangle.missed(count), 3),
        "told": list(told),
    }


def _triangles(one: InTriangles) -> shape.TrianglesInRegion:
    return {
        "region": one.region,
        "prints": list(one.prints),
        "observers": list(one.observers),
        "triangles": one.triangles,
        "right": one.right,
        "something_to_see": one.seen,
    }


def _waiting(one: Round) -> shape.WaitingRound:
    return {
        "round": one.id,
        "region": one.region,
        "observer": one.observer,
        "asked": one.ask,
        "letters": sorted(one.prints),
        "answered": len(one.answers),
        "pairs": len(one.pairs),
    }


def _region(one: InRegion) -> shape.BesideInRegion:
    return {
        "region": one.region,
        "asked": one.ask,
        "prints": list(one.prints),
        "observers": list(one.observers),
        "no_difference": one.ties,
        "pairs": [_pair(each, one) for each in one.apart],
        "circles": [list(each) for each in one.circles],
        "consistence": one.consistence if one.consistence is None else round(one.consistence, 3),
    }


def _pair(each: Apart, one: InRegion) -> shape.PairApart:
    figure = not each.order_only and abs(each.by) <= limit("jnd_most")
    return {
        "first": one.prints[each.first],
        "second": one.prints[each.second],
        "judgements": each.judgements,
        "told_apart": each.told_apart and not each.order_only,
        "order_only": each.order_only,
        "by": round(each.by, 2) if figure else None,
        "these_eyes": (round(each.low, 2), round(each.high, 2)) if figure else None,
        "other_eyes": None
        if each.others is None or not figure
        else (round(each.others[0], 2), round(each.others[1], 2)),
        "told": words.pair(each, one.prints, one.ask),
    }
