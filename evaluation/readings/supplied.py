"""Facts about a file of readings that its user supplies because the file does not state them.

Nothing is guessed. Where a file leaves something open that changes numbers, reading it raises
`OpenQuestions`: on the command line a refusal that names the options, in the app the questions themselves.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final, Literal

from evaluation.errors import FileProblem, UsageProblem
from evaluation.plain_text import quoted
from evaluation.published.limits import limit
from evaluation.readings.run import Condition, PrintedAs

DecimalMark = Literal["point", "comma", "both"]
SpectralScale = Literal["fraction", "percent", "thousandths"]
_LEAST: Final = limit("supplied_least")
_MOST: Final = limit("supplied_most")


@dataclass(frozen=True, slots=True)
class Supplied:
    """What the user states about a file; None, "not stated", () and False where nothing was supplied.

    Attributes
    ----------
    condition, illuminant, observer, geometry, backing, instrument, measured_at, made_profile
        As in `run.Stated`.
    printed_as
        Through the profile ("managed") or as device values, for profiling ("unmanaged").
    rgb_scale
        The value that means full light in RGB and grey columns: 1, 100, 255, 65535.
    ink_scale
        The value that means full ink in CMYK and other ink columns: 1, 100, 255.
    spectral_scale
        Whether reflectance factors are fractions of 1, percent or thousandths.
    xyz_scale
        Y of the perfect diffuser in XYZ columns: 1 or 100.
    decimal
        The decimal mark, where a file mixes points and commas.
    columns
        Field names for a table without a header that is known, first column first; "" leaves a column out.
    first_nm, step_nm
        Wavelength of the first band and distance between bands, nm, where the file gives neither.
    device_list
        The file that lists what was printed, where the readings are in another.
    by_order
        Consent to match rows by their order, where nothing else identifies the patches.
    anyway
        Consent to a file that speaks of another print than the session's.
    """

    condition: Condition | None = None
    illuminant: str | None = None
    observer: str | None = None
    geometry: str | None = None
    backing: str | None = None
    instrument: str | None = None
    measured_at: datetime | None = None
    made_profile: bool | None = None
    printed_as: PrintedAs = "not stated"
    rgb_scale: float | None = None
    ink_scale: float | None = None
    spectral_scale: SpectralScale | None = None
    xyz_scale: float | None = None
    decimal: DecimalMark | None = None
    columns: tuple[str, ...] = ()
    first_nm: float | None = None
    step_nm: float | None = None
    device_list: Path | None = None
    by_order: bool = False
    anyway: bool = False

    def __post_init__(self) -> None:
        """Raises UsageProblem for a number that no scale and no wavelength has."""
        for field in ("rgb_scale", "ink_scale", "xyz_scale", "first_nm", "step_nm"):
            value = getattr(self, field)
            if value is not None and not _LEAST <= value <= _MOST:
                raise UsageProblem(
                    "Nothing was taken in.",
                    where=OPTIONS[field],
                    expected=f"a number from {_LEAST:g} to {_MOST:,.0f}",
                    found=f"{value:g}",
                )


# The option that supplies each field on the command line. `printed_as` has one for each answer.
OPTIONS: Final[Mapping[str, str]] = {
    "condition": "--condition",
    "illuminant": "--illuminant",
    "observer": "--observer",
    "geometry": "--geometry",
    "backing": "--backing",
    "instrument": "--instrument",
    "measured_at": "--measured-at",
    "made_profile": "--made-from-these",
    "printed_as": "--managed/--unmanaged",
    "rgb_scale": "--rgb-scale",
    "ink_scale": "--ink-scale",
    "spectral_scale": "--spectral-scale",
    "xyz_scale": "--xyz-scale",
    "decimal": "--decimal",
    "columns": "--columns",
    "first_nm": "--first-nm",
    "step_nm": "--step-nm",
    "device_list": "--with",
    "by_order": "--by-order",
    "anyway": "--anyway",
}


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """A fact that a file leaves open and that changes numbers.

    field     the field of `Supplied` that answers it
    question  what is missing, a noun phrase: "the scale of the RGB values"
    answers   the possible answers; () where any text will do
    found     what the file has in its place
    """

    field: str
    question: str
    answers: tuple[str, ...]
    found: str = ""

    @property
    def option(self) -> str:
        """The option with its possible answers, as typed."""
        bare = not self.answers or self.field in ("by_order", "anyway")  # these options take no value
        return OPTIONS[self.field] if bare else f"{OPTIONS[self.field]} {'|'.join(self.answers)}"


class OpenQuestions(UsageProblem):
    """A file leaves something open that changes numbers; `questions` holds all that is open in it."""

    def __init__(self, where: str, questions: tuple[OpenQuestion, ...]) -> None:
        self.questions = questions
        super().__init__(
            "Nothing was taken in.",
            where=where,
            expected="; ".join(open_.question for open_ in questions),
            found="; ".join(dict.fromkeys(open_.found for open_ in questions if open_.found))
            or "nothing about it",
            remedy=f"State it with {' and '.join(open_.option for open_ in questions)}.",
        )


class Doubtful(FileProblem):
    """A file is refused as it is; each of `questions` is something a person may say that lets it be read."""

    def __init__(
        self,
        what: str,
        questions: tuple[OpenQuestion, ...],
        *,
        where: str,
        expected: str,
        found: str,
        remedy: str,
    ) -> None:
        self.questions = questions
        super().__init__(what, where=where, expected=expected, found=found, remedy=remedy)


_STATE_IT: Final = "; state it with "
_MEASURED_AT: Final = f"{_STATE_IT}{OPTIONS['measured_at']}"


def open_remark(question: OpenQuestion) -> str:
    """A remark on an open question whose values were left out, where a file is only looked at."""
    return f"{question.question} not stated, {question.found}{_STATE_IT}{question.option}"


def is_open(remark: str) -> bool:
    """Whether a remark names something that was left out until it is supplied."""
    return _STATE_IT in remark


def unanswered(remarks: Sequence[str], supplied: Supplied) -> tuple[str, ...]:
    """Remarks without those that ask to state a date which a person has stated."""
    return tuple(line for line in remarks if supplied.measured_at is None or not line.endswith(_MEASURED_AT))


def unstated_remark(fact: str, field: str) -> str:
    """A remark on something that was not stated and changes no number by itself."""
    return f"{fact} not stated{_STATE_IT}{OPTIONS[field]}"


def date_remark(text: str) -> str:
    """A remark on a date that names no day, or of which day and month could be mistaken for each other."""
    return f"date of measurement stated as {quoted(text)}, which names no day{_MEASURED_AT}"
