"""The question sets that come with the program, and how a question is read from a map or a set."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

from evaluation.keyed import Keyed, parsed
from evaluation.sheet.layout import ANSWER_KINDS, Question

OVERALL = "overall"  # the id of the question whose grade is the eye's grade of the region
DISTANCES = ("hand", "arm", "wall", "loupe")
_GRADE_KEYS = ((5, "g5"), (3, "g3"), (1, "g1"))


@dataclass(frozen=True, slots=True)
class QuestionSet:
    """The questions about one kind of region, and which metrics may be calculated for it.

    replaces  on the mono sheet: the kind whose place it takes; else ""
    """

    kind: str
    title: str
    shows: str
    replaces: str
    faults: tuple[str, ...]
    metrics: tuple[str, ...]
    questions: tuple[Question, ...]


@lru_cache(maxsize=1)
def question_sets() -> Mapping[str, QuestionSet]:
    """The built-in sets by kind, in the order of the sheet. Raises SheetProblem where the data are wrong."""
    top = _data()
    sets = top.table("set")
    found = {kind: _read_set(kind, sets.table(kind)) for kind in sets.names()}
    top.finish()
    return found


@lru_cache(maxsize=1)
def fault_words() -> Mapping[str, str]:
    """Every fault that a built-in set names, and what it looks like."""
    faults = _data().table("fault")
    return {name: faults.text(name) for name in faults.names()}


def read_question(table: Keyed) -> Question:
    """One question; mistakes are noted in `table` by their key paths."""
    question_id = table.text("id")
    if table.has("id") and not question_id.isidentifier():
        table.wrong("id", "a name of letters, digits and _", question_id)
    answer = table.one_of("answer", ANSWER_KINDS)
    question = Question(
        id=question_id,
        answer=answer,
        ask=table.text("ask"),
        look=table.text("look", ""),
        pairs_with=metric_name(table, "pairs_with", table.text("pairs_with", "")),
        distance=table.one_of("distance", (*DISTANCES, ""), ""),
        light=table.text("light", ""),
        grades=tuple((grade, table.text(key)) for grade, key in _GRADE_KEYS if table.has(key)),
        parts=table.texts("parts"),
        whole_region=question_id == OVERALL,
        name=table.text("name", ""),
    )
    table.only("g5", "g3", "g1")
    if question.whole_region and answer != "grade":
        table.wrong("answer", "“grade” for the question “overall”", answer)
    if answer == "cast" and not question.parts:
        table.note("parts", "missing: the parts of a cast, such as thirds, depth groups or the whole")
    return question


def read_questions(table: Keyed, key: str = "question") -> tuple[Question, ...]:
    """The questions under `key`: each id once, and “overall” once, last."""
    questions = tuple(read_question(row) for row in table.tables(key))
    seen: set[str] = set()
    for index, question in enumerate(questions):
        if question.id in seen:
            table.note(f"{key}[{index}].id", f"“{question.id}” occurs twice in this list")
        seen.add(question.id)
    if not questions or not questions[-1].whole_region:
        table.note(key, "the last question must be “overall”, the grade of the region as a whole")
    return questions


def metric_name(table: Keyed, key: str, name: str) -> str:
    """The name of a metric, checked for its form only, not for its existence."""
    if name and not name.isidentifier():
        table.wrong(key, "the name of a metric, as `evenness`", name)
    return name


def metric_names(table: Keyed, default: tuple[str, ...] = ()) -> tuple[str, ...]:
    """The list `metrics` of a region or a set, names checked for their form."""
    names = table.texts("metrics", default)
    return tuple(metric_name(table, f"metrics[{index}]", name) for index, name in enumerate(names))


@lru_cache(maxsize=1)  # for the sets and for the words of their faults
def _data() -> Keyed:
    text = files("evaluation.sheet").joinpath("questions.toml").read_text(encoding="utf-8")
    return parsed(text, "questions.toml", what="The questions were not loaded.")


def _read_set(kind: str, table: Keyed) -> QuestionSet:
    found = QuestionSet(
        kind=kind,
        title=table.text("title"),
        shows=table.text("shows"),
        replaces=table.text("replaces", ""),
        faults=table.texts("faults"),
        metrics=metric_names(table),
        questions=read_questions(table),
    )
    table.only()
    for name in found.faults:
        if name not in fault_words():
            table.wrong("faults", "faults that the table [fault] explains", name)
    return found
