"""`drydown gamut --json`."""

from typing import Annotated, Literal, TypedDict

from msgspec import Meta

from evaluation.documents.units import DE00, Sentences, Share


class Picture(TypedDict):
    """The picture that was held against the profiles."""

    file: str
    width: int
    height: int
    space: str
    remarks: Sentences


class Spread(TypedDict):
    """Median and 95th percentile, dE00."""

    median: DE00
    p95: DE00


class OutOfGamut(TypedDict):
    """How much of the picture lies outside; shares are of its blocks of 4 by 4 pixels."""

    outside: Share
    too_dark: Annotated[Share | None, Meta(description="null with black point compensation")]
    lost: Annotated[Spread | None, Meta(description="to what the profile returns for blocks outside")]
    families: Annotated[dict[str, Share], Meta(description="by hue; adds up to outside")]
    thirds: Annotated[dict[str, Share], Meta(description="by third of L*; adds up to outside")]
    noise: Annotated[Spread | None, Meta(description="to what the profile returns for blocks inside")]
    moved_by: Annotated[float | None, Meta(description="median dE00 of all blocks, by the perceptual table")]


class Slice(TypedDict):
    """The outline at one lightness."""

    lightness: float
    hues: Annotated[list[int], Meta(description="degrees")]
    chroma: list[float | None]


class Hue(TypedDict):
    """How far one hue reaches."""

    hue: int
    chroma: Annotated[dict[str, float | None], Meta(description="by lightness")]
    peak: float | None
    peak_lightness: float | None


class OfProfile(TypedDict):
    """One profile; all is empty where its gamut is not known."""

    file: str
    description: str
    gamut: Literal["known", "not known"]
    share: OutOfGamut | None
    slices: list[Slice]
    hues: list[Hue]
    volume: Annotated[int | None, Meta(description="cubic CIELAB units")]
    caveats: Sentences


class Gamut(TypedDict):
    """Gamuts of profiles, and what a picture loses in each."""

    picture: Picture | None
    black_point_compensation: bool
    outside_from: Annotated[
        float, Meta(description="dE*ab from the surface, beyond which a colour is outside")
    ]
    profiles: list[OfProfile]
    volume_tells_not: str
