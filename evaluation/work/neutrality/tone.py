"""The tone wanted of a print, as an aim for its greys: in words, or the readings of another print.

Neutral is the default. Warm and cool say a side, not a number. "Like session 3" takes the readings of that
print: its departure from the grey of its own paper, laid on the grey of this one's.
"""

import re
from typing import Final

import numpy as np

from evaluation.archive import sessions
from evaluation.colorimetry.grey import paper_aim
from evaluation.errors import UsageProblem
from evaluation.judgement.greys import NeutralityRecord
from evaluation.judgement.toning import Family
from evaluation.metrics.cast import counted
from evaluation.metrics.evidence import Array
from evaluation.telling.neutrality import limits
from evaluation.telling.neutrality.prints import Tone
from evaluation.work.bench import Bench

_NEUTRAL: Final = ("", "neutral", "none", "black and white")
_SIDES: Final[dict[str, Family]] = {"warm": "warm", "cool": "cool", "cold": "cool"}
_LIKE: Final = re.compile(
    r"like\s+(?:the\s+)?(?:readings\s+of\s+)?(?:(?:session|print|no\.?)\s+)?(\w+)", re.IGNORECASE
)


def named_session(said: str) -> str:
    """The session that a tone names, as it was typed; "" for a tone that names none.

    >>> named_session("like the readings of session 3"), named_session("warm")
    ('3', '')
    """
    like = _LIKE.fullmatch(" ".join(said.split()).casefold())
    return like[1] if like else ""


def tone(bench: Bench, said: str) -> Tone:
    """What a tone that was entered means."""
    words = " ".join(said.split())
    folded = words.casefold()
    if folded in _NEUTRAL:
        return Tone(words, "neutral")
    if like := named_session(words):
        try:
            reference = sessions.find(bench.archive, like)
        except UsageProblem as problem:
            return Tone(words, "other", caveat=limits.tone_not_found(words, problem.sentence))
        return Tone(words, "like", reference=reference)
    side = next((family for word, family in _SIDES.items() if re.search(rf"\b{word}", folded)), None)
    if side is not None:
        caveat = limits.a_side(side)
        return Tone(words, "side", family=side, caveat=caveat)
    return Tone(words, "other", caveat=limits.no_curve(words))


def curve(reference: NeutralityRecord, own: NeutralityRecord) -> Array | None:
    """(m, 3) absolute CIELAB of the reference's tone on the paper of `own`; None where it has none to give.

    Both records are those against the paper's own grey. The black and steps too noisy for a hue give no tone;
    beyond the last that does, it is held.
    """
    mask = counted(reference.scale)
    if not mask.any():
        return None
    lab = reference.scale.absolute[mask]
    lab = lab[np.argsort(lab[:, 0])]
    shift = lab[:, 1:] - paper_aim(lab[:, 0], np.array(reference.paper))
    L = np.sort(own.scale.absolute[:, 0])
    grey = paper_aim(L, np.array(own.paper))
    laid = np.stack([np.interp(L, lab[:, 0], shift[:, axis]) for axis in (0, 1)], axis=-1)
    return np.column_stack([L, grey + laid])
