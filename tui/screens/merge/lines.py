"""What a merge brings or would bring, as lines: sessions, what differs, either of them in full. Pure text."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from evaluation.archive.bundles.nouns import COPIES, Came, Choice, Divergence, Merged, Merging, Version
from evaluation.errors import DrydownError
from evaluation.plain_text import capital, listed, shortened
from tui.reports.merge import remarks
from tui.widgets.lines import Line, cell, paragraphs, wrapped

_FIRST: Final = (
    "Enter looks for a bundle that somebody sent you. What it would bring is shown here first; nothing is "
    "taken before t.",
    "To send sessions yourself, mark them on Home with Space, then g b.",
)
_OPENED: Final = {
    True: "Enter looks at the print; what others graded stays out of sight meanwhile.",
    False: "Enter weighs it with what came; v there shows the observers.",
}
_COUNTS: Final = (("viewing", "viewings"), ("table of readings", "tables of readings"), ("entry", "entries"))


@dataclass(frozen=True, slots=True)
class Open:
    """A difference as it is listed: each version in words, and the one that was chosen, from 0, if any."""

    difference: Divergence
    words: tuple[str, ...]
    chosen: int | None = None

    @property
    def counts(self) -> int:
        """The version that counts, from 0."""
        return len(self.words) - 1 if self.chosen is None else self.chosen


Row = Came | Open


def choices(rows: Sequence[Row]) -> list[Choice]:
    """What was chosen."""
    return [
        Choice(each.difference, each.difference.versions[each.chosen].value)
        for each in rows
        if isinstance(each, Open) and each.chosen is not None
    ]


def chosen_again(one: Open, before: Sequence[Choice]) -> Open:
    """With what was chosen of the same difference before."""
    values = [version.value for version in one.difference.versions]
    places = [values.index(choice.value) for choice in before if choice.fits([one.difference])]
    return replace(one, chosen=places[-1]) if places else one


def row(each: Row, width: int) -> Line:
    """One line of the list, after the gutter's two."""
    if isinstance(each, Came):
        state = "new" if each.new else "known"
        room = width - 48
        counts = "".join(cell(str(many or "-"), 10, "right") for many in (each.viewings, each.readings))
        rest = each.entries + each.undos
        return f" {each.number:>5}  {cell(each.paper or '-', room)} {cell(state, 6)}{counts}{rest or '-':>10}"
    sign = "≠" if each.chosen is None else " "
    words = each.words[each.counts]
    told = "counts for now" if each.chosen is None else "chosen"
    room = width - 28
    return f"{sign}{each.difference.session:>5}  {cell(words, room)} {cell(told, 15)}"


def heading(rows: Sequence[Row], width: int) -> Line:
    """Names of the columns of sessions, or of what differs alone."""
    if all(isinstance(each, Open) for each in rows):
        return (("    no.  what counts", "quiet"),)
    room = width - 48
    names = "".join(f"{name:>10}" for name in ("viewings", "readings", "entries"))
    return ((f"   {'no.':>5}  {cell('paper', room)} {cell('', 6)}{names}", "quiet"),)


def of_session(each: Came, width: int, *, came: bool) -> list[Line]:
    """What one session gets."""
    counts = [
        f"{many} {names[many > 1]}"
        for many, names in zip((each.viewings, each.readings, each.entries), _COUNTS, strict=True)
        if many
    ]
    if each.undos:
        counts.append(f"{each.undos} undone or redone")
    verb = "Came" if came else "Would come"
    told = [
        "New in this archive." if each.new else "Known in this archive; what is here stays.",
        f"{verb}: {listed(counts)}." if counts else "",
        *(f"{capital(one)}." for one in remarks(each)),
        _OPENED[each.new] if came else "",
    ]
    return paragraphs(filter(None, told), width)


def of_difference(each: Open, width: int) -> list[Line]:
    """Its versions, each with its digit, where it was entered and when; what counts is strong."""
    lines: list[Line] = []
    for place, (words, version) in enumerate(zip(each.words, each.difference.versions, strict=True)):
        weight = "strong" if place == each.counts else ""
        lines.append(((f"  {place + 1}  {cell(words, width - 6)}", weight),))
        lines.append(((f"     {_whence(version)}{_standing(each, place)}", "quiet"),))
    return lines


def _whence(version: Version) -> str:
    return f"{'here' if version.here else 'elsewhere'}, {version.at.astimezone():%d %b %Y, %H:%M}"


def _standing(each: Open, place: int) -> str:
    if place != each.counts:
        return ""
    return "; counts until one is chosen" if each.chosen is None else "; chosen"


def nothing(merging: Merging | None, width: int, *, looked: bool) -> list[Line]:
    """Nothing new in a bundle; before one is chosen how it goes, and the merge that can be taken back."""
    told = list(_FIRST)
    if looked:
        told = ["Nothing new: the archive has all of it already."]
    elif merging is not None:
        when = f"{merging.at.astimezone():%d %b %Y, %H:%M}"
        told += [
            f"Last merge: {files(merging.files)}, {when}. u takes it back.",
            f"The archive as it was lies beside it in {merging.kept.name}; the last {COPIES} are kept.",
        ]
    return [f"  {row}" for words in told for row in (*wrapped(words, width - 4), "")][:-1]


def refused(problem: DrydownError, width: int) -> list[Line]:
    """A refusal, in its sentence."""
    return [
        ((f"  {row}", "strong" if place == 0 else ""),)
        for place, row in enumerate(_sentences(problem, width))
    ]


def _sentences(problem: DrydownError, width: int) -> list[str]:
    told = (problem.what, problem.particulars, problem.remedy)
    return [row for words in told if words for row in wrapped(words, width - 4)]


def files(names: Sequence[str]) -> str:
    """Bundles by name; several by how many there are more."""
    first = shortened(names[0], 40) if names else "a bundle"
    return first if len(names) < 2 else f"{first} and {len(names) - 1} more"


def amount(found: Merged) -> str:
    """How much that is, for the frame."""
    many = sum(each.anything for each in found.sessions)
    parts = [f"{many} session{'' if many == 1 else 's'}"]
    if found.judgements:
        parts.append(f"{found.judgements} answers side by side")
    if found.differences:
        parts.append(f"{len(found.differences)} to choose")
    return ", ".join(parts)
