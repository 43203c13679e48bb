"""What profiles hold of a picture as a report, then slices and hues, the volume last."""

from typing import Final

from evaluation.judgement.settings_in_order import Series
from evaluation.plain_text import percent, visible
from evaluation.profile.gamut import SLICES
from evaluation.profile.out_of_gamut import BlockSpread
from evaluation.telling import growth as words
from evaluation.telling.table import Table
from evaluation.work.gamut.gamut import Gamuts, ProfileGamut
from tui.reports import Block

_BARS: Final = "▁▂▃▄▅▆▇█"
_NOTHING: Final = "·"


def report(found: Gamuts) -> list[Block]:
    """First how much of the picture lies outside and where, with the method's own noise beside it."""
    known = [one for one in found.profiles if one.volume is not None]
    blocks: list[Block] = [] if found.picture is None else [*_picture(found), ""]
    if found.growth is not None:
        blocks += [*growth(found.growth), ""]
    if known:
        blocks += [*_slices(known), "", _hues(known)]
    blocks += [f"{one.file}: {caveat}" for one in found.profiles for caveat in one.caveats]
    volumes = tuple((one.file, f"{one.volume:,.0f}") for one in known)
    if found.growth is not None and not known:
        volumes = tuple((visible(one.name), f"{one.volume:,.0f}") for one in found.growth.settings)
    if volumes:
        heads = ("profile" if known else "setting", "volume, dE*ab cubed")
        blocks += ["", Table("", heads, volumes, (1,)), words.VOLUME_TELLS_NOT]
    return blocks


def growth(series: Series) -> list[Block]:
    """What each setting brings over the first and over the one before it, then on what that rests."""
    blocks: list[Block] = ["How far each reaches beyond another, in the order named, the first as base"]
    for step in series.steps:
        blocks += ["", *words.step_words(series, step), words.growth_table(series, step)]
    return [*blocks, "", words.held_table(series), "", *words.basis(series), words.TELLS_NOT]


def _picture(found: Gamuts) -> list[Block]:
    picture = found.picture
    assert picture is not None
    black = "black mapped" if found.compensation else "black not mapped"
    shares = [(one.file, one.share) for one in found.profiles if one.share is not None]
    heads = ["profile", "outside", "lost dE00, median", "95 %", "noise, median", "95 %"]
    heads.append("perceptual moves all by")
    rows = [
        (name, _percent(share.outside), *_two(share.lost), *_two(share.noise), _one(share.moved_by))
        for name, share in shares
    ]
    if not found.compensation:
        heads.insert(2, "too dark")
        rows = [
            (*row[:2], _percent(share.too_dark), *row[2:])
            for row, (_, share) in zip(rows, shares, strict=True)
        ]
    blocks: list[Block] = [
        f"Share of this picture outside: {picture.name} ({picture.space}), colorimetric, {black}",
        Table("", tuple(heads), tuple(rows), tuple(range(1, len(heads)))),
    ]
    for name, share in shares:
        for what, parts in (("by hue", share.families), ("by lightness", share.thirds)):
            told = ", ".join(f"{part} {_percent(value)}" for part, value in parts if value >= 0.0005)
            blocks.append(f"{name}, {what}: {told or 'nothing'}")
    return [
        *blocks,
        f"Outside: further than {found.distance:g} dE*ab from the profile's surface. Blocks of 4 by 4 pixels "
        "count, so that grain does not. Both are the project's own choice.",
        "Noise: what the tables lose on colours that they hold. No gamut explains it.",
        *picture.remarks,
    ]


def _slices(known: list[ProfileGamut]) -> list[Block]:
    """The outline at each L* as one line of bars, red at the left; the table below has the numbers."""
    most = max(value or 0.0 for one in known for outline in one.outlines for value in outline)
    rows = tuple(
        (f"{lightness:g}", one.file, "".join(_bar(value, most) for value in one.outlines[at]))
        for at, lightness in enumerate(SLICES)
        for one in known
    )
    heads = ("L*", "profile", "red    yellow green  cyan   blue   magenta")
    return [
        f"C*ab by hue, 0 to 350 degrees, one bar every 10; a full bar is {most:.0f}",
        Table("", heads, rows, (0,)),
    ]


def _bar(value: float | None, most: float) -> str:
    if value is None or most == 0:
        return _NOTHING
    return _BARS[min(int(value / most * len(_BARS)), len(_BARS) - 1)]


def _hues(known: list[ProfileGamut]) -> Table:
    heads = ("hue", "profile", *(f"C* at L* {lightness:g}" for lightness in SLICES), "largest C*", "at L*")
    rows = tuple(
        (f"{each[0].hue}", one.file, *map(_one, row.chroma), _one(row.peak), _one(row.peak_lightness))
        for each in zip(*(one.hues for one in known), strict=True)
        for one, row in zip(known, each, strict=True)
    )
    return Table("", heads, rows, (0, *range(2, len(heads))))


def _percent(share: float | None) -> str:
    return "-" if share is None else percent(share, 1)


def _one(value: float | None) -> str:
    return "-" if value is None else f"{value:.1f}"


def _two(spread: BlockSpread | None) -> tuple[str, str]:
    return ("-", "-") if spread is None else (_one(spread.median), _one(spread.p95))
