"""A house style, from a CSS or TOML file: the name of the house, the paper of a PDF, the look."""

import re
from dataclasses import dataclass
from typing import Final, Literal, get_args

from evaluation import keyed
from evaluation.errors import SheetProblem

Paper = Literal["a4", "us-letter"]
PAPERS: Final[tuple[Paper, ...]] = get_args(Paper)
NOT_USED: Final = "The house style was not used."
_FAMILY: Final = re.compile(r"[\w .-]+")
# What would fetch something, or leave the element that holds the style.
_FOREIGN: Final = re.compile(r"(?i)@import|url\(\s*[\"']?(?!\s*[\"']?(?:data:|#))|image-set|<[/!a-z]")


@dataclass(frozen=True, slots=True)
class Style:
    """`css` comes after the page's own; `house` stands above the title of every form."""

    house: str = ""
    paper: Paper = "a4"
    css: str = ""


NO_STYLE: Final = Style()


def read_style(text: str, where: str) -> Style:
    """A style file: CSS when its name ends so, else TOML. Raises SheetProblem, each mistake by its place.

    [house]
    name = "Nettlewick Print Room"
    paper = "a4"              # of a PDF; or us-letter
    text = ["a serif face"]   # families for the page, the first one found is used
    headings = ["a sans face"]
    css = "h1 { font-weight: 500 }"
    """
    if where.lower().endswith(".css"):
        return _set(Style(css=safe_css(text, where)), where, "rules of CSS")
    top = keyed.parsed(text, where, what=NOT_USED)
    house = top.table("house")
    style = Style(
        house=" ".join(house.text("name", "").split()),
        paper=house.one_of("paper", PAPERS, "a4"),
        css="\n".join(
            part
            for part in (
                _families("body", house.texts("text"), house),
                _families(_HEADINGS, house.texts("headings"), house),
                house.text("css", ""),
            )
            if part
        ),
    )
    house.only()
    top.only("house")
    top.finish()
    if not house.names():
        _set(NO_STYLE, where, "[house] with name, paper, text, headings or css")
    return Style(style.house, style.paper, safe_css(style.css, where))


def _set(style: Style, where: str, expected: str) -> Style:
    """The style, unless its file sets nothing at all: most likely another file was meant."""
    if style == NO_STYLE:
        raise SheetProblem(NOT_USED, where=where, expected=expected, found="nothing of it")
    return style


def safe_css(css: str, where: str) -> str:
    """The CSS as it is. Raises SheetProblem where it would fetch something or leave its place in the page."""
    for line, text in enumerate(css.splitlines(), 1):
        if found := _FOREIGN.search(text):
            raise SheetProblem(
                NOT_USED,
                where=f"{where}, line {line} of the style",
                expected="rules that need nothing from outside the page",
                found=found[0],
                remedy="Take it out; pictures and fonts can be given as data: addresses.",
            )
    return css.strip()


_HEADINGS: Final = "h1, h2, h3, h4"


def _families(selector: str, families: tuple[str, ...], table: keyed.Keyed) -> str:
    if not families:
        return ""
    key = "text" if selector == "body" else "headings"
    for index, family in enumerate(families):
        if not _FAMILY.fullmatch(family):
            table.wrong(f"{key}[{index}]", "the name of a font family", family)
            return ""
    names = ", ".join(f'"{family}"' for family in families)
    return f"{selector} {{ font-family: {names}, serif; }}"
