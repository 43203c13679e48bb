"""Results become words in one room: every sentence maker is listed, and nothing else makes sentences."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

EVALUATION = Path(__file__).parents[2] / "evaluation"

# What each file of `telling` words, draws or sets in rows.
MAKERS = {
    "answers": "what an observer answered",
    "article": "what an appendix says of a print in its article",
    "calendar": "the days to come of a loan, for other programs",
    "caveats": "what limits a result",
    "charts": "profiling data",
    "comparison": "prints compared",
    "difference": "one region of two prints compared",
    "curves/at_one_scale": "greys and colours of prints at one scale",
    "curves/laid_over": "curves of several prints",
    "curves/page": "figures of a region, on a page",
    "curves/region": "figures of a region, in cells",
    "curves/to_see": "what there is to see in a figure",
    "entries": "the last entry, above the keys",
    "facts": "facts for readers",
    "findings": "a region's result",
    "grades": "grades of several viewings",
    "growth": "settings stepped through",
    "jnd_ruler": "how far prints are apart to the eye, as a figure",
    "metrics": "a number: its name, what it says, what it does not tell",
    "neutrality/curves": "figures of a neutrality record",
    "neutrality/limits": "what limits a neutrality record",
    "neutrality/sentences": "a neutrality record to quote",
    "neutrality/several": "neutrality records of several prints, a column a print",
    "neutrality/side_by_side": "modes side by side",
    "neutrality/tables": "a neutrality record in rows",
    "neutrality/values": "single facts of a neutrality record",
    "numbers": "numbers",
    "observers": "several observers of one print",
    "loan": "what is entered about a loan",
    "paper_and_black": "paper and black",
    "plan": "the plan of a loan",
    "plan_rows": "the plan of a loan, line by line",
    "references": "own reference prints, and how steady an eye is over them",
    "several": "prints of one sheet in an appendix",
    "region_answers": "answers of a region, for an appendix",
    "rewritten": "results that are not what was written up",
    "side_by_side": "prints laid beside each other",
    "side_by_side_tables": "rounds of prints side by side, set down",
    "triangle": "the triangle test",
    "verdicts": "a verdict: its reasons, how sure it is, what would decide it",
    "wording": "counts, ages, moments",
}
NOUNS = {"curves/prints", "curves/series", "figure", "neutrality/prints", "table", "weighing"}

# Sentences that stand elsewhere in metrics and work, and why; judgement has none.
ELSEWHERE = {
    "metrics/black": "stands beside a density and is kept with it",
    "work/compare/compare": "how far a long job is",
    "work/describe/fields": "help of a field that is filled in",
    "work/describe/prepare": "help of a line of Prepare",
    "work/describe/wanted_sheet": "help of a field of the test image",
    "work/gamut/gamut": "a report on files alone: no session, no result",
    "work/gamut/of_sessions": "why a picture cannot be held against settings",
    "work/gamut/series": "how readings of settings differ in their making",
    "work/gate": "why something stays out of sight",
    "work/lamp": "a report on a lamp alone: no session, no result",
    "work/neutrality/lamps": "remarks on files of lamps",
    "work/numbers": "remarks on readings, for whoever checks the numbers",
    "work/take_in/facts": "what a file states",
    "work/take_in/other_chart": "what to do with a file of another sheet",
    "work/take_in/profiling": "remarks on files of readings",
    "work/take_in/read": "remarks on a file that is looked at",
    "work/weigh/expected": "why a profile predicts nothing",
}
_NOTHING_DONE = re.compile(r"(?:No|Nothing)\b.* was\b|.* (?:was|were) not\b")  # how a refusal begins


def sentences(path: Path) -> Iterator[str]:
    """Strings that are whole sentences, but for docstrings and what goes into a refusal."""
    text = path.read_text("utf-8")
    if not re.search(r"\.(?:'|\"(?!\"\"))", text):
        return  # no string ends as a sentence does, but for docstrings
    tree = ast.parse(text)
    aside: set[int] = set()
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
            and ast.get_docstring(node) is not None
        ):
            aside.add(id(node.body[0].value))  # type: ignore[attr-defined]
        name = getattr(node.func, "id", getattr(node.func, "attr", "")) if isinstance(node, ast.Call) else ""
        if isinstance(node, ast.Raise) or "Problem" in name:
            aside |= {id(part) for part in ast.walk(node)}
        if isinstance(node, ast.JoinedStr):
            aside |= {id(part) for part in ast.walk(node) if part is not node}
    for node in ast.walk(tree):
        parts = node.values if isinstance(node, ast.JoinedStr) else [node]
        text = "".join(
            getattr(part, "value", "")
            if isinstance(part, ast.Constant) and isinstance(part.value, str)
            else "X"
            for part in parts
        )
        if id(node) in aside or not isinstance(node, ast.JoinedStr | ast.Constant):
            continue
        if (
            re.match(r"[A-Z“]", text)
            and text.count(" ") > 1
            and text.endswith(".")
            and not _NOTHING_DONE.match(text)
        ):
            yield text


def named(path: Path) -> str:
    return path.relative_to(EVALUATION).with_suffix("").as_posix()


def test_every_file_of_telling_is_listed_with_what_it_words() -> None:
    found = {named(path).removeprefix("telling/") for path in (EVALUATION / "telling").rglob("*.py")}
    assert {name for name in found if not name.endswith("__init__")} == MAKERS.keys() | NOUNS


def test_nouns_make_no_sentence() -> None:
    assert [name for name in NOUNS if list(sentences(EVALUATION / "telling" / f"{name}.py"))] == []


def test_a_result_becomes_a_sentence_in_telling_alone() -> None:
    rooms = [path for room in ("judgement", "metrics", "work") for path in (EVALUATION / room).rglob("*.py")]
    found = {named(path): told for path in rooms if (told := list(sentences(path)))}
    assert found.keys() == ELSEWHERE.keys(), {
        name: found.get(name) for name in found.keys() ^ ELSEWHERE.keys()
    }
