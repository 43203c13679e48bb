"""How likely it is that all is done in time: the rule run many times over, its upsets drawn anew."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from evaluation.planning.steps import DAY, PRINTED, STEPS, UNBEGUN, VIEWED, Chain, Times, unbegun, work

TIMES: Final = 200  # replays; a share near one half is then known to 0.07, two standard errors
_SEED: Final = 1979  # the same plan has the same share, whoever asks
_HOPELESS: Final = 0.5  # three standard deviations below the mean: all of it in half of its time
_SHORTEST: Final = 0.2  # of the usual time, whatever is drawn
_NEVER: Final = np.float32(1e9)
_NONE: Final = np.int32(1 << 30)


@dataclass(frozen=True, slots=True)
class Upsets:
    """What goes wrong with a usual loan; project's own choice.

    lost_days  whole open days without any work, of a loan of `in_days` open days
    longer     by what share all takes longer than thought, on the whole; set by a study of four loans
    common     by what share all times are off together besides, one standard deviation
    each       by what share every single one is off besides that
    """

    lost_days: float = 2.0
    in_days: float = 18.0
    longer: float = 0.15
    common: float = 0.20
    each: float = 0.25


REALISTIC: Final = Upsets()


def share_done(
    chains: Sequence[Chain],
    windows: Sequence[tuple[float, float]],
    times: Times,
    *,
    loaded: int | None = None,
    seen: int = 0,
    upsets: Upsets = REALISTIC,
    replays: int = TIMES,
    seed: int = _SEED,
) -> float:
    """The share of replays in which every step is done before the last window closes, 0 to 1.

    Arguments as of `rule.laid`. Its standard error is sqrt(share (1 - share) / replays).
    """
    left = [chain for chain in chains if chain.steps]
    if not left:
        return 1.0
    if work(left, times) * _HOPELESS > sum(to - since for since, to in windows):
        return 0.0
    run = _Replays(left, windows, times, loaded, seen, upsets, replays, np.random.default_rng(seed))
    return run.share()


class _Replays:
    """All replays at once: arrays over (replay, paper, setting); what a paper lacks has no steps."""

    def __init__(
        self,
        chains: Sequence[Chain],
        windows: Sequence[tuple[float, float]],
        times: Times,
        loaded: int | None,
        seen: int,
        upsets: Upsets,
        replays: int,
        random: np.random.Generator,
    ) -> None:
        papers = {paper: place for place, paper in enumerate(dict.fromkeys(one.paper for one in chains))}
        rows: list[list[Chain]] = [[] for _ in papers]
        for one in chains:
            rows[papers[one.paper]].append(one)
        self.wide = max(map(len, rows))
        shape = (replays, len(rows), self.wide)
        most = max(len(one.steps) for one in chains)
        takes = np.full((*shape[1:], most + 1), _NEVER, np.float32)
        self.prints = np.zeros((*shape[1:], most + 1), bool)
        self.views = np.zeros((*shape[1:], most + 1), bool)
        self.many = np.zeros(shape[1:], np.int32)
        self.ready = np.zeros(shape, np.float32)
        for row, own in enumerate(rows):
            for column, one in enumerate(own):
                self.many[row, column] = len(one.steps)
                self.ready[:, row, column] = one.ready
                for place, step in enumerate(one.steps):
                    takes[row, column, place] = one.takes(step, times)
                    self.prints[row, column, place] = step in PRINTED
                    self.views[row, column, place] = step in VIEWED
        common = random.normal(1.0 + upsets.longer, upsets.common, (replays, 1, 1, 1)).clip(_SHORTEST)
        each = random.normal(1.0, upsets.each, (replays, *takes.shape)).clip(_SHORTEST)
        self.takes = (takes * common * each).astype(np.float32)
        self.change = (times.change * common[:, 0, 0, 0]).astype(np.float32)
        self.dry = np.float32(times.dry)
        self.most_seen = times.viewings_a_day
        self.at = np.zeros(shape, np.int32)
        self.of_paper = np.broadcast_to(self.many.sum(1, dtype=np.int32), shape[:2]).copy()
        new = unbegun(chains)
        self.fresh = np.broadcast_to([paper in new for paper in papers], shape[:2]).copy()
        self.loaded = np.full(replays, papers.get(-1 if loaded is None else loaded, -1))
        self.seen = np.full(replays, seen)
        self.key = np.full(shape, _NONE, np.int32)
        self.need = np.full(shape, _NEVER, np.float32)
        self.view = np.zeros(shape, bool)
        self._windows(windows, upsets, random)
        every = np.arange(replays)
        for row in range(len(rows)):
            self._renew(every, np.full(replays, row))

    def _windows(
        self, windows: Sequence[tuple[float, float]], upsets: Upsets, random: np.random.Generator
    ) -> None:
        """The windows of each replay without its lost days, one that never opens behind them."""
        replays = len(self.loaded)
        expected = min(len(windows), upsets.lost_days * len(windows) / upsets.in_days)
        lost = int(expected) + (random.random(replays) < expected % 1)
        order = random.random((replays, len(windows))).argsort(1).argsort(1)
        kept = np.argsort(order < lost[:, None], axis=1, kind="stable")  # those that stay, in order
        bounds = np.array(windows, np.float32)[kept]
        bounds[np.arange(len(windows)) >= (len(windows) - lost)[:, None]] = _NEVER
        self.bounds = np.concatenate([bounds, np.full((replays, 1, 2), _NEVER, np.float32)], axis=1)
        self.window = np.zeros(replays, np.int64)
        self.first_day = np.float32(windows[0][0] // DAY)
        self.now = self.bounds[:, 0, 0].copy()
        self.close = self.bounds[:, 0, 1].copy()
        self.seen[self.now // np.float32(DAY) != self.first_day] = 0

    def share(self) -> float:
        """Let every replay act, wait or go on to its next day, until none can."""
        replays = len(self.now)
        flat = (replays, -1)
        while True:
            live = self.now < _NEVER
            live &= self.of_paper.any(1)
            if not live.any():
                break
            able = self.ready <= self.now[:, None, None]
            able &= self.need <= (self.close - self.now)[:, None, None]
            full = self.seen >= self.most_seen
            if full.any():
                able[full] &= ~self.view[full]
            keys = np.where(able, self.key, _NONE).reshape(flat)
            best = keys.argmin(1)
            acts = live & (keys[np.arange(replays), best] < _NONE)
            if acts.any():
                self._act(np.flatnonzero(acts), best[acts])
            idle = np.flatnonzero(live & ~acts)
            if len(idle):
                self._wait(idle)
        return float((~self.of_paper.any(1)).mean())

    def _act(self, rows: npt.NDArray[np.int64], best: npt.NDArray[np.int64]) -> None:
        paper, column = best // self.wide, best % self.wide
        here = rows, paper, column
        step = self.at[here]
        printed = self.prints[paper, column, step]
        self.now[rows] += self.need[here]
        self.seen[rows] += self.views[paper, column, step]
        self.at[here] = step + 1
        self.of_paper[rows, paper] -= 1
        self.fresh[rows, paper] = False
        self.ready[here] = self.now[rows] + np.where(printed, self.dry, np.float32(0))
        before = self.loaded[rows]
        other = printed & (before != paper)
        self.loaded[rows[other]] = paper[other]
        self._renew(rows, paper)
        out = other & (before >= 0)
        if out.any():
            self._renew(rows[out], before[out])

    def _wait(self, rows: npt.NDArray[np.int64]) -> None:
        now = self.now[rows]
        later = self.ready[rows].reshape(len(rows), -1)
        open_ = (self.at[rows] < self.many).reshape(len(rows), -1)
        soonest = np.where(open_ & (later > now[:, None]), later, _NEVER).min(1)
        same_day = soonest < self.close[rows]
        self.now[rows[same_day]] = soonest[same_day]
        rows = rows[~same_day]
        day = self.now[rows] // np.float32(DAY)
        self.window[rows] = np.minimum(self.window[rows] + 1, self.bounds.shape[1] - 1)
        bounds = self.bounds[rows, self.window[rows]]
        self.now[rows], self.close[rows] = bounds[:, 0], bounds[:, 1]
        self.seen[rows[bounds[:, 0] // np.float32(DAY) != day]] = 0

    def _renew(self, rows: npt.NDArray[np.int64], papers: npt.NDArray[np.int64]) -> None:
        """Key, minutes and kind of the next step, for one paper of each of these replays."""
        at = self.at[rows, papers]
        columns = np.arange(self.wide)
        place = papers[:, None], columns, at
        prints = self.prints[place]
        changed = prints & (self.loaded[rows] != papers)[:, None]
        takes = self.takes[rows[:, None], papers[:, None], columns, at]
        self.need[rows, papers] = takes + changed * self.change[rows, None]
        self.view[rows, papers] = self.views[place]
        left = np.where(self.fresh[rows, papers], UNBEGUN, self.of_paper[rows, papers])
        key = ((~prints).astype(np.int32) * 2 + changed) * 4096 + left[:, None].astype(np.int32)
        key = (key * 8 + (self.many[papers] - at)) * self.key[0].size
        self.key[rows, papers] = key + papers[:, None] * self.wide + columns


assert len(STEPS) < 8  # steps of a chain in a key
