"""The nouns of judgement: the grades of eye and instrument, how far they agree, and what follows."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import astuple, dataclass, field
from typing import Final, Literal, get_args

from evaluation.metrics.evidence import Metric
from evaluation.metrics.stages import PaperChange, Stage
from evaluation.profile.fit import Fit

Agreement = Literal["agree", "disagree", "eye only", "instrument only", "not graded yet", "none", "left out"]
VerdictWord = Literal["accepted", "accepted with remarks", "not accepted", "undecided", "incomplete"]
VERDICT_WORDS: Final[tuple[VerdictWord, ...]] = get_args(VerdictWord)


@dataclass(frozen=True, slots=True)
class Opinion:
    """A grade on the 5..1 scale with one standard error.

    count  viewings (eye), readings behind the key metrics (instrument)
    basis  a phrase for people: "2 viewings of one observer", "evenness, cast by third"
    observers  who graded, by role; () where no eye is behind it
    """

    grade: float
    spread: float
    count: int
    basis: str
    observers: tuple[str, ...] = field(default=(), metadata={"since": "rules 6"})


@dataclass(frozen=True, slots=True)
class Lean:
    """By how many grades an observer, by role, lies above the readings throughout, and the error of that."""

    observer: str
    value: float
    error: float


@dataclass(frozen=True, slots=True)
class Pair:
    """Question and metric of one attribute, as grades; `agree`: within what both spreads explain."""

    question: str
    metric: str
    eye: float
    instrument: float
    agree: bool


@dataclass(frozen=True, slots=True)
class Finding:
    """A region's result. `combined` is None where the two disagree or neither spoke."""

    region: str
    title: str
    kind: str
    eye: Opinion | None
    instrument: Opinion | None
    agreement: Agreement
    combined: Opinion | None
    why: str
    metrics: tuple[Metric, ...] = ()
    pairs: tuple[Pair, ...] = ()
    faults: tuple[str, ...] = ()
    viewings: int = 0
    steps: tuple[Stage, ...] = ()  # from aim over expected to measured, with a profile


@dataclass(frozen=True, slots=True)
class Verdict:
    """A session's result for a use.

    leading  the word that the draws give most often, whether or not it stands; None when incomplete
    share    of the draws that give it
    told     the word as people read it, with how sure it is: "accepted, about 9 in 10"; "" for the bare word
    """

    use: str
    verdict: VerdictWord
    reasons: tuple[str, ...]
    would_decide: str | None = None
    share: float | None = None
    leading: VerdictWord | None = field(default=None, metadata={"since": "rules 6"})
    told: str = field(default="", metadata={"since": "rules 6"})

    @property
    def words(self) -> str:
        """The word as people read it."""
        return self.told or self.verdict


@dataclass(frozen=True, slots=True)
class Cause:
    """A suspicion: what speaks for it, what against, what to check first and its cost.

    `text` follows the words "may be" wherever it is shown: "the print is not dry yet".
    """

    id: str
    text: str
    weight: float
    evidence_for: tuple[str, ...]
    evidence_against: tuple[str, ...]
    first_check: str
    cost: str


@dataclass(frozen=True, slots=True)
class Named:
    """Another session that a result rests on, since a person named it, at its revision of then.

    `removed`: it was off the list, so nothing was taken from it.
    """

    session: int
    uid: str
    revision: int
    removed: bool


@dataclass(frozen=True, slots=True)
class Inputs:
    """Everything a weighing rests on, by its content: the same inputs give the same weighing, bit for bit.

    rules     version of the rules, `judgement.rules.RULES`
    settings  digest of the tables in force
    session   its uid and its revision: every entry and reading in it
    sheet     digest of the map; `profile` that of the profile, "" without one
    named     sessions whose black or tone was named, and those that these name in turn
    light     digest of the second light's spectrum, "" where none is known
    """

    rules: int
    settings: str
    session: str
    sheet: str
    profile: str = ""
    named: tuple[Named, ...] = ()
    light: str = ""

    @property
    def digest(self) -> str:
        """Under which a result is kept, and found again: sha256 over all of it."""
        named = [astuple(one) for one in self.named]
        parts = (self.rules, self.settings, self.session, self.sheet, self.profile, named, self.light)
        return hashlib.sha256(json.dumps(parts).encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class Weighing:
    """Everything a session's answers and readings amount to, in full precision. Not yet gated.

    Every screen, command and page takes the same one, and rounds when it makes text of it.
    """

    session: int
    revision: int
    inputs: Inputs
    findings: tuple[Finding, ...]
    verdicts: Mapping[str, Verdict]
    causes: tuple[Cause, ...] = ()
    caveats: tuple[str, ...] = ()
    paper: PaperChange | None = None  # the profile's paper and the one read: shown before any step
    fit: Fit | None = None  # the profile against the readings it was made from, where these were taken in
    print_step: tuple[Metric, ...] = ()  # expected to measured over the whole sheet: mean, 95th percentile

    @property
    def settings_digest(self) -> str:
        """Of the tables it was weighed with."""
        return self.inputs.settings
