"""How the eye judged: only what was so is said."""

from dataclasses import replace

import pytest

from evaluation.appendix import content, markdown

LED = "a region's own questions led the eye"
LOOKED = "each region was looked at for its faults"
UNSEEN = "Readings stayed out of sight until then"


def told(case, edition, **changes) -> str:
    viewings = tuple(replace(viewing, **changes) for viewing in case.session.viewings)
    session = replace(case.session, viewings=viewings, revealed={})
    return markdown.render(content.build((replace(case, session=session),), edition))


@pytest.mark.parametrize(("kind", "says", "does_not"), [("full", LED, LOOKED), ("quick", LOOKED, LED)])
def test_each_kind_of_viewing_is_told_as_it_is(case, edition, kind, says, does_not):
    page = told(case, edition, kind=kind, revealed={})
    assert says in page and does_not not in page


def test_that_readings_stayed_out_of_sight_is_said_where_it_is_so(case, edition):
    assert UNSEEN in told(case, edition, revealed={})
    assert UNSEEN not in told(case, edition, revealed={"shadow": case.session.created})
