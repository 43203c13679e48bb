"""Greys that can be read, and terminals where greys cannot be trusted."""

import pytest

from tui import theme
from tui.theme import GREYS


def luminance(grey: str) -> float:
    """Relative luminance of an sRGB grey (WCAG 2.2, relative luminance)."""
    value = int(grey[1:3], 16) / 255
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("name", list(GREYS))
@pytest.mark.parametrize("ground", ["ground", "shade"])
def test_text_is_read_at_4_5_to_1(name: str, ground: str) -> None:
    """WCAG 2.2, 1.4.3, level AA. Suggestions in grey stand on the shade of an open row."""
    greys = GREYS[name]
    assert contrast(greys.text, getattr(greys, ground)) >= 4.5
    assert contrast(greys.quiet, getattr(greys, ground)) >= 4.5


@pytest.mark.parametrize("name", list(GREYS))
def test_every_tone_is_neutral(name: str) -> None:
    greys = GREYS[name]
    for tone in (greys.ground, greys.text, greys.quiet, greys.rule, greys.shade):
        assert tone[1:3] == tone[3:5] == tone[5:7]


@pytest.mark.parametrize(
    ("environ", "expected"),
    [
        ({"TERM": "xterm-256color"}, "dark"),
        ({"TERM": "xterm", "COLORTERM": "truecolor"}, "dark"),
        ({"TERM": "tmux-256color", "NO_COLOR": "1"}, "plain"),
        ({"TERM": "xterm-256color", "NO_COLOR": ""}, "dark"),  # no-color.org: an empty value asks for nothing
        ({"TERM": "linux"}, "plain"),
        ({"TERM": "vt100"}, "plain"),
        ({}, "plain"),
    ],
)
def test_few_colours_or_no_color_start_plain(environ: dict[str, str], expected: str) -> None:
    assert theme.appearance("dark", environ) == expected
