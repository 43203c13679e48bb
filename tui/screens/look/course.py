"""A viewing as one goes through it: the stop in hand, the answer in the making, pauses, the way on.

Knows neither keys nor drawing; Look holds one and shows it.
"""

from typing import Literal, Protocol

from evaluation.entry import Entry
from evaluation.session import Session, Viewing
from evaluation.sheet.layout import Sheet, SheetRegion
from evaluation.work.log import Entered
from evaluation.work.look.possible_answers import nameable
from tui.screens.look import viewing
from tui.screens.look.answer import Asking
from tui.screens.look.answer_parts import FaultAsking
from tui.screens.look.answers import asking
from tui.screens.look.viewing import Route, Stop

Mode = Literal["start", "asking", "pause", "finished"]


class Seen(Protocol):
    """Whose newest viewing it is: the session and the sheet as they stand."""

    session: Session
    sheet: Sheet


class Course:
    """`place` is the stop in hand, and `mode` what stands in its place.

    start     no viewing is in hand: one is chosen
    asking    `asked` takes the answer to the stop
    pause     after the last stop of a region, where something is to be made ready, or was left open
    finished  after the last region
    """

    def __init__(self, of: Seen) -> None:
        self._of = of
        self.mode: Mode = "start"
        self.place = 0
        self.route: Route | None = None
        self.asked: Asking | FaultAsking | None = None
        self.finished: SheetRegion | None = None  # a moment ago, without a pause after it

    # Where one stands -------------------------------------------------------------------------------------

    @property
    def viewing(self) -> Viewing:
        found = self._of.session.viewing
        assert found is not None
        return found

    @property
    def begun(self) -> Route:
        """The stops of a viewing that has begun."""
        assert self.route is not None
        return self.route

    @property
    def inside(self) -> bool:
        """Whether a viewing is in hand that has anything to be asked."""
        return self.route is not None and bool(self.route.all)

    @property
    def stop(self) -> Stop:
        return self.begun.all[self.place]

    @property
    def region(self) -> SheetRegion:
        return self.begun.region(self.stop.region)

    def go_on(self) -> None:
        """Stand where the newest viewing stopped."""
        self.route = viewing.route(self._of.session, self._of.sheet)
        stop = viewing.resume(self.viewing, self.route)
        if stop is None:
            self.mode = "finished"
            self.place = max(0, len(self.route.all) - 1)
        else:
            self.stand(self.route.all.index(stop))

    def leave(self) -> None:
        """To the choice of a viewing."""
        self.mode, self.route = "start", None

    def stand(self, place: int) -> None:
        """Stand at a stop, with what was said there before."""
        self.mode, self.place, self.finished = "asking", place, None
        stop = self.stop
        if stop.question is None:
            seen = frozenset(fault.name for fault in self.viewing.faults if fault.region == stop.region)
            none = stop.region in self.viewing.faultless
            self.asked = FaultAsking(self.region.faults, seen, none)
        else:
            answer = self.viewing.answers.get((stop.region, stop.question.id))
            names = nameable(self._of.sheet, self.region)
            self.asked = asking(stop.question, answer.value if answer else None, names)

    # The way on -------------------------------------------------------------------------------------------

    def after(self) -> None:
        """One stop on: the next of the region, after its last that of the region after, or a pause there."""
        if self.stop != self.begun.stops[self.stop.region][-1]:
            self.stand(self.place + 1)
        elif self._rests():
            self.mode = "pause"
        else:
            finished = self.region
            self.go_further()
            self.finished = finished

    @property
    def about(self) -> SheetRegion:
        """The region that a mark or a remark is about: until one goes on, the one that was just finished."""
        return self.finished or self.region

    def go_further(self) -> None:
        """To the region after this one that is not finished; with none left, the viewing is over."""
        after = self.next_region()
        if after is None:
            self.mode = "finished"
        else:
            self.to_region(after.id)

    def _rests(self) -> bool:
        """Whether one pauses here: at a region left open, and before another tool or light."""
        after = self.next_region()
        if not viewing.finished(self.viewing, self.region):
            return True
        if after is None:
            return False
        return viewing.needs(self.begun, after) != viewing.needs(self.begun, self.region)

    def step(self, by: int) -> None:
        """So many stops on or back, over regions and pauses, as far as there are any."""
        self.stand(max(0, min(self.place + by, len(self.begun.all) - 1)))

    def next_region(self) -> SheetRegion | None:
        """The region after this one that is not finished, going round once."""
        order = list(self.begun.regions)
        at = order.index(self.region)
        ahead = [*order[at + 1 :], *order[:at]]
        return next((region for region in ahead if not viewing.finished(self.viewing, region)), None)

    def beside(self, by: int) -> SheetRegion | None:
        """The region so many after or before this one in the order of the viewing."""
        at = self.begun.regions.index(self.region) + by
        return self.begun.regions[at] if 0 <= at < len(self.begun.regions) else None

    def to_region(self, region_id: str, *, first_open: bool = True) -> None:
        """To the first stop of a region, or its first open one."""
        stops = self.begun.stops[region_id]
        open_stops = (each for each in stops if not viewing.answered(self.viewing, each, self.begun))
        stop = next(open_stops, stops[0]) if first_open else stops[0]
        self.stand(self.begun.all.index(stop))

    def anew(self) -> None:
        """After anything was said: the same stop as it stands now, or the region after one that is gone."""
        if self.route is None:
            return
        before, self.route = self.route, viewing.route(self._of.session, self._of.sheet)
        if before.all == self.route.all:
            if self.mode == "asking" and not (self.asked and self.asked.begun):
                self.stand(self.place)
            return
        here = before.all[self.place] if before.all else None
        if here in self.route.all:
            self.place = self.route.all.index(here)
            return
        order = self.viewing.region_order
        at = order.index(here.region) if here else -1
        ahead = [region for region in order[at + 1 :] if region in self.route.stops]
        if ahead:
            self.to_region(ahead[0])
        else:
            self.mode, self.place = "finished", max(0, len(self.route.all) - 1)

    def turned(self, step: Entered) -> None:
        """After an undo or a redo: to the very question it opened again."""
        if self._of.session.viewing is None:
            self.leave()
            return
        if self.route is None:
            return
        entry = step.entries[0]
        region, _, rest = entry.subject.partition("/")
        if entry.kind == "condition":  # regions that the print lacks, or has again
            self.anew()
            back = [each for each in entry.value or () if each in self.route.stops]
            if back:
                self.to_region(back[0])
        elif entry.kind in ("again", "remark"):
            self._rest_at(region)
        else:
            wanted = viewing.FAULTS if entry.kind == "fault" else rest
            for place, stop in enumerate(self.route.all):
                if stop.region == region and stop.id == wanted:
                    self.stand(place)

    def _rest_at(self, region: str) -> None:
        """Stand at the pause of a region, which tells its remark and whether it is looked at again."""
        stops = self.begun.stops.get(region)
        if stops:
            self.mode, self.place = "pause", self.begun.all.index(stops[-1])

    def has(self, entry: Entry) -> bool:
        """Whether one of the stops shows what an entry says."""
        region, _, rest = entry.subject.partition("/")
        if entry.viewing is None or self.route is None:
            return True
        wanted = {"answer": rest, "fault": viewing.FAULTS}.get(entry.kind)
        return any(wanted in (None, stop.id) for stop in self.route.stops.get(region, ()))
