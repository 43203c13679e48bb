"""What a person says about a file of readings, because the file does not; and what is still to be said.

Nothing is guessed. Where a file leaves something open that changes numbers, reading it raises `OpenQuestions`: on
the command line a refusal that names the options, in the app the question itself.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from evaluation.errors import UsageProblem
from evaluation.readings.run import Condition, PrintedAs

DecimalMark = Literal["point", "comma", "both"]
SpectralScale = Literal["fraction", "percent"]


@dataclass(frozen=True, slots=True)
class Supplied:
    """What the user says about the file. None and "not stated": nothing was said.

    printed_as      through the profile ("managed") or as device values ("unmanaged")
    rgb_scale       the value that means full: 1, 100, 255, 65535; also for single grey columns
    ink_scale       the same for CMYK and more inks: 1, 100, 255
    spectral_scale  reflectance as a fraction of 1 or in percent
    xyz_scale       Y of the perfect diffuser in XYZ columns: 1 or 100
    decimal         the decimal mark, where a file mixes points and commas
    columns         field names for the columns of a table without a known header, first column first;
                    "" leaves a column out
    first_nm, step_nm   wavelength of the first band and distance of bands, where a file does not give them
    by_order        consent to go by the order of the rows, where nothing else tells the patches
    """

    condition: Condition | None = None
    illuminant: str | None = None
    observer: str | None = None
    geometry: str | None = None
    backing: str | None = None
    instrument: str | None = None
    printed_as: PrintedAs = "not stated"
    rgb_scale: float | None = None
    ink_scale: float | None = None
    spectral_scale: SpectralScale | None = None
    xyz_scale: float | None = None
    decimal: DecimalMark | None = None
    columns: tuple[str, ...] = ()
    first_nm: float | None = None
    step_nm: float | None = None
    by_order: bool = False


# How each field is said on the command line. `printed_as` has one option for each answer.
OPTIONS: Final[Mapping[str, str]] = {
    "condition": "--condition",
    "illuminant": "--illuminant",
    "observer": "--observer",
    "geometry": "--geometry",
    "backing": "--backing",
    "instrument": "--instrument",
    "printed_as": "--managed/--unmanaged",
    "rgb_scale": "--rgb-scale",
    "ink_scale": "--ink-scale",
    "spectral_scale": "--spectral-scale",
    "xyz_scale": "--xyz-scale",
    "decimal": "--decimal",
    "columns": "--columns",
    "first_nm": "--first-nm",
    "step_nm": "--step-nm",
    "by_order": "--by-order",
}


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """One question about a file: the field of `Supplied` that answers it, its possible answers, and why."""

    field: str
    question: str
    answers: tuple[str, ...]
    found: str = ""

    @property
    def option(self) -> str:
        """The option with its possible answers, as typed."""
        bare = not self.answers or self.field == "by_order"  # that option takes no value
        return OPTIONS[self.field] if bare else f"{OPTIONS[self.field]} {'|'.join(self.answers)}"


class OpenQuestions(UsageProblem):
    """A file leaves something open that changes numbers. `asks` holds every open question of the file."""

    def __init__(self, where: str, asks: tuple[OpenQuestion, ...]) -> None:
        self.asks = asks
        super().__init__(
            "Nothing was taken in.",
            where=where,
            expected="; ".join(ask.question for ask in asks),
            found="; ".join(dict.fromkeys(ask.found for ask in asks if ask.found)) or "nothing about it",
            remedy=f"Say it with {' and '.join(ask.option for ask in asks)}.",
        )
