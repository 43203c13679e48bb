"""What Look shows, as lines: the question with its answers, and the course of the viewing. Pure text."""

from collections.abc import Sequence
from typing import Final

from evaluation.plain_text import visible
from evaluation.session import GRADE_WORDS, Grade, Session, Viewing
from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.telling.answers import answer_words
from evaluation.work.look import look
from tui.screens.look.answer import Asking
from tui.screens.look.answer_parts import FaultAsking
from tui.screens.look.course import Course
from tui.screens.look.viewing import Route, Stop, answered, finished, grey_key, left_open, needs
from tui.widgets.lines import Line, Weight, cell, wrapped

_WORDS: Final = 72  # columns at most: longer lines are hard to read
_FROM: Final = {
    "hand": "From 35 to 40 cm.",
    "arm": "From 60 to 70 cm.",
    "wall": "From one and a half diagonals of the sheet.",
    "loupe": "With the loupe, 8 to 10 x.",
}


def title(course: Course) -> tuple[str, str]:
    """Title and note of the question's frame: the region as the sheet numbers it, and what is to come."""
    if not course.inside:
        return "A viewing", ""
    route, region = course.begun, course.region
    if course.mode == "finished":
        return f"Viewing {course.viewing.ordinal}", ""
    name = region.title if region.number is None else f"{region.number} {region.title}"
    if course.mode == "pause":
        return name, "finished" if finished(course.viewing, region) else "left open"
    stops = route.stops[region.id]
    others = sum(not finished(course.viewing, each) for each in route.regions if each != region)
    to_come = "the last region" if not others else f"{others} more region{'s' * (others > 1)}"
    return name, f"question {stops.index(course.stop) + 1} of {len(stops)}, {to_come}"


def question_panel(
    course: Course, session: Session, sheet: Sheet, observer: str, width: int, height: int
) -> list[Line]:
    """What stands at a viewing's stop: the choice of one, a question, a pause, its end."""
    route, words = course.route, min(_WORDS, width)
    if route is None or not route.regions:
        return start_lines(session, sheet, observer, words)
    region, newest = course.region, course.viewing
    if course.mode == "pause":
        return pause_lines(newest, route, region, course.next_region(), words)
    if course.mode == "finished":
        after = "Weigh" if session.runs else "Read"
        return finished_lines(newest, route, left_open(newest, route), sheet.absent, after, words)
    question = course.stop.question
    assert course.asked is not None
    ask = question.ask if question else "Which faults do you see?"
    hint = grey_key(newest, sheet, course.stop) or how(question) or fault_hint(newest, region.id)
    if course.finished is not None:
        hint = f"First rest your eyes on the grey surround. {hint}"
    lines = asked_lines(ask, course.asked, hint, words, height)
    given = [*given_lines(newest, route, region, words), *remark_lines(newest, region, words)]
    if given and len(lines) + len(given) + 2 <= height:
        lines += ["", *given]
    return lines


def asked_lines(ask: str, asked: Asking | FaultAsking, hint: str, width: int, height: int) -> list[Line]:
    """Question, answers and how to look, so close to each other as the room wants."""
    told: list[Line] = [((row, "quiet"),) for row in wrapped(hint, width)] if hint else []
    lines = question_lines(ask, asked, width, height - len(told) - bool(told))
    apart: list[Line] = [""] if told and len(lines) + len(told) < height else []
    return [*lines, *apart, *told]


def course_panel(course: Course, width: int, height: int) -> list[Line]:
    """Every region of the viewing in its order: its number, a sign an answer, and where one stands."""
    if not course.inside:
        return []
    route, newest = course.begun, course.viewing
    lines: list[Line] = []
    named = width - 21
    for region in route.regions:
        signs = "".join(_sign(newest, stop, route) for stop in route.stops[region.id])
        here = course.mode != "finished" and region == course.region
        again = region.id in newest.look_again
        state = "now" if here else "again" if again else "done" if finished(newest, region) else "-"
        number = "" if region.number is None else str(region.number)
        first, *rest = wrapped(_lower(region.title), named)
        weight: Weight = "strong" if here else "quiet" if state == "-" else ""
        rows = [f"{number:>3}  {cell(first, named)} {signs:<6} {state}", *(f"{'':5}{row}" for row in rest)]
        lines += [((cell(row, width), weight),) for row in rows]
    return lines[:height]


def _sign(viewing: Viewing, stop: Stop, route: Route) -> str:
    """A grade as its digit, another answer as a plus, a dot where nothing was answered."""
    answer = viewing.answers.get((stop.region, stop.question.id)) if stop.question else None
    if answer is not None and isinstance(answer.value, Grade):
        return str(answer.value.value)
    return "+" if answered(viewing, stop, route) else "·"


def start_lines(session: Session, sheet: Sheet, observer: str, width: int) -> list[Line]:
    """Before a viewing: who looks, and the two kinds with what each asks for."""
    regions = [region for region in sheet.regions if region.questions]
    second = look.names_second_light(session)
    questions = sum(len(look.asked(region, "full", second_light=second)) for region in regions)
    lines: list[Line] = [f"observer   {cell(observer, width - 12)}", ""]
    lines += [f"1 short viewing  the faults and one grade for each of {len(regions)} regions"]
    lines += [f"2 full viewing   {questions} questions that lead the eye, and the faults", ""]
    if session.viewing is not None:
        lines += ["It hides the viewing before. Esc goes back to that one.", ""]
    text = "5 means “I looked for it and did not see it”. The print lies flat in the booth's light."
    return lines + wrapped(text, width)


def finished_lines(
    viewing: Viewing,
    route: Route,
    left: Sequence[tuple[SheetRegion, str]],
    absent: Sequence[SheetRegion],
    after: str,
    width: int,
) -> list[Line]:
    """After the last region: what is left, each with why, or that nothing is; then every grade."""
    grades = ["", *(_grade_row(viewing, region, width) for region in route.regions)]
    if absent:
        lacking = ", ".join(_lower(region.title) for region in absent)
        grades = ["", *wrapped(f"Not on this sheet: {lacking}. x puts it back.", width), *grades]
    if not left:
        told = wrapped(f"Every region has its grade. Enter goes on to {after}.", width)
        return [(("Look is finished.", "strong"),), *told, *grades]
    by_reason: dict[str, list[str]] = {}
    for region, why in left:
        by_reason.setdefault(why, []).append(_lower(region.title))
    reasons = " ".join(f"{why[:1].upper()}{why[1:]}: {', '.join(names)}." for why, names in by_reason.items())
    count = "one" if len(left) == 1 else str(len(left))
    told = wrapped(f"Look is finished but for {count}. {reasons} Enter goes there.", width)
    return [*(((row, "strong"),) for row in told), *grades]


def _grade_row(viewing: Viewing, region: SheetRegion, width: int) -> str:
    answer = viewing.answers.get((region.id, region.whole.id)) if region.whole else None
    again = ", look again" if region.id in viewing.look_again else ""
    return cell(f"{answer_words(answer.value) if answer else '.'}  {_lower(region.title)}{again}", width)


def question_lines(ask: str, asking: Asking | FaultAsking, width: int, room: int) -> list[Line]:
    """The question in strong weight and what answers it."""
    lines: list[Line] = [((row, "strong"),) for row in wrapped(ask, width, 3)]
    return [*lines, "", *asking.lines(width, room - len(lines) - 1)]


def how(question: Question | None) -> str:
    """How to look: from where, under what, for what."""
    if question is None:
        return ""
    light = f"Light: {question.light}." if question.light else ""
    return " ".join(part for part in (_FROM.get(question.distance, ""), light, question.look) if part)


def fault_hint(viewing: Viewing, region: str) -> str:
    """At a list of faults: what the one noted last looks like, or how to note one."""
    noted = [fault.name for fault in viewing.faults if fault.region == region]
    if noted and (words := look.meaning(noted[-1])):
        return f"{noted[-1][:1].upper()}{noted[-1][1:]}: {words}. A word on where it is: r writes a remark."
    return "Only what you can point at. A word on where it is: r writes a remark."


def given_lines(viewing: Viewing, route: Route, region: SheetRegion, width: int) -> list[Line]:
    """What was said about a region, a stop a line; a dot where nothing was said yet."""
    return [
        f"{cell(stop.name, 21)}{cell(said_words(viewing, route, stop), width - 21)}".rstrip()
        for stop in route.stops[region.id]
        if not (stop.question and stop.question.whole_region)
    ]


def remark_lines(viewing: Viewing, region: SheetRegion, width: int) -> list[Line]:
    remark = visible(viewing.remarks.get(region.id, ""))
    return list(wrapped(f"Remark: {remark}", width, 2)) if remark else []


def count_said(session: Session, region: str) -> int:
    """Answers and faults of a region, in all viewings."""
    return sum(
        sum(each == region for each, _ in viewing.answers)
        + sum(fault.region == region for fault in viewing.faults)
        + (region in viewing.faultless)
        for viewing in session.viewings
    )


def said_words(viewing: Viewing, route: Route, stop: Stop) -> str:
    if stop.question is None:
        seen = [fault.name for fault in viewing.faults if fault.region == stop.region]
        return ", ".join(seen) or ("none" if answered(viewing, stop, route) else "open")
    answer = viewing.answers.get((stop.region, stop.question.id))
    return answer_words(answer.value) if answer else "open"


def as_text(head: Sequence[str], viewing: Viewing, route: Route) -> str:
    """All answers of a viewing, region by region, to copy."""
    rows = [*head, ""]
    for region in route.regions:
        said = ((stop.name, said_words(viewing, route, stop)) for stop in route.stops[region.id])
        rows += [region.title, *(f"  {name:<21}{words}" for name, words in said)]
    return "\n".join(rows) + "\n"


def pause_lines(
    viewing: Viewing, route: Route, region: SheetRegion, after: SheetRegion | None, width: int
) -> list[Line]:
    """A region finished: its grade, what was said on the way, and what is needed next."""
    lines: list[Line] = []
    whole = region.whole
    answer = viewing.answers.get((region.id, whole.id)) if whole else None
    if answer is not None and isinstance(answer.value, Grade):
        grade = answer.value.value
        lines += [((f"As a whole: {grade}", "strong"),), GRADE_WORDS[grade], ""]
    else:
        lines += [(("Left open as a whole.", "strong"),), "It weighs nothing so far."]
        lines += [(("x: it is not on this sheet.", "quiet"),), ""]
    if region.id in viewing.look_again:
        lines += ["Marked for a second look.", ""]
    lines += given_lines(viewing, route, region, width)
    if remark := remark_lines(viewing, region, width):
        lines += ["", *remark]
    if after is not None:
        first = route.stops[after.id][0].question
        tool = " You will need the loupe." if needs(route, after)[0] else ""
        light = f" Light: {first.light}." if first and first.light else ""
        lines += ["", *wrapped("Rest your eyes on the grey surround.", width)]
        lines += [
            ((row, "quiet"),) for row in wrapped(f"Next: {_lower(after.title)}.{tool}{light}", width, 2)
        ]
    return list(lines)


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
