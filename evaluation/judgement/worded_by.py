"""How a result gets its words: judgement yields what a sentence is made of, and is given who makes it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from evaluation.judgement.caveats import Caveat
from evaluation.judgement.ground import Explain
from evaluation.judgement.opinion import Verdict
from evaluation.judgement.verdict import Decision


@dataclass(frozen=True, slots=True)
class Words:
    """The functions that word a weighing: a finding from what it rests on, a verdict, a caveat."""

    finding: Explain
    verdict: Callable[[Decision], Verdict]
    caveat: Callable[[Caveat], str]


def _bare(decision: Decision) -> Verdict:
    return Verdict(decision.use, decision.word, (), None, decision.share, decision.leading)


# Where the numbers alone are wanted.
WORDLESS: Final = Words(lambda agreement, ground: "", _bare, str)
