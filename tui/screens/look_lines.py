"""What Look shows, as lines: the map left, the question right of it, how to look below. Pure text."""

from collections.abc import Sequence
from typing import Final

from rich.cells import cell_len

from evaluation.plain_text import visible
from evaluation.session import GRADE_WORDS, Grade, Session, Viewing
from evaluation.sheet.layout import Question, Sheet, SheetRegion
from evaluation.telling.answers import answer_words
from evaluation.work.look import look
from tui.screens.answer import Asking
from tui.screens.answer_parts import FaultAsking
from tui.screens.course import Course
from tui.screens.look_frame import HINT_ROWS, NAMES, Frame, frame
from tui.screens.viewing import Route, Stop, answered, finished, grey_key, left_open
from tui.widgets.lines import Line, Span, cell, spans, text_of, wrapped
from tui.widgets.sheet_map import sheet_map

_FROM: Final = {
    "hand": "From 35 to 40 cm.",
    "arm": "From 60 to 70 cm.",
    "wall": "From one and a half diagonals of the sheet.",
    "loupe": "With the loupe, 8 to 10 x.",
}


def body(
    course: Course, session: Session, sheet: Sheet, observer: str, width: int, height: int
) -> list[Line]:
    """What stands in place of a viewing's stop: the choice of one, a question, a pause, its end."""
    route = course.route
    if route is None or not route.regions:
        return start_lines(session, sheet, observer, width)
    place = frame(sheet, width, height)
    region, newest, hint = course.region, course.viewing, ""
    head = f"region {route.place(region.id)} of {len(route.regions)}"
    said: Sequence[Line] = ()
    if course.mode == "asking" and course.asked is not None:
        stops, question = route.stops[region.id], course.stop.question
        head += f", question {stops.index(course.stop) + 1} of {len(stops)}"
        ask = question.ask if question else "Which faults do you see?"
        hint = grey_key(newest, sheet, course.stop) or how(question) or fault_hint(newest, region.id)
        right = question_lines(ask, course.asked, place.words, place.room(hint))
        said = given_lines(newest, route, region, place.words)
    elif course.mode == "pause":
        head += ", finished" if finished(newest, region) else ", left open"
        right = pause_lines(newest, route, region, course.next_region(), place.words)
    else:
        head = f"viewing {newest.ordinal}"
        right = finished_lines(newest, route, left_open(newest, route), sheet.absent, place.words)
    return look_lines(sheet, region, head, right, hint, place, said)


def look_lines(
    sheet: Sheet,
    region: SheetRegion,
    head: str,
    right: Sequence[Line],
    hint: str,
    place: Frame,
    answered: Sequence[Line] = (),
) -> list[Line]:
    """The body: region and place in the viewing, map and question side by side, how to look at their foot.

    In a large window the hint follows the question, and what was answered so far follows that; the names of
    the regions stand at the right of a tall sheet and below a wide one.
    """
    drawn = sheet_map(sheet, region.id, place.map_width, place.map_height)
    left: list[Line] = [((" " * 3, ""), *spans(line)) for line in drawn]
    told: list[Line] = [((row, "quiet"),) for row in place.hint(hint)]
    words: list[Line] = list(right)
    if place.large:
        words += ["", *told] if told else []
        words += ["", (("Answered", "quiet"),), "", *answered] if answered else []
    elif place.tall:
        told = told[: max(0, place.rows - len(words))]
        parted = min(len(words) + 1 + len(told), place.rows)
        words += [""] * (max(place.map_height, parted) - len(words) - len(told)) + told
    block = beside(left, words, place.column, max(len(left), len(words)))
    if place.names:
        block = beside(block, names(sheet, region.id, 1, NAMES), place.names, len(block))
    lines = ["", _title(region, head, place), "", *block]
    if place.large and not place.tall:
        lines += ["", *names(sheet, region.id, 3, min(84, place.width - 6))]
    elif not place.tall:
        lines = lines[: place.height - len(told)]
        lines += [""] * (place.height - max(HINT_ROWS, len(told)) - len(lines))
        lines += [((" " * 3, ""), *spans(row)) for row in told]
    return lines[: place.height]


def _title(region: SheetRegion, head: str, place: Frame) -> Line:
    """The region as the sheet calls it; where one is at the question's column, or after a longer name."""
    name = region.title if region.number is None else f"{region.number} {region.title}"
    room = max(place.column - 3, min(cell_len(name) + 3, place.width - 6 - cell_len(head)))
    return (f"   {cell(name, room)}", "strong"), (cell(head, place.width - room - 4), "quiet")


def large_map(sheet: Sheet, here: str, width: int, height: int) -> list[Line]:
    """The map as large as the body, and beside it what its numbers mean."""
    drawn = sheet_map(sheet, here, width - 32, height)
    column = 6 + cell_len(text_of(drawn[0]))
    shown: list[Line] = ["", "m brings the question back.", ""]
    for region in sheet.regions:
        if region.number is not None:
            shown.append(((f"{region.number} {region.title}", "strong" if region.id == here else ""),))
    return beside([((" " * 3, ""), *spans(line)) for line in drawn], shown, column, height)


def beside(left: Sequence[Line], right: Sequence[Line], column: int, rows: int) -> list[Line]:
    """Two blocks of lines side by side, the second from `column` on."""
    lines: list[Line] = []
    for row in range(rows):
        one = spans(left[row]) if row < len(left) else ()
        gap = column - cell_len(text_of(one))
        other = spans(right[row]) if row < len(right) else ()
        lines.append((*one, (" " * max(0, gap), ""), *other))
    return lines


def names(sheet: Sheet, here: str, columns: int, width: int) -> list[Line]:
    """Numbers and names of the regions in so many columns, for where there is room."""
    numbered = [region for region in sheet.regions if region.number is not None]
    rows = -(-len(numbered) // columns)
    lines: list[Line] = []
    for row in range(rows):
        parts: list[Span] = [("   " if columns > 1 else "", "")]
        for region in numbered[row::rows]:
            text = cell(f"{region.number} {_lower(region.title)}", width // columns - 1) + " "
            parts.append((text, "strong" if region.id == here else "quiet"))
        lines.append(tuple(parts))
    return lines


def start_lines(session: Session, sheet: Sheet, observer: str, width: int) -> list[Line]:
    """Before a viewing: who looks, and the two kinds with what each asks for."""
    regions = [region for region in sheet.regions if region.questions]
    second = look.names_second_light(session)
    questions = sum(len(look.asked(region, "full", second_light=second)) for region in regions)
    lines: list[Line] = ["", (("   A viewing", "strong"),), ""]
    lines += [f"   observer      {cell(observer, width - 18)}", ""]
    lines += [f"   1 short viewing  the faults and one grade for each of {len(regions)} regions"]
    lines += [f"   2 full viewing   {questions} questions that lead the eye, and the faults", ""]
    if session.viewing is not None:
        lines += ["   It hides the viewing before. Esc goes back to that one.", ""]
    text = "5 is “looked for it as told and did not see it”. The print lies flat in the booth's light."
    return lines + [f"   {row}" for row in wrapped(text, width - 6)]


def finished_lines(
    viewing: Viewing,
    route: Route,
    left: Sequence[tuple[SheetRegion, str]],
    absent: Sequence[SheetRegion],
    width: int,
) -> list[Line]:
    """After the last region: what is left, each with why, or that nothing is; then every grade."""
    grades = ["", *(_grade_row(viewing, region, width) for region in route.regions)]
    if absent:
        lacking = ", ".join(_lower(region.title) for region in absent)
        grades = ["", *wrapped(f"Not on this sheet: {lacking}. x puts it back.", width), *grades]
    if not left:
        told = wrapped("Every region has its grade. Enter goes on.", width)
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
        return ", ".join(seen) or ("none" if answered(viewing, stop, route) else ".")
    answer = viewing.answers.get((stop.region, stop.question.id))
    return answer_words(answer.value) if answer else "."


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
    if remark := visible(viewing.remarks.get(region.id, "")):
        lines += ["", *wrapped(f"Remark: {remark}", width, 2)]
    if after is not None:
        first = route.stops[after.id][0].question
        tool = " You will need the loupe." if _needs_loupe(route, after) else ""
        light = f" Light: {first.light}." if first and first.light else ""
        lines += ["", *wrapped("Rest your eyes on the grey surround.", width)]
        lines += [
            ((row, "quiet"),) for row in wrapped(f"Next: {_lower(after.title)}.{tool}{light}", width, 2)
        ]
    return list(lines)


def _needs_loupe(route: Route, region: SheetRegion) -> bool:
    return any(stop.question and stop.question.distance == "loupe" for stop in route.stops[region.id])


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]
