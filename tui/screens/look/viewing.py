"""Where a viewing stands: its stops in order, and the one to go on with. Pure; Look draws it.

A stop is a question or the list of faults of a region.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from evaluation.session import Session, Viewing
from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.work.look import look

FAULTS: Final = "faults"
TO_LOOK_AGAIN: Final = "to look again"


@dataclass(frozen=True, slots=True)
class Stop:
    """One thing to be asked; `question` is None at the list of faults."""

    region: str
    question: Question | None

    @property
    def id(self) -> str:
        return self.question.id if self.question else FAULTS

    @property
    def name(self) -> str:
        """As the list of a region's answers calls it."""
        return self.question.called if self.question else FAULTS


@dataclass(frozen=True, slots=True)
class Route:
    """All stops of a viewing, region by region in its order."""

    regions: tuple[SheetRegion, ...]
    stops: Mapping[str, tuple[Stop, ...]]
    all: tuple[Stop, ...]

    def place(self, region: str) -> int:
        """Number of a region in this viewing's order, from 1."""
        return [each.id for each in self.regions].index(region) + 1

    def region(self, region_id: str) -> SheetRegion:
        return self.regions[self.place(region_id) - 1]


def route(session: Session, sheet: Sheet) -> Route:
    """The stops of the newest viewing: a region's questions, its faults, then the grade of it as a whole."""
    viewing = session.viewing
    assert viewing is not None
    second = look.names_second_light(session)
    known = {region.id: region for region in sheet.regions}
    regions = tuple(known[each] for each in viewing.region_order if each in known and known[each].questions)
    stops = {}
    for region in regions:
        asked = look.asked(region, viewing.kind, second_light=second)
        found = [Stop(region.id, question) for question in asked if not question.whole_region]
        found += [Stop(region.id, None)] if region.faults else []
        found += [Stop(region.id, question) for question in asked if question.whole_region]
        stops[region.id] = tuple(found)
    regions = tuple(region for region in regions if stops[region.id])
    return Route(regions, stops, tuple(stop for region in regions for stop in stops[region.id]))


def answered(viewing: Viewing, stop: Stop, route: Route) -> bool:
    """Whether a stop needs no answer any more. Faults need none once some, none or a grade was said."""
    if stop.question is not None:
        return (stop.region, stop.question.id) in viewing.answers
    whole = route.region(stop.region).whole
    graded = whole is not None and (stop.region, whole.id) in viewing.answers
    listed = any(fault.region == stop.region for fault in viewing.faults)
    return graded or listed or stop.region in viewing.faultless


def finished(viewing: Viewing, region: SheetRegion) -> bool:
    """Whether a region has its grade as a whole."""
    return region.whole is None or (region.id, region.whole.id) in viewing.answers


def needs(route: Route, region: SheetRegion) -> tuple[bool, frozenset[str]]:
    """What must be at hand for a region: the loupe, and lights beside that of the booth."""
    asked = [stop.question for stop in route.stops[region.id] if stop.question]
    return (
        any(question.distance == "loupe" for question in asked),
        frozenset(question.light for question in asked if question.light),
    )


def resume(viewing: Viewing, route: Route) -> Stop | None:
    """Where a viewing goes on: after the newest answer, else at the first open stop; None at the end."""
    stops = route.all
    open_stops = [stop for stop in stops if not answered(viewing, stop, route)]
    if not open_stops:
        return None
    newest = max(viewing.answers, key=lambda key: viewing.answers[key].at, default=None)
    if newest is not None:
        ids = [(stop.region, stop.id) for stop in stops]
        if newest in ids:
            after = ids.index(newest) + 1
            open_after = [stop for stop in stops[after:] if stop in open_stops]
            if open_after:
                return open_after[0]
    return open_stops[0]


def left_open(viewing: Viewing, route: Route) -> list[tuple[SheetRegion, str]]:
    """Regions that are not finished or marked for a second look, each with why."""
    found = []
    for region in route.regions:
        if not finished(viewing, region):
            found.append((region, "without a grade"))
        elif region.id in viewing.look_again:
            found.append((region, TO_LOOK_AGAIN))
    return found


def grey_key(viewing: Viewing, sheet: Sheet, stop: Stop) -> str:
    """At the last question of a ring-around, the numbers of the fields meant as grey: once all is chosen.

    A short viewing asks for no number; there one chooses first, without writing it down.
    """
    region = sheet.region(stop.region)
    picks = [question for question in region.questions if question.answer == "pick" and not question.light]
    if stop.question is None or not stop.question.whole_region or not picks:
        return ""
    short = viewing.kind == "quick"
    if not short and any((region.id, question.id) not in viewing.answers for question in picks):
        return ""
    centres = [patch for patch in sheet.patches if patch.region == region.id and patch.step == 1]
    told = ", ".join(f"{patch.series} {patch.name}" for patch in centres)
    if not told:
        return ""
    first = "First choose the field of each group that looks grey to you. " if short else ""
    return f"{first}Meant as grey: {told}."
