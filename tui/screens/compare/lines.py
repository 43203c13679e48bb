"""What Compare shows, as lines: the matrix, its heads, the words below and on a page. Pure text."""

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from rich.cells import cell_len

from evaluation.csv_text import tabbed
from evaluation.judgement import standing
from evaluation.judgement.matrix import By, Matrix, PrintColumn, RegionRow
from evaluation.judgement.two_prints import Difference
from evaluation.progress import short_mode
from evaluation.session import for_use
from evaluation.telling import comparison as compare_words
from evaluation.telling import difference
from evaluation.work.compare import order
from evaluation.work.compare.order import Group
from tui.screens.compare.widths import Widths, numbered, widths
from tui.widgets.lines import Line, Span, cell, text_of, wrapped

_TALL: Final = 12  # rows of the words about a cell that hold its grades as well
NOTE: Final = "No word comes from prints laid side by side. Tab: what each word means."
BY_WORDS: Final[Mapping[By, str]] = {
    "combined": "combined grades",
    "eye": "the eye's grades",
    "instrument": "the readings' grades",
}
# What stands beside a grade: of all that is known, of the eye's grades alone, of the readings alone.
_VOICES: Final[Mapping[By, Callable[[Difference], str]]] = {
    "combined": lambda one: one.word,
    "eye": difference.eye_word,
    "instrument": difference.reading_word,
}
_SHORT: Final = {"accepted with remarks": "with remarks"}


def heading(
    matrix: Matrix, shown: Sequence[PrintColumn], here: int, group: Group, width: int, hidden: tuple[int, int]
) -> list[Line]:
    """Groups, numbers, papers, what else tells them apart; a rule, heavy under the current print.

    `hidden`: how many prints stand beyond the left and the right edge.
    """
    at = widths(matrix, width, len(shown) - 1)
    columns, name = at.columns, at.title + 1
    numbers = [f"{column.session} base" if k == 0 else str(column.session) for k, column in enumerate(shown)]
    papers = [fitting(column.condition.paper or "-", columns[k] - 1) for k, column in enumerate(shown)]
    field, second = _second(matrix, shown, columns)
    left, right = hidden
    more = " ".join([f"< {left}" if left else "", f"{right} >" if right else ""]).strip()
    lines: list[Line] = []
    if group:
        labels = [order.label(column, group) for column in shown]
        told = ["" if k and labels[k - 1] == text else text for k, text in enumerate(labels)]
        lines.append(((f"   {cell(f'by {group}', name)}{_row(told, columns)}", "quiet"),))
    return [
        *lines,
        _strong_at(f"   {cell(f'session  {more}', name)}", numbers, columns, here),
        _labelled("paper", papers, at),
        _labelled(field, second, at),
        _rule(at, here, width),
    ]


def _labelled(label: str, texts: Sequence[str], at: Widths) -> Line:
    return (f"   {cell(label, at.title + 1)}", "quiet"), (_row(texts, at.columns), "")


def row(matrix: Matrix, each: RegionRow, shown: Sequence[PrintColumn], by: By, width: int) -> Line:
    """One region, after the gutter's two: title, the base's grade, every other with its word."""
    at = widths(matrix, width, len(shown) - 1)
    columns = at.columns
    spans: list[Span] = [(f" {cell(numbered(matrix, each, at.title), at.title)} ", "")]
    for k, column in enumerate(shown):
        text, alike = cell_words(matrix, each.id, column, by)
        spans.append((cell(text, columns[k]), "quiet" if alike else ""))
    return tuple(spans)


def cell_words(matrix: Matrix, region: str, column: PrintColumn, by: By) -> tuple[str, bool]:
    """Number and word of a cell, and whether it may stand back because nothing differs."""
    value = column.values.get(region)
    if value is None:
        return ("-" if column.session in matrix.unweighed else "not on sheet"), True
    if value.agreement == "disagree":
        return "≠ see Weigh", False
    if value.agreement == "not graded yet":
        return "not graded", True
    grade = value.grade(by)
    number = f"{grade:.1f}" if grade is not None else "-"
    one = matrix.difference(region, matrix.base, column.session)
    if column.session == matrix.base or one is None:
        return number, False
    if one.word == "not comparable":
        return one.word, False
    word = _VOICES[by](one)
    return f"{number} {word}".rstrip(), word == "alike"


def verdicts(matrix: Matrix, shown: Sequence[PrintColumn], use: str, width: int) -> Line:
    at = widths(matrix, width, len(shown) - 1)
    words = [
        word if cell_len(word) < column else _SHORT.get(word, word)
        for word, column in zip((each.verdicts.get(use, "-") for each in shown), at.columns, strict=True)
    ]
    return f"   {cell(for_use(use), at.title)} {_row(words, at.columns)}"


def below(
    matrix: Matrix,
    each: RegionRow | None,
    current: PrintColumn,
    words: str,
    order: str,
    width: int,
    rows: int,
) -> list[Line]:
    """The cell under the cursor in words, with its grades where there is room; the order of the prints; what
    differs on the whole.
    """
    lines: list[Line] = []
    if each is not None:
        if rows >= _TALL:
            lines += [*_grades(matrix, each, current), ""]
        lines += [
            f" {text}"
            for text in wrapped(told(matrix, each, current), width - 2, 3 if rows < _TALL else None)
        ]
    for part, weight in ((order, ""), (words, "quiet")):
        left = rows - len(lines)
        gap: list[Line] = [""] if lines and left > 8 else []
        if part and left > 0:
            found = wrapped(part, width - 2, max(1, left - len(gap)))
            lines += [*gap, *(((f" {text}", weight),) for text in found)]
    return lines[:rows]


def _grades(matrix: Matrix, each: RegionRow, current: PrintColumn) -> list[Line]:
    """Every grade of the cell under the cursor and of the base."""
    lines: list[Line] = [((f" {'':12}{'eye':>5}{'readings':>9}{'combined':>9}", "quiet"),)]
    shown = [matrix.column(matrix.base)] + ([current] if current.session != matrix.base else [])
    for column in shown:
        value = column.values.get(each.id)
        grades = [None] * 3 if value is None else [value.eye, value.instrument, value.combined]
        told = [f"{grade:.1f}" if grade is not None else "-" for grade in grades]
        lines.append(f" {cell(f'session {column.session}', 12)}{told[0]:>5}{told[1]:>9}{told[2]:>9}")
    return lines


def told(matrix: Matrix, each: RegionRow, current: PrintColumn) -> str:
    """The current cell in a sentence."""
    value = current.values.get(each.id)
    if value is not None and value.agreement == "disagree":
        return "Eye and readings disagree; no number to compare."
    if current.session == matrix.base:
        return "The base, which the others are compared with."
    one = matrix.difference(each.id, matrix.base, current.session)
    return difference.reason(one, each.title) if one else f"{each.title}: not compared yet."


def words_page(matrix: Matrix, use: str, width: int) -> list[Line]:
    """Which prints differ, the sentence for the review, what would settle more."""
    inner = min(width - 6, 96)
    lines: list[Line] = [""]
    if order := compare_words.in_order(matrix, use):
        lines += _hanging("   ", order, inner)
    found = [group for group in standing.groups(matrix, use) or () if len(group) > 1]
    if found:
        lines += ["", ((f"   Prints that do not differ by enough {for_use(use)}", "strong"),)]
        for group in found:
            members = [matrix.column(one) for one in group]
            names = "; ".join(f"{column.session} {compare_words.name(matrix, column)}" for column in members)
            lines += _hanging("   - ", names, inner)
        lines.append(
            (
                (
                    "   No two of a line differ by enough, as far as is known; one in between stands twice.",
                    "quiet",
                ),
            )
        )
    parts = (
        ("For the review", [compare_words.review(matrix, use)]),
        ("What would settle more", compare_words.separators(matrix, use)),
        ("Caveats", [*matrix.caveats, compare_words.LEGEND]),
    )
    for title, texts in parts:
        if texts:
            lines += ["", ((f"   {title}", "strong"),)]
            for text in texts:
                lines += _hanging("   ", text, inner)
    return lines


def as_text(matrix: Matrix, shown: Sequence[PrintColumn], use: str, by: By) -> str:
    """The whole table with its words, for copying."""
    width = 60 + 30 * len(shown)
    rows: list[Line] = [
        f"Compare, {for_use(use)}, {BY_WORDS[by]}, base session {matrix.base}",
        "",
        *heading(matrix, shown, -1, "", width, (0, 0)),
        *(
            (("  ", ""), *spans)
            for each in matrix.rows
            for spans in [row(matrix, each, shown, by, width)]
            if not isinstance(spans, str)
        ),
        "",
        verdicts(matrix, shown, use, width),
        *words_page(matrix, use, 100),
    ]
    return "\n".join(text_of(line).rstrip() for line in rows) + "\n"


def tabbed_table(matrix: Matrix, shown: Sequence[PrintColumn], use: str, by: By) -> str:
    """The table with tabs between its cells: for each print its grade, and how it stands to the base."""
    heads = ["no.", "region"]
    for column in shown:
        heads += [f"{column.session} {compare_words.name(matrix, column)}", f"{column.session} to the base"]
    rows: list[list[object]] = []
    for each in matrix.rows:
        cells: list[object] = [each.number, each.title]
        for column in shown:
            value = column.values.get(each.id)
            grade = value.grade(by) if value is not None else None
            words = cell_words(matrix, each.id, column, by)[0]
            number = f"{grade:.1f}" if grade is not None else "-"
            cells += [None if grade is None else round(grade, 1), words.removeprefix(number).strip()]
        rows.append(cells)
    verdict: list[object] = [None, for_use(use)]
    for column in shown:
        verdict += [column.verdicts.get(use, ""), ""]
    return tabbed(heads, [*rows, verdict])


def quoted(matrix: Matrix, each: RegionRow, current: PrintColumn) -> str:
    """The current cell in a sentence, with the names of both prints."""
    base = matrix.column(matrix.base)
    both = [current, base] if current.session != base.session else [base]
    names = "; ".join(f"session {one.session} is {compare_words.name(matrix, one)}" for one in both)
    value = current.values.get(each.id)
    about = told(matrix, each, current)
    if current.session == matrix.base or (value is not None and value.agreement == "disagree"):
        about = f"{each.title}, session {current.session}: {about[:1].lower()}{about[1:]}"
    return f"{about} ({names[:1].upper()}{names[1:]}.)\n"


def _second(matrix: Matrix, shown: Sequence[PrintColumn], columns: Sequence[int]) -> tuple[str, list[str]]:
    """What else is worth a line under the paper: the quality setting, or the mode where modes differ."""
    if len({other.condition.driver_mode for other in matrix.columns}) > 1:
        modes = [column.condition.driver_mode or "-" for column in shown]
        whole = all(cell_len(mode) < room for mode, room in zip(modes, columns, strict=True))
        return "mode", modes if whole else [short_mode(mode) for mode in modes]
    return "quality", [column.condition.quality or "-" for column in shown]


def fitting(name: str, width: int) -> str:
    """A name cut to its cells: the first word goes first, since papers of one maker share it."""
    if cell_len(name) > width and len(words := name.split()) > 2:
        name = " ".join(words[1:])
    return cell(name, width).rstrip()


def _row(texts: Sequence[str], columns: Sequence[int]) -> str:
    return "".join(cell(text, column - 1) + " " for text, column in zip(texts, columns, strict=True))


def _strong_at(before: str, texts: Sequence[str], columns: Sequence[int], here: int) -> Line:
    spans: list[Span] = [(before, "quiet")]
    for k, (text, column) in enumerate(zip(texts, columns, strict=True)):
        spans.append((cell(text, column), "strong" if k == here else ""))
    return tuple(spans)


def _rule(at: Widths, here: int, width: int) -> Line:
    spans: list[Span] = [("─" * at.first, "rule")]
    for k, column in enumerate(at.columns):
        heavy = column - 2 if k == here else 0
        spans += [("━" * heavy, "strong"), ("─" * (column - heavy), "rule")]
    drawn = at.first + sum(at.columns)
    return (*spans, ("─" * max(0, width - drawn), "rule"))


def _hanging(before: str, text: str, width: int) -> list[Line]:
    first, *more = wrapped(text, width)
    return [f"{before}{first}", *(f"{'':{len(before)}}{each}" for each in more)]
