"""Facts for readers as plain JSON values: `drydown facts --json`."""

from collections.abc import Sequence

from evaluation.documents import facts as shape
from evaluation.facts.paper_fact import PaperFact
from evaluation.telling.facts import Fact


def document(session: int, stated: Sequence[Fact], paper: Sequence[PaperFact]) -> shape.FactsForReaders:
    """All of them, numbers rounded to three decimals."""
    return {
        "session": session,
        "stated": [_stated(one) for one in stated],
        "paper": [_paper(one) for one in paper],
    }


def _stated(one: Fact) -> shape.Stated:
    amount = one.amount
    return {
        "id": one.kind.id,
        "title": one.kind.title,
        "session": one.session,
        "whose": one.kind.whose,
        "value": None if amount is None else round(amount.value, 3),
        "error": None if amount is None or amount.error is None else round(amount.error, 3),
        "unit": None if amount is None else amount.unit,
        "shown": one.shown,
        "parts": dict(one.parts),
        "method": one.method,
        "tells_not": one.tells_not,
    }


def _paper(one: PaperFact) -> shape.OfPaper:
    return {
        "id": one.id,
        "title": one.title,
        "value": None if one.value is None else round(one.value, 3),
        "unit": one.unit,
        "shown": one.shown,
        "condition": one.condition or None,
        "source": one.source,
        "mark": one.mark,
        "tells_not": one.tells_not,
    }
