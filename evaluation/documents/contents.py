"""`drydown contents --json`: a file of readings, or an ICC profile."""

from typing import Annotated, Literal, TypedDict

from msgspec import Meta

from evaluation.documents.units import Density, Lab, Moment, Sentences


class Wavelengths(TypedDict):
    """Bands, nm; `step` is null where they are uneven."""

    first: float
    last: float
    step: float | None


class Lightest(TypedDict):
    """The lightest patch, taken for the paper."""

    lab: Lab


class Given(TypedDict):
    """Densities as the instrument gave them, through each filter, with their status by ISO 5-3."""

    status: str
    densities: dict[str, float]


class Darkest(TypedDict):
    """The darkest patch; `given` is null where the file holds no densities."""

    name: str
    lab: Lab
    density: Density | None
    density_basis: str
    given: Given | None


class Black(TypedDict):
    """The patch of no light, or of full ink."""

    density: Density | None
    above_paper: float | None
    density_basis: str | None


class Table(TypedDict):
    """One table of one measurement condition."""

    part: str
    patches: int
    condition: str
    illuminant: str
    observer: str
    paper: Lightest | None
    darkest: Darkest | None
    black: Black | None
    warnings: Sentences


class Held(TypedDict):
    """What readings hold, of a file or inside a profile."""

    format: str
    patches: int
    device_space: str | None
    has_spectra: bool
    wavelengths: Wavelengths | None
    conditions: list[str]
    paper: Lightest | None
    darkest: Darkest | None
    warnings: Sentences
    runs: list[Table]


class Readings(Held):
    """A file of readings."""

    kind: Literal["readings"]


Profile = TypedDict(
    "Profile",
    {
        "kind": Literal["profile"],
        "class": str,
        "device_space": str,
        "pcs": str,
        "version": str,
        "description": str,
        "created": Annotated[Moment, Meta(description="empty where none is stated")],
        "white": Annotated[
            list[float] | None, Meta(description="media white X, Y, Z, of 1 for the perfect diffuser")
        ],
        "intents": Annotated[list[str], Meta(description="that have tables from colour to device")],
        "warnings": Sentences,
        "made_from": Annotated[
            Held | None, Meta(description="the readings that its tags carry; null where they carry none")
        ],
    },
)
Profile.__doc__ = "An ICC profile."
