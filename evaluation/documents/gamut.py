"""`drydown gamut --json`."""

from typing import Annotated, Literal, TypedDict

from msgspec import Meta

from evaluation.documents.units import DE00, Sentences, Share, Third


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


class HeldSurface(TypedDict):
    """How much of the published surface colours a setting holds."""

    strongest: Annotated[Share, Meta(description="of the 576 outermost colours")]
    all: Annotated[Share, Meta(description="of the space they enclose, L* 15 to 90")]
    thirds: Annotated[dict[str, Share], Meta(description="of that space, by third of L*")]


class SettingHeld(TypedDict):
    """One setting of a series."""

    name: str
    session: int | None
    sheets: Annotated[int, Meta(description="read; 0 where only its profile speaks")]
    picture_outside: Share | None
    surface_colours: HeldSurface
    volume: Annotated[int, Meta(description="cubic CIELAB units")]


class Cell(TypedDict):
    """The growth of one hue in one third of L*."""

    hue: str
    third: Third
    growth: Annotated[float | None, Meta(description="dE*ab outwards; null where no colour lies")]
    limit: Annotated[float | None, Meta(description="dE*ab that sheets of one setting stay below")]
    word: Literal["within sheets", "measured", "visible", "not visible"] | None
    colours: Annotated[int, Meta(description="of the surface that were averaged")]


class GrowthStep(TypedDict):
    """One setting against another."""

    base: str
    setting: str
    newly_held: Annotated[float | None, Meta(description="share of the picture; below 0 it holds less")]
    mean: Annotated[float | None, Meta(description="dE*ab outwards, over all colours")]
    cells: list[Cell]
    told: Sentences


class Growth(TypedDict):
    """Settings in their order: how far the surface of each lies outside that of another."""

    basis: Annotated[Literal["measured", "promised"], Meta(description="by readings, or by profiles")]
    patches: Annotated[int, Meta(description="read in every setting; 0 where profiles promise")]
    picture: str | None
    settings: list[SettingHeld]
    steps: Annotated[list[GrowthStep], Meta(description="against the first, then against the one before")]
    remarks: Sentences
    tells_not: str


class Gamut(TypedDict):
    """Gamuts of profiles, and what a picture loses in each."""

    picture: Picture | None
    black_point_compensation: bool
    outside_from: Annotated[
        float, Meta(description="dE*ab from the surface, beyond which a colour is outside")
    ]
    profiles: list[OfProfile]
    growth: Annotated[Growth | None, Meta(description="null for one profile, or where a gamut is not known")]
    volume_tells_not: str
