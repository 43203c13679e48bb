"""The shipped tables, derived anew from colour-science: `uv run python -m evaluation.published.make`.

A test compares the kept files with what would be made. A newer colour-science may know more lights or better
values: run it, look at what changed, and keep it.
"""

from collections.abc import Callable, Iterable
from pathlib import Path
from types import ModuleType
from typing import Final

from evaluation.published.colour_science import colour_science

_HERE: Final = Path(__file__).parent
_SHIPPED: Final = (
    *("D50", "D65", "A", "FL11", "LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5"),
    *("LED-BH1", "LED-RGB1", "LED-V1", "LED-V2"),
)
_SKINS: Final = ("dark skin", "light skin")
# What CIE illuminants stand for (CIE 015:2018), by the longest beginning of their names.
_KINDS: Final = {
    "incandescent lamp": ("A",),
    "direct sunlight, no longer a standard": ("B",),
    "average daylight, no longer a standard": ("C",),
    "daylight": ("D",),
    "daylight behind window glass": ("ID",),
    "equal energy": ("E",),
    "fluorescent, standard": ("FL",),
    "fluorescent, broad-band": ("FL7", "FL8", "FL9"),
    "fluorescent, narrow-band": ("FL10", "FL11", "FL12"),
    "fluorescent, three-band": ("FL3.", "FL3.10", "FL3.11"),
    "fluorescent, standard halophosphate": ("FL3.1", "FL3.2", "FL3.3"),
    "fluorescent, de luxe": ("FL3.4", "FL3.5", "FL3.6"),
    "fluorescent, multi-band": ("FL3.12", "FL3.13", "FL3.14"),
    "fluorescent, daylight simulator": ("FL3.15",),
    "high-pressure sodium": ("HP1",),
    "high-pressure sodium, colour enhanced": ("HP2",),
    "metal halide": ("HP",),
    "white LED, blue and phosphor": ("LED-B",),
    "white LED, blue, phosphor and red": ("LED-BH",),
    "white LED, red, green and blue": ("LED-RGB",),
    "white LED, violet and phosphors": ("LED-V",),
}


def tables() -> dict[str, str]:
    """Every table that comes from colour-science: name of the file -> its text."""
    with colour_science() as colour:
        return {name: made(colour) for name, made in TABLES.items()}


def _observer(colour: ModuleType) -> str:
    return _matching(
        colour, "1931", "CIE 1931 2 Degree Standard Observer", "2 degree", "CIE 018:2019 (y is V of lambda)"
    )


def _wide_observer(colour: ModuleType) -> str:
    return _matching(colour, "1964", "CIE 1964 10 Degree Standard Observer", "10 degree", "CIE 015:2018")


def _matching(colour: ModuleType, year: str, name: str, field: str, source: str) -> str:
    matching = colour.MSDS_CMFS[name]
    return _written(
        {
            "title": (
                f"CIE {year} standard colorimetric observer ({field}), colour-matching functions, 1 nm",
            ),
            "source": (
                f"ISO/CIE 11664-1 and {source}; as held in colour-science 0.4.7 under",
                f'"{name}"',
            ),
            "mark": ("READ",),
            "obtained": (
                "by `python -m evaluation.published.make`, 360 to 780 nm of 360 to 830 nm: the range of",
                "ASTM E308; a test compares every value",
            ),
            "units": ("nm, the rest relative (peak of y is 1)",),
        },
        ("nm", "x", "y", "z"),
        ((nm, *matching[float(nm)]) for nm in range(360, 781)),
    )


def _illuminants(colour: ModuleType) -> str:
    lights = [colour.SDS_ILLUMINANTS[name] for name in _SHIPPED]
    return _written(
        {
            "title": ("CIE illuminants, relative spectral power distributions, 5 nm",),
            "source": (
                "CIE 015:2018 (D50, D65, A, FL11 and the typical LED lamps B1 to B5, BH1, RGB1, V1, V2), as",
                "held in colour-science 0.4.7 under these names",
            ),
            "mark": ("READ",),
            "obtained": (
                "by `python -m evaluation.published.make`, 360 to 780 nm; FL11 and the LED lamps are",
                "published from 380 nm only, empty below; a test compares every value",
            ),
            "units": ("nm, the rest relative (D50, D65 and A are 100 at 560 nm)",),
        },
        ("nm", *_SHIPPED),
        (
            (nm, *(light[float(nm)] if light.shape.start <= nm else None for light in lights))
            for nm in range(360, 781, 5)
        ),
    )


def _skins(colour: ModuleType) -> str:
    patches = [colour.SDS_COLOURCHECKERS["ISO 17321-1"][name] for name in _SKINS]
    return _written(
        {
            "title": ("Reflectances of the two skin patches of a 24-patch colour chart",),
            "source": ('ISO 17321-1:2012, as held in colour-science 0.4.7 under "ISO 17321-1"',),
            "mark": ("READ",),
            "obtained": ("by `python -m evaluation.published.make`; a test compares every value",),
            "units": ("nm, reflectance factor (1 = perfect diffuser)",),
        },
        ("nm", *_SKINS),
        ((nm, *(patch[float(nm)] for patch in patches)) for nm in range(380, 781, 5)),
    )


def _names(colour: ModuleType) -> str:
    # Shorter spectra, those of ISO 7589 for film, cannot be judged as a light to look at prints in.
    known = {
        name: light
        for name, light in colour.SDS_ILLUMINANTS.items()
        if light.shape.start <= 380 and light.shape.end >= 780
    }
    return _written(
        {
            "title": ("CIE illuminants that colour-science holds, by name",),
            "source": (
                "CIE 015:2018 for the names and what they stand for; the spectra are those of colour-science",
                "0.4.7, which are fetched from it where a name is asked for",
            ),
            "mark": ("COMPUTED",),
            "obtained": (
                "by `python -m evaluation.published.make`; correlated colour temperature after Ohno 2013, in",
                "steps of 10 K; empty where the light lies more than 0.05 (u, v) from the Planckian locus",
            ),
            "units": ("kelvin",),
        },
        ("name", "what", "kelvin"),
        ((name, _kind(name), _kelvin(colour, light)) for name, light in known.items()),
    )


def _surface(colour: ModuleType) -> str:
    """Pointer's table as it was published: 16 lightnesses, 36 hues each."""
    rows = colour.models.datasets.DATA_POINTER_GAMUT_VOLUME.tolist()
    return _written(
        {
            "title": ("Largest chroma of real surface colours, by lightness and hue, under illuminant C",),
            "source": (
                "M. R. Pointer, The gamut of real surface colours, Color Research and Application 5(3),",
                "1980; as held in colour-science 0.4.7",
            ),
            "mark": ("COMPUTED",),
            "obtained": ("by `python -m evaluation.published.make`",),
            "units": ("L*ab, C*ab; hue angle in degrees",),
        },
        ("lightness", "chroma", "hue"),
        rows,
    )


def _kind(name: str) -> str:
    beginnings = {start: kind for kind, starts in _KINDS.items() for start in starts}
    return beginnings[max((start for start in beginnings if name.startswith(start)), key=len)]


def _kelvin(colour: ModuleType, light: object) -> int | None:
    xyz = colour.sd_to_XYZ(light) / 100
    kelvin, duv = colour.temperature.XYZ_to_CCT_Ohno2013(xyz)
    return None if abs(duv) > 0.05 else 10 * round(float(kelvin) / 10)


def _written(
    passport: dict[str, tuple[str, ...]],
    columns: tuple[str, ...],
    rows: Iterable[tuple[str | float | None, ...]],
) -> str:
    head = [f"# {key}: " + "\n#   ".join(lines) for key, lines in passport.items()]
    cells = [",".join(map(_cell, row)) for row in rows]
    return "\n".join([*head, ",".join(columns), *cells]) + "\n"


def _cell(value: str | float | None) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return f'"{value}"' if "," in value else value
    return f"{round(float(value), 12) + 0.0:.10g}"  # the dust of 1e-21 in the observer's z is 0, and never -0


TABLES: Final[dict[str, Callable[[ModuleType], str]]] = {
    "observer-1931.csv": _observer,
    "observer-1964.csv": _wide_observer,
    "illuminants.csv": _illuminants,
    "chart-skins.csv": _skins,
    "light-names.csv": _names,
    "surface-colours.csv": _surface,
}

if __name__ == "__main__":
    for table, text in tables().items():
        (_HERE / table).write_text(text, encoding="utf-8")
