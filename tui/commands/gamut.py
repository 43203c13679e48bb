"""`drydown gamut`: what profiles hold of a picture, then slices and hues, the volume last."""

from argparse import Namespace
from typing import Final

from evaluation.plain_text import percent
from evaluation.profile.gamut import SLICES
from evaluation.profile.out_of_gamut import Spread
from evaluation.work import gamut, settings
from evaluation.work.gamut import Gamuts, ProfileGamut
from tui.out import Out
from tui.place import settings_path, settings_text

_BARS: Final = "▁▂▃▄▅▆▇█"
_NOTHING: Final = "·"


def run(args: Namespace, out: Out) -> int:
    """First how much of the picture lies outside and where, with the method's own noise beside it."""
    limits = settings.in_force(settings_text(), settings_path().name)
    found = gamut.gamuts(
        args.profiles,
        args.picture,
        compensation=not args.without_compensation,
        distance=limits["gamut_distance"],
        progress=out.progress(),
    )
    if out.as_json:
        out.result(gamut.document(found))
        return 0
    if found.picture is not None:
        _picture(found, out)
    known = [one for one in found.profiles if one.volume is not None]
    if known:
        _slices(known, out)
        _hues(known, out)
    for one in found.profiles:
        for caveat in one.caveats:
            out.line(f"{one.file}: {caveat}")
    if known:
        out.line()
        out.table(
            ("profile", "volume, dE*ab cubed"),
            [(one.file, f"{one.volume:,.0f}") for one in known],
            right=(1,),
        )
        out.line(gamut.VOLUME_TELLS_NOT)
    return 0


def _picture(found: Gamuts, out: Out) -> None:
    picture = found.picture
    assert picture is not None
    black = "black mapped" if found.compensation else "black not mapped"
    out.line(f"Share of this picture outside: {picture.name} ({picture.space}), colorimetric, {black}")
    shares = [(one.file, one.share) for one in found.profiles if one.share is not None]
    heads = [
        "profile",
        "outside",
        "lost dE00, median",
        "95 %",
        "noise, median",
        "95 %",
        "perceptual moves all by",
    ]
    rows: list[tuple[object, ...]] = [
        (name, _percent(share.outside), *_two(share.lost), *_two(share.noise), share.moved_by)
        for name, share in shares
    ]
    if not found.compensation:
        heads.insert(2, "too dark")
        rows = [
            (*row[:2], _percent(share.too_dark), *row[2:])
            for row, (_, share) in zip(rows, shares, strict=True)
        ]
    out.table(heads, rows, right=range(1, len(heads)))
    for name, share in shares:
        for what, parts in (("by hue", share.families), ("by lightness", share.thirds)):
            told = ", ".join(f"{part} {_percent(value)}" for part, value in parts if value >= 0.0005)
            out.line(f"{name}, {what}: {told or 'nothing'}")
    out.line(
        f"Outside: further than {found.distance:g} dE*ab from the profile's surface. Blocks of 4 by 4 pixels "
        "count, so that grain does not. Both are the project's own choice."
    )
    out.line("Noise: what the tables lose on colours that they hold. No gamut explains it.")
    for remark in picture.remarks:
        out.line(remark)
    out.line()


def _slices(known: list[ProfileGamut], out: Out) -> None:
    """The outline at each L* as one line of bars, red at the left; the table below has the numbers."""
    most = max(value or 0.0 for one in known for outline in one.outlines for value in outline)
    out.line(f"C*ab by hue, 0 to 350 degrees, one bar every 10; a full bar is {most:.0f}")
    rows = [
        (f"{lightness:g}", one.file, "".join(_bar(value, most) for value in outline))
        for at, lightness in enumerate(SLICES)
        for one in known
        for outline in (one.outlines[at],)
    ]
    out.table(("L*", "profile", "red    yellow green  cyan   blue   magenta"), rows, right=(0,))
    out.line()


def _bar(value: float | None, most: float) -> str:
    if value is None or most == 0:
        return _NOTHING
    return _BARS[min(int(value / most * len(_BARS)), len(_BARS) - 1)]


def _hues(known: list[ProfileGamut], out: Out) -> None:
    heads = ("hue", "profile", *(f"C* at L* {lightness:g}" for lightness in SLICES), "largest C*", "at L*")
    rows = [
        (f"{rows[0].hue}", one.file, *row.chroma, row.peak, row.peak_lightness)
        for rows in zip(*(one.hues for one in known), strict=True)
        for one, row in zip(known, rows, strict=True)
    ]
    out.table(heads, rows, right=(0, 2, 3, 4, 5, 6))


def _percent(share: float | None) -> str:
    return "-" if share is None else percent(share, 1)


def _two(spread: Spread | None) -> tuple[float | None, float | None]:
    return (None, None) if spread is None else (spread.median, spread.p95)
