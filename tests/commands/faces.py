"""Reads what each face of a result says, as a reader would: commands, tables for programs, pages.

Everything is collected under (session, region, quantity); regions go by their titles, which every face shows.
Pages of all three forms are read as running text, so that one pattern serves HTML, Markdown and PDF.
"""

import csv
import io
import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, Final, get_args

from markdown_it import MarkdownIt
from pypdf import PdfReader

from evaluation.judgement.two_prints import Word
from evaluation.session import USES_IN_FULL, for_use
from evaluation.telling.metrics import known, telling

Key = tuple[int, str, str]
VOICES: Final = ("eye", "instrument", "combined")
_WORDS: Final = "agree|disagree|eye only|instrument only|not graded yet|none|left out"
_VERDICTS: Final = "accepted with remarks|not accepted|accepted|undecided|incomplete"
_GRADE: Final = r"(?:\d\.\d ± \d\.\d|–)"
_NUMBER: Final = re.compile(r"[+-]?\d+(?:\.\d+)?")
_OVERVIEW: Final = "Findings by region. Grades 5 to 1, ± one standard error"
_FACTS: Final = re.compile(
    rf"\beye:? (?P<eye>not graded yet|{_GRADE} \()[^)]*?\)?"
    rf"(?: instrument:? (?P<instrument>silent|{_GRADE}) ?(?:\([^)]*\))?"
    rf" agreement:? (?P<agreement>{_WORDS})(?: combined:? (?P<combined>none|{_GRADE}))?)?(?= |$)"
)
_RUNNING_HEAD: Final = re.compile(r"^Review appendix: .* \d+ / \d+$", re.MULTILINE)


class Said:
    """What all faces say: key -> text -> the faces that say it."""

    def __init__(self) -> None:
        self.found: dict[Key, dict[str, set[str]]] = {}

    def add(self, session: int, region: str, quantity: str, said: object, face: str) -> None:
        text = str(said).strip().lower().replace("−", "-").replace("+-", "-")
        if text in ("none", "", "–", "-", "silent") and quantity != "agreement":
            return
        self.found.setdefault((session, region, quantity), {}).setdefault(text, set()).add(face)

    def faces(self, quantity: str) -> set[str]:
        """Every face that says a quantity of any region."""
        return {
            face
            for key, said in self.found.items()
            if key[2] == quantity
            for by in said.values()
            for face in by
        }

    def contradictions(self) -> dict[Key, dict[str, set[str]]]:
        return {key: said for key, said in self.found.items() if not agree(list(said))}


def agree(said: Sequence[str]) -> bool:
    """Whether these are figures of one number, or the same words. Equally many digits have to be equal."""
    if not all(_NUMBER.fullmatch(text) for text in said):
        return len(set(said)) == 1
    numbers = [Decimal(text) for text in said]
    digits = {number: -int(number.as_tuple().exponent) for number in numbers}
    for several in set(digits.values()):
        if len({number for number in numbers if digits[number] == several}) > 1:
            return False
    half = {number: Decimal(5).scaleb(-digits[number] - 1) for number in numbers}
    return max(one - half[one] for one in numbers) <= min(one + half[one] for one in numbers)


# Commands -------------------------------------------------------------------------------------------------


def weighing(said: Said, document: Mapping[str, Any], face: str) -> None:
    """`drydown weigh --json`, and what of it stands in the data beside an appendix."""
    session = document["session"]
    for region in document["regions"]:
        title = region["title"]
        said.add(session, title, "agreement", region["agreement"], face)
        for voice in VOICES:
            if region[voice] is not None:
                said.add(session, title, voice, region[voice]["grade"], face)
                said.add(session, title, f"{voice} spread", region[voice]["spread"], face)
        if region["instrument"] is not None:
            for metric, value in region["instrument"]["metrics"].items():
                said.add(session, title, telling(metric).name, _plain(value), face)
    for use, verdict in document["verdicts"].items():
        said.add(session, "", for_use(use), verdict["verdict"], face)
    for fact, value in document.get("black", {}).items():
        if fact in ("dmax", "range", "whitener") and value is not None:
            said.add(session, "", fact, value, face)


def weighing_in_words(said: Said, session: int, titles: Sequence[str], text: str, face: str) -> None:
    """The table of `drydown weigh`, or of the app's page; then the verdict and the black."""
    for title in titles:
        row = re.search(
            rf"{re.escape(title)} +(\d\.\d|-) +(\d\.\d|-) .*?({_WORDS}) +(\d\.\d|-)", text, re.IGNORECASE
        )
        if row is None:
            continue
        for quantity, value in zip(("eye", "instrument", "agreement", "combined"), row.groups(), strict=True):
            said.add(session, title, quantity, value, face)
    if found := re.search(rf"^ *(For [a-z ]+?):? +({_VERDICTS})\b", text, re.MULTILINE):
        said.add(session, "", found[1].lower(), found[2], face)
    if found := re.search(r"Black: D (\d\.\d+), (\d\.\d+) above", text):
        said.add(session, "", "dmax", found[1], face)
        said.add(session, "", "range", found[2], face)


def comparison(said: Said, document: Mapping[str, Any], face: str) -> None:
    """`drydown compare --json`."""
    for region in document["regions"]:
        for session, value in region["values"].items():
            if value["agreement"] == "disagree":
                continue  # Weigh has the two numbers, here there is none to compare
            for quantity in (*VOICES, "agreement"):
                if value[quantity] is not None:
                    said.add(int(session), region["title"], quantity, value[quantity], face)
        for one in region["differences"]:
            _difference(said, one["a"], one["b"], region["title"], one["difference"], one["word"], face)
    for one in document["prints"]:
        said.add(one["id"], "", for_use(document["use"]), one["verdict"], face)
        for fact in ("dmax", "range", "whitener"):
            said.add(one["id"], "", fact, one[fact], face)


def comparison_as_rows(said: Said, text: str, titles: Mapping[str, str], face: str) -> None:
    """`drydown compare --csv`."""
    for row in csv.DictReader(io.StringIO(text)):
        session, title = int(row["session"]), titles[row["region"]]
        if row["agreement"] != "disagree":
            for voice, column in (("eye", "eye"), ("instrument", "instrument"), ("combined", "grade")):
                said.add(session, title, voice, row[column], face)
            said.add(session, title, "agreement", row["agreement"], face)
        if row["word"] != "base":
            _difference(said, int(row["base"]), session, title, row["difference"], row["word"], face)


def comparison_in_words(
    said: Said, sessions: Sequence[int], titles: Sequence[str], text: str, face: str
) -> None:
    """The tables of `drydown compare`, or the app's page: grade and word a print, the base first."""
    for title in titles:
        for line in text.splitlines():
            cells = re.split(r"  +|(?<=\d) (?=[a-z])", line.strip())
            if cells[0].lower() != title.lower() or len(cells) < 2:
                continue
            grades = [cell for cell in cells[1:] if re.fullmatch(r"\d\.\d|-", cell)]
            if len(grades) == len(sessions):
                for session, grade in zip(sessions, grades, strict=True):
                    said.add(session, title, "combined", grade, face)
    for found in re.finditer(r"^ +(\d+) +(\d\.\d+) +\d\.\d+ +(\d\.\d+) +([+-]\d\.\d)", text, re.MULTILINE):
        for fact, value in zip(("dmax", "range", "whitener"), found.groups()[1:], strict=True):
            said.add(int(found[1]), "", fact, value.replace("+", ""), face)


def _difference(said: Said, a: int, b: int, title: str, value: object, word: str, face: str) -> None:
    text = "" if value is None else str(value).replace("+", "")
    said.add(b, title, f"difference from {a}", text, face)
    said.add(b, title, f"word against {a}", word, face)


def _plain(value: float) -> str:
    """A number as JSON has it, without an exponent."""
    return format(Decimal(str(value)), "f")


# Pages ----------------------------------------------------------------------------------------------------


def page(said: Said, path: Path, sessions: Sequence[int], titles: Mapping[int, Sequence[str]]) -> None:
    """An appendix in any of its forms."""
    text, face = running(path), f"{path.suffix[1:]} of {path.stem}"
    of_sessions = text.split(_OVERVIEW)[1:]
    assert len(of_sessions) == len(sessions), path
    for session, part in zip(sessions, of_sessions, strict=True):
        _session(said, session, titles[session], part, face, as_data=len(sessions) > 3)
    drawn = text.split("Grades from 1 to 5 by region.")[1:]  # said of a picture, where that is text
    for session, part in zip(sessions, drawn, strict=False):
        told = part.partition(_OVERVIEW)[0]
        for title in titles[session]:
            if found := re.search(
                rf"{re.escape(title)}: (?:eye (\d\.\d))?(?:, )?(?:instrument (\d\.\d))?", told
            ):
                for voice, value in zip(("eye", "instrument"), found.groups(), strict=True):
                    said.add(session, title, voice, value, face)
    for session, part in zip(sessions, text.split("Paper and black, absolute; density")[1:], strict=True):
        for run, patch, density, above in re.findall(
            r"readings (\d+), M\d (paper|black)(?: -?[−\d.]+){3} (\d\.\d+) (\d\.\d+|–)",
            part.split(_OVERVIEW)[0],
        ):
            said.add(session, "", f"density of the {patch}, readings {run}", density, face)
            said.add(session, "", f"range, readings {run}", above, face)
        if found := re.search(r"Whitener: b\\?\* of the paper ([+−]?\d\.\d)", part.split(_OVERVIEW)[0]):
            said.add(session, "", "whitener", found[1].replace("+", ""), face)
    if len(sessions) > 1:
        _compared(said, sessions, titles, text, face)
        return
    opening = re.split(r"\bPrinted[ :]", text)[0]
    for word, uses in re.findall(rf"\b({_VERDICTS})(?:, about [^.:]+?)?\W+for ([a-z, ]+)[.:]", opening, re.I):
        for name in USES_IN_FULL.values():
            if name in uses:
                said.add(sessions[0], "", f"for {name}", word.lower(), face)


def _session(said: Said, session: int, titles: Sequence[str], text: str, face: str, *, as_data: bool) -> None:
    """`as_data`: of more than three sessions, answers and numbers stand in data files alone."""
    in_full = []
    for title in titles:
        row = re.search(rf"{re.escape(title)} ({_GRADE}) ({_GRADE}) ({_WORDS}) ({_GRADE})", text)
        assert row is not None, (face, title)
        said.add(session, title, "agreement", row[3], face)
        for voice, value in zip(VOICES, (row[1], row[2], row[4]), strict=True):
            _opinion(said, session, title, voice, value, face)
        in_full += [title] if row[3] != "left out" else []
    blocks = list(_FACTS.finditer(text))
    if as_data:
        in_full = []
    assert len(blocks) == len(in_full), (face, len(blocks))
    ends = [*(block.start() for block in blocks[1:]), len(text)]
    for title, block, end in zip(in_full, blocks, ends, strict=True):
        for voice in VOICES:
            _opinion(said, session, title, voice, (block[voice] or "").removesuffix(" ("), face)
        if block["agreement"]:
            said.add(session, title, "agreement", block["agreement"], face)
        _numbers(said, session, title, text[block.end() : end], face)
    verdicts = text.partition("Verdict by use")[2].partition("A verdict stands when")[0]
    for use, word in re.findall(rf"(For [a-z ]+?) ({_VERDICTS})\b", verdicts):
        said.add(session, "", use.lower(), word, face)
    if found := re.search(r"black:? L\* \d+\.\d, D (\d\.\d+)", text):
        said.add(session, "", "dmax", found[1], face)


def _numbers(said: Said, session: int, title: str, text: str, face: str) -> None:
    """The rows under "What the readings say": name, value and spread."""
    told = text.partition("What the readings say")[2]
    told = re.split(r"What these numbers do not tell|Question against number|From the file", told)[0]
    for name, value in re.findall(
        rf"\b({_names()}) (-?\d+(?:\.\d+)?) (?:± [\d.]+ )?\S", told.replace("−", "-")
    ):
        said.add(session, title, name, value, face)


@cache
def _names() -> str:
    """A pattern for what metrics are called, the longest first: one name may begin with another."""
    names = (telling(metric).name for metric in known())
    return "|".join(map(re.escape, sorted(names, key=len, reverse=True)))


def _opinion(said: Said, session: int, title: str, voice: str, text: str, face: str) -> None:
    grade, _, spread = text.partition(" ± ")
    if spread:
        said.add(session, title, voice, grade, face)
        said.add(session, title, f"{voice} spread", spread, face)


def _compared(
    said: Said, sessions: Sequence[int], titles: Mapping[int, Sequence[str]], text: str, face: str
) -> None:
    """The table of the comparison: the base, then grade, difference and word of each other print."""
    told = text.partition("Combined grades, and differences from session")[2].partition(_OVERVIEW)[0]
    words = "|".join(sorted(get_args(Word), key=len, reverse=True))
    cell = rf" (\d\.\d|–)(?: \(([+−]?\d\.\d+)\))?, ({words})"
    for title in titles[sessions[0]]:
        row = re.search(rf"{re.escape(title)} (\d\.\d|–)" + cell * (len(sessions) - 1), told)
        assert row is not None, (face, title)
        said.add(sessions[0], title, "combined", row[1], face)
        for place, session in enumerate(sessions[1:]):
            grade, difference, word = row.groups()[1 + 3 * place : 4 + 3 * place]
            said.add(session, title, "combined", grade, face)
            _difference(said, sessions[0], session, title, difference, word, face)


def running(path: Path) -> str:
    """The text of a page as it is read on, white space folded."""
    match path.suffix:
        case ".pdf":
            pages = "\n".join(one.extract_text() for one in PdfReader(path).pages)
            text = _RUNNING_HEAD.sub("", pages)
        case ".md":
            reader = MarkdownIt("gfm-like", {"html": True, "linkify": False})
            text = _html(reader.render(path.read_text("utf-8")))
        case _:
            text = _html(path.read_text("utf-8"))
    return " ".join(text.split())


def _html(text: str) -> str:
    parser = _Text()
    parser.feed(text)
    return " ".join(parser.parts)


class _Text(HTMLParser):
    """The text of a page without its pictures, and without what unfolds."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []
        self._apart = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("svg", "details", "nav", "style", "script"):
            self._apart += 1
        elif tag == "img":
            self.parts.append(dict(attrs).get("alt") or "")
        elif tag not in ("em", "strong", "code", "span", "sub"):
            self.parts.append(" ")

    def handle_endtag(self, tag: str) -> None:
        if tag in ("svg", "details", "nav", "style", "script"):
            self._apart -= 1

    def handle_data(self, data: str) -> None:
        if not self._apart:
            self.parts.append(data)


def titles_of(documents: Sequence[Mapping[str, Any]]) -> dict[int, list[str]]:
    """The regions of each session, in their order."""
    return {one["session"]: [region["title"] for region in one["regions"]] for one in documents}
