"""What the campaign starts from: sound files of every kind, small and made once."""

import io
import re
import sqlite3
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

import numpy as np
import pyvips
from PIL import Image

from evaluation.profile.matrix_profile import matrix_profile
from tests.profile.carrying import table
from tests.profile.mutate import SOUND
from tests.profile.probes import four_inks_mixed
from tests.readings.test_cxf import cxf, item, lab
from tests.readings.test_cxf_inks_and_places import inks
from tests.readings.test_odd_tables import down
from tests.readings.test_robustness import SEEDS
from tui.cli import main

ROOT: Final = Path(__file__).parents[2]
CHART_MAP: Final = (ROOT / "tests/sheet/data/chart-24.toml").read_text("utf-8")
CHART: Final = (ROOT / "tests/sheet/data/chart-24.txt").read_bytes()
CHART_GRADES: Final = '[viewing]\nobserver = "observer 1"\n' + "".join(
    f"[{region}]\noverall = 4\n" for region in ("neutral", "skin", "saturation")
)

_POINTS: Final = (
    '<CustomSpectrum ColorSpecification="cs">'
    + "".join(f'<SpectralPoint WL="{nm}">0.{nm}</SpectralPoint>' for nm in range(380, 740, 10))
    + "</CustomSpectrum>"
)
_DENSITY: Final = (
    "<ColorDensity><Density>1.{}</Density><Status>T</Status><Filter>Cyan</Filter></ColorDensity>"
)
_PLACE: Final = '<TagCollection><Tag Name="Row" Value="{}"/><Tag Name="Column" Value="3"/></TagCollection>'
_SPECTRA: Final = [[0.03 + 0.03 * n + nm / 5000 for nm in range(36)] for n in range(24)]
# What is printed: a list without anything measured.
LIST: Final = table(
    "SAMPLE_ID CMYK_C CMYK_M CMYK_Y CMYK_K", [(n, n, 2 * n, 0, n) for n in range(1, 25)]
).encode()

READINGS: Final[Mapping[str, bytes]] = dict(SEEDS) | {
    # Its ids as bare numbers, so that they are those of the sheet.
    "cxf": re.sub(rb'Id="(?:t|m\d_)(\d+)"', rb'Id="\1"', SEEDS["cxf"]),
    "cxf-else": cxf(
        "".join(
            item(
                f"<ColorValues>{_POINTS if n % 2 else ''}"
                f"{_DENSITY.format(n)}</ColorValues>{lab()}{inks('1 2 3 4', Orange=n)}{_PLACE.format(n)}",
                f"P{n}",
                str(n),
            )
            for n in range(1, 25)
        )
    ).encode(),
    "down": down("Wavelength (nm)", range(380, 731, 10), np.transpose(_SPECTRA)).replace(",P", ",").encode(),
    "bare": "\n".join(";".join(f"{value:.4f}" for value in row) for row in _SPECTRA).encode(),
    "densities": table(
        "SAMPLE_ID LAB_L LAB_A LAB_B D_RED D_GREEN D_BLUE D_VIS CMYK_C CMYK_M CMYK_Y CMYK_K",
        [(n, 4 * n, n, -n, 0.1 * n, 1.1, 1.2, 1.3, n, 2 * n, 0, n) for n in range(1, 25)],
        'INSTRUMENTATION "D50, 2 degree, white backing, status E"\nCREATED "2026-03-01"\n',
    ).encode(),
    "list": LIST,
    "chart": CHART,
    "lamp": b"nm;power\n" + b"".join(b"%d;%d,5\n" % (nm, nm % 90) for nm in range(360, 831, 5)),
    "lamp-xml": b'<IESTM2714 xmlns="iestm2714"><SpectralDistribution>'
    + b"".join(b'<SpectralData wavelength="%d">0.5</SpectralData>' % nm for nm in range(360, 831, 5))
    + b"</SpectralDistribution></IESTM2714>",
}
# What a person has to say of some of them.
SAID: Final[Mapping[str, tuple[str, ...]]] = {
    "bare": ("--first-nm", "380", "--step-nm", "10"),
    "down": ("--condition", "M1"),
    "delimited": ("--rgb-scale", "255"),
}
TOML: Final[Mapping[str, str]] = {
    "condition": (ROOT / "fixtures/room/1-condition.toml").read_text("utf-8"),
    "blank": '[condition]\nprinter = ""\npaper = "Rag"\nmade_for = ""\nprinted_at = ""\nsheet_width_mm = ""\n'
    '[readiness]\ndry = ""\nflat = { mark = "", mm = "" }\nviewing_light = { mark = "", lux = "2000" }\n',
    "map": CHART_MAP,
    "grades": (ROOT / "fixtures/room/4-grades.toml").read_text("utf-8"),
    "settings": "[anchors.evenness]\nat = [0.12, 0.25, 0.4, 0.7, 1.2]\n[uses.portrait]\nskin = 3\n"
    'highlight = 2\nkey = ["skin"]\n[thresholds]\nflare = 0.01\n[causes]\nc09 = 0.5\n',
    "style": '[house]\nname = "Nettlewick Print Room"\npaper = "a4"\ntext = ["Georgia"]\n'
    'headings = ["Avenir Next"]\ncss = "h1 { font-weight: 500 }"\n',
    "appearance": '[appearance]\ntheme = "dark"\nplain_signs = false\nmouse = true\nanimation = true\n'
    '[look]\nbounce_ms = 150\n[keys]\n"look.again" = "b"\n',
}
LOAN: Final = (
    '[loan]\nprinter = "Merrowby 24"\ninks = "ten inks"\nfirst = "2026-12-01"\nlast = "2026-12-18"\n'
    'opens = "9:00"\ncloses = "17:30"\ndays = "Mon to Fri"\nsecond_viewings = "yes"\nfull_list = "no"\n'
    '[[paper]]\nname = "Rag"\nsettings = "fine, finest"\nmade_for = "general"\nmaker_profile = ""\n'
    '[[paper]]\nname = "Lustre"\nsettings = "fine"\nmade_for = "portrait"\nmaker_profile = "yes"\n'
    '[minutes]\ncharts = "20"\nlook = "65"\n'
)
FACTS: Final = (
    'ink = "inks 10, step 2 ml, used 41 ml, area 4.1 m2, cleaning 6 ml"\ntime = "12.5, 12.8, 12.6"\n'
    'cost = "paper price 120, paper area 7.4 m2, taken 0.156 m2, printed 0.125 m2, ink price 95, '
    'ink volume 220 ml, currency EUR, dated Nov 2026"\n'
    'curl = "corners 4 6 3 5 mm, after 24 h, humidity 48 %"\n'
    'noise = "printing 57 dB, quiet 38 dB"\nwaste = "cut off 310 mm, width 610 mm, loads 3"\n'
    'power = "printing 62 W, idle 9 W"\n'
)
DECISIONS: Final = "1, accepted\n2, refused\n1, with remarks\n"
PROFILES: Final = [*SOUND, four_inks_mixed(3)]


@cache
def pictures() -> Mapping[str, bytes]:
    """Small pictures in every way that the four kinds are saved."""
    noise = np.random.default_rng(9).integers(0, 255, (40, 60, 3), dtype=np.uint8)
    soft = Image.fromarray(noise).resize((120, 80))
    notes = Image.Exif()
    notes[0x0112], notes[0x013B] = 6, "observer"
    profile = matrix_profile("oprgb")

    def by_pillow(form: str, mode: str = "RGB", **options: Any) -> bytes:
        into = io.BytesIO()
        soft.convert(mode).save(into, form, **options)
        return into.getvalue()

    def tiff(**options: Any) -> bytes:
        image = pyvips.Image.new_from_array(np.asarray(soft)).copy(interpretation="srgb")
        return bytes(image.tiffsave_buffer(**options))

    wide = pyvips.Image.new_from_array(np.asarray(soft).astype(np.uint16) * 257).copy(interpretation="rgb16")
    return {
        "jpeg": by_pillow("JPEG", icc_profile=profile, exif=notes, comment=b"a comment"),
        "jpeg-progressive": by_pillow("JPEG", progressive=True),
        "jpeg-inks": by_pillow("JPEG", "CMYK"),
        "jpeg-grey": by_pillow("JPEG", "L"),
        "png": by_pillow("PNG", icc_profile=profile, dpi=(300, 300)),
        "png-colours": by_pillow("PNG", "P"),
        "png-clear": by_pillow("PNG", "RGBA"),
        "png-deep": bytes(wide.pngsave_buffer(interlace=True)),
        "tiff": tiff(compression="lzw", predictor="horizontal"),
        "tiff-tiles": tiff(compression="deflate", tile=True, tile_width=32, tile_height=32),
        "tiff-jpeg": tiff(compression="jpeg"),
        "tiff-big": tiff(bigtiff=True),
        "tiff-deep": bytes(wide.tiffsave_buffer(compression="deflate")),
        "tiff-bits": by_pillow("TIFF", "1", compression="group4"),
        "tiff-inks": by_pillow("TIFF", "CMYK"),
        "webp": by_pillow("WebP", icc_profile=profile, exif=notes),
        "webp-whole": by_pillow("WebP", "RGBA", lossless=True),
    }


def make_archive(path: Path) -> None:
    """A small archive: a session on the chart, looked at, read and weighed; two more just begun."""
    folder = path.parent
    # Printed before anything in the readings is dated, which would be refused at once.
    condition = TOML["condition"].replace("[condition]\n", "[condition]\nprinted_at = 2025-11-30T10:00:00\n")
    files = {"condition.toml": condition, "chart.toml": CHART_MAP, "grades.toml": CHART_GRADES}
    for name, text in files.items():
        (folder / name).write_text(text, "utf-8")
    (folder / "chart.txt").write_bytes(CHART)
    for words in (
        ["new", "--from", folder / "condition.toml", "--sheet", folder / "chart.toml"],
        ["grade", 1, "--from", folder / "grades.toml"],
        ["read", 1, folder / "chart.txt", "--managed", "--condition", "M1"],
        ["weigh", 1],
        ["new", "--from", folder / "condition.toml"],
        ["new", "--from", folder / "condition.toml", "--sheet", folder / "chart.toml"],
    ):
        assert main([*map(str, words), "--archive", str(path)]) == 0, words
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()
