"""`drydown lamp --json`."""

from typing import Annotated, TypedDict

from msgspec import Meta

from evaluation.documents.units import Sentences


class Wavelengths(TypedDict):
    """The spectrum as it was stated, nm; `step` is the widest between two values, null where it is uneven."""

    first: float
    last: float
    step: float | None


class Numbers(TypedDict):
    """What colour-science makes of the spectrum; null: not stated, or too far from white."""

    kelvin: Annotated[float | None, Meta(description="correlated colour temperature")]
    duv: Annotated[float | None, Meta(description="from the Planckian locus, Ohno 2013")]
    from_d50: Annotated[float | None, Meta(description="distance in u', v' of the 10 degree observer")]
    general_rendering: Annotated[float | None, Meta(description="Ra, CIE 13.3")]
    lowest_rendering: Annotated[float | None, Meta(description="lowest of R1 to R8")]
    strong_red: Annotated[float | None, Meta(description="R9")]
    fidelity: Annotated[float | None, Meta(description="Rf, CIE 224")]
    metamerism: Annotated[
        float | None,
        Meta(
            description="dE*ab between a grey of three dyes and a flat one that match under D50 "
            "(ISO 18314-4; the pair is the project's own choice)"
        ),
    ]
    ultraviolet: Annotated[
        float | None, Meta(description="power at 360 to 395 nm as a share of that at 400 to 700 nm")
    ]


class Asked(TypedDict):
    """One thing that ISO 3664 asks of a viewing booth."""

    what: str
    limit: str
    found: float | None
    met: Annotated[bool | None, Meta(description="null where no spectrum can say")]
    instead: Annotated[str, Meta(description="what can say it then")]
    confirmed: Annotated[bool, Meta(description="false for a limit that was recalled, not read")]


class Lamp(TypedDict):
    """What one lamp does to prints."""

    name: str
    what: str
    wavelengths: Wavelengths
    xy: tuple[float, float]
    uv_10: tuple[float, float]
    numbers: Numbers
    rendering: Annotated[list[float], Meta(description="R1 to R14, CIE 13.3")]
    asked: list[Asked]
    remarks: Sentences


class Lamps(TypedDict):
    """Reports on lamps, and what each number leaves open."""

    lamps: list[Lamp]
    tells_not: Annotated[dict[str, str], Meta(description="by number")]


class NamedLight(TypedDict):
    """A light that goes by a name."""

    name: str
    what: str
    kelvin: float | None


class NamedLights(TypedDict):
    """All lights that go by a name, where no lamp was given."""

    lights: list[NamedLight]
