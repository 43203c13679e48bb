"""An observer's calibration from sessions of their own: the lean of one eye, as weighing.toml takes it."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import covariance, fmean

from evaluation.archive import sessions
from evaluation.documents import settings as shape
from evaluation.errors import UsageProblem
from evaluation.judgement.opinion import Finding
from evaluation.judgement.tables import Tables
from evaluation.session import Session
from evaluation.work.bench import Bench
from evaluation.work.weigh import weigh


@dataclass(frozen=True, slots=True)
class ObserverLean:
    """What sessions of one observer show: the lean, its standard error, and what both rest on.

    spread  of the true grades of a print's regions, in grades; None from fewer than `spread_prints` prints
    """

    observer: str
    lean: float
    error: float
    regions: int
    sessions: tuple[str, ...]
    spread: float | None = None

    def toml(self, name: str, made: date) -> str:
        """As it stands in weighing.toml."""
        uids = ", ".join(f'"{uid}"' for uid in self.sessions)
        lines = (
            f"[calibrations.{_quoted(name)}]",
            f"observer = {_quoted(self.observer)}",
            f"made = {made.isoformat()}",
            f"lean = {self.lean:.2f}",
            f"error = {self.error:.2f}",
            f"regions = {self.regions}",
            *((f"spread = {self.spread:.2f}",) if self.spread is not None else ()),
            f"sessions = [{uids}]",
        )
        return "\n".join(lines) + "\n"


def asked(line: str) -> tuple[str, tuple[str, ...]]:
    """A calibration's name and its sessions, as typed in one line. Raises UsageProblem.

    >>> asked("Ann, booth 2 1 2 5")
    ('Ann, booth', ('2', '1', '2', '5'))
    """
    words = line.split()
    first = len(words)
    while first and words[first - 1].isdecimal():
        first -= 1
    if not first or first == len(words):
        raise UsageProblem(
            "No calibration was worked out.",
            expected="a name, then the numbers of one observer's sessions: booth 1 2 4",
            found=" ".join(words) or "nothing",
            remedy="Type both.",
        )
    return " ".join(words[:first]), tuple(words[first:])


def found(weighed: Sequence[tuple[Session, Sequence[Finding]]], tables: Tables) -> ObserverLean:
    """The lean of the one observer of these sessions, each with its findings.

    Regions count that were graded and read, and where no fault was named. The error takes each print's own
    drift as well. Raises UsageProblem for several observers, fewer than `calibration_prints` prints or
    `calibration_regions` regions.
    """
    observers = sorted({viewing.observer for session, _ in weighed for viewing in session.heard})
    if len(observers) != 1:
        raise UsageProblem(
            "A calibration is of one observer.",
            expected="sessions that one observer looked at",
            found=f"{len(observers)} observers" if observers else "no viewing",
            remedy="Name sessions of one observer.",
        )
    apart: dict[str, list[float]] = defaultdict(list)
    for session, findings in weighed:
        for finding in findings:
            if finding.eye is not None and finding.instrument is not None and not finding.faults:
                apart[session.uid].append(finding.eye.grade - finding.instrument.grade)
    regions = sum(len(own) for own in apart.values())
    prints, least = int(tables["calibration_prints"]), int(tables["calibration_regions"])
    if len(apart) < prints or regions < least:
        raise UsageProblem(
            "This is too little for a calibration.",
            expected=f"{least} regions or more of {prints} prints or more, graded and read, without a fault",
            found=f"{regions} of {len(apart)}",
            remedy="Name more sessions.",
        )
    every = [one for own in apart.values() for one in own]
    lean = fmean(every)
    variance = sum((one - lean) ** 2 for one in every) / (regions - 1) / regions
    error = (variance + tables["eye_drift"] ** 2 / len(apart)) ** 0.5
    return ObserverLean(
        observers[0], lean, error, regions, tuple(apart), spread([each for _, each in weighed], tables)
    )


def spread(prints: Sequence[Sequence[Finding]], tables: Tables) -> float | None:
    """What the true grades of the regions of one print spread by, in grades, from eye and readings of many.

    Their covariance over the regions of a print: what each errs by alone is not in it, and a lean shifts all
    regions alike. Never below `spread_least`; None from fewer than `spread_prints` prints.
    """
    both = [[(one.eye.grade, one.instrument.grade) for one in findings if one.eye and one.instrument]
            for findings in prints]  # fmt: skip
    both = [own for own in both if len(own) > 1]
    if len(both) < tables["spread_prints"]:
        return None
    products = sum((len(own) - 1) * covariance(*zip(*own, strict=True)) for own in both)
    square = products / sum(len(own) - 1 for own in both)
    return float(max(tables["spread_least"], max(square, 0.0) ** 0.5))


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def calibration(bench: Bench, session_ids: Sequence[int]) -> ObserverLean:
    """The lean of the observer of these sessions. Raises UsageProblem where they are too few."""
    in_force = weigh.tables(bench)
    each = [
        (sessions.load(bench.archive, number), weigh.weigh(bench, number).findings) for number in session_ids
    ]
    return found(each, in_force)


def document(name: str, made: date, found: ObserverLean) -> shape.Calibrated:
    """A calibration as plain values, and as text for weighing.toml."""
    return {
        "name": name,
        "observer": found.observer,
        "made": made.isoformat(),
        "lean": round(found.lean, 3),
        "error": round(found.error, 3),
        "regions": found.regions,
        "spread": None if found.spread is None else round(found.spread, 3),
        "sessions": list(found.sessions),
        "toml": found.toml(name, made),
    }
