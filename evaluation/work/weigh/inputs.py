"""What a weighing rests on: the session, the settings, and whatever else a person named, by its content.

Nothing else of the archive, of the machine or of the time of day enters a result: the digest of its inputs is
the key under which it is kept and found.
"""

import contextlib
import hashlib
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache

from evaluation.archive import sessions
from evaluation.colorimetry.illuminants import Light
from evaluation.errors import UsageProblem
from evaluation.judgement.opinion import Inputs, Named
from evaluation.judgement.tables import Tables
from evaluation.judgement.weigh import own_inputs
from evaluation.session import Session
from evaluation.work.bench import Bench
from evaluation.work.neutrality.lamps import kept, second_light
from evaluation.work.neutrality.tone import named_session

InputsOf = Callable[[Session], Inputs]


def inputs_of(bench: Bench, in_force: Tables) -> InputsOf:
    """What tells the inputs of any session at this moment; the lamps kept are read at most once for all."""
    lamps = cache(lambda: kept(bench))

    def of(session: Session) -> Inputs:
        light = second_light(session, lamps)
        return replace(
            own_inputs(session, in_force),
            named=tuple(_named(bench, session)),
            light="" if light is None else _digest(light),
        )

    return of


def _named(bench: Bench, session: Session) -> Iterator[Named]:
    """The sessions it names, and those that these name, each once: whether a print was accepted may lean on
    the black of a third.
    """
    seen = {session.id}
    waiting = [session]
    while waiting:
        for number in _numbers(bench, waiting.pop(0)):
            stands = None if number in seen else sessions.standing(bench.archive, number)
            if stands is None:
                continue
            seen.add(number)
            yield Named(number, *stands)
            if not stands[2]:
                waiting.append(sessions.load(bench.archive, number))


def _numbers(bench: Bench, session: Session) -> Iterator[int]:
    """Sessions named for their black, or for their tone."""
    if session.condition.black_from is not None:
        yield session.condition.black_from
    wanted = named_session(session.condition.tone_wanted)
    if wanted.isascii() and wanted.isdigit() and len(wanted) < 19:
        yield int(wanted)
    elif wanted:
        with contextlib.suppress(UsageProblem):
            yield sessions.find(bench.archive, wanted)


def _digest(light: Light) -> str:
    return hashlib.sha256(light.name.encode() + light.power.tobytes()).hexdigest()
