"""Describe and Prepare, field by field: what a person types becomes a value, and a value becomes words.

Every field is remembered: what was said in earlier sessions is offered again, newest first.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, Literal

from evaluation.archive import documents, entries, sessions
from evaluation.entry import Draft
from evaluation.errors import UsageProblem
from evaluation.plain_text import quoted
from evaluation.progress import NEEDED
from evaluation.session import INTENTS, USES, PrintingCondition, Session
from evaluation.sheet import load
from evaluation.work import home
from evaluation.work.bench import Bench
from evaluation.work.describe import sheets
from evaluation.work.describe.profiles import say_profile
from evaluation.work.describe.typed_values import NOT_SAVED, moment_typed, size_mm
from evaluation.work.log import Entered, refuse_read_only, say, summarise

FieldKind = Literal["text", "choice", "time", "size", "profile"]
_MOST_OFFERED = 50
_MAP: Final = "sheet_map"  # kept with a sheet's code: the digest of the map before and after it
_CODE: Final = re.compile(r"(?:DRYDOWN:)?[A-Z0-9]{4}[- ]?[A-Z0-9]{4}", re.IGNORECASE)  # no size has that form


@dataclass(frozen=True, slots=True)
class FormField:
    """One row of Describe. `choices` are the values a digit chooses; a text field may be anything."""

    id: str
    title: str
    kind: FieldKind = "text"
    choices: tuple[str, ...] = ()
    help: str = ""


FIELDS: Final = (
    FormField("printer", "printer", help="The machine, as you call it."),
    FormField("inks", "inks", help="The set that is in the machine, as you call it."),
    FormField("paper", "paper", help="Maker's name and weight; the list, Compare and the appendix show it."),
    FormField(
        "sheet_size", "sheet", "size", help="Size: A3, 13x19in, 330x483 mm; or the code printed on it."
    ),
    FormField(
        "media_setting",
        "media setting",
        help="As chosen in the driver; it decides how much ink is laid down.",
    ),
    FormField("quality", "quality setting", help="As the driver calls it, for example fine."),
    FormField("direction", "direction", help="The way the carriage prints."),
    FormField("driver_mode", "driver mode", help="Who turns the picture's colours into ink."),
    FormField(
        "profile", "profile", "profile", help="The ICC file the print was made with; it is read and kept."
    ),
    FormField("intent", "intent", "choice", tuple(INTENTS)),
    FormField("black_point_compensation", "black point comp.", "choice", ("on", "off")),
    FormField("made_for", "made for", "choice", tuple(USES), help="Decides which regions weigh most."),
    FormField("tone_wanted", "tone wanted", help="Of a black-and-white print; or like session 3."),
    FormField(
        "black_from",
        "black as in",
        help="Where there is no profile: an accepted print of this paper and media setting, as session 3.",
    ),
    FormField(
        "printed_at",
        "printed at",
        "time",
        help="As 1310 for ten past one today, yesterday 1310, 24 Nov 1310, or now.",
    ),
    FormField("drying", "how it dried", help="Before you looked at it or read it."),
)
_BY_ID: Final = {field.id: field for field in FIELDS}
_USUAL: Final[Mapping[str, tuple[str, ...]]] = {
    "direction": ("both ways", "one way"),
    "driver_mode": ("through the profile", "driver's colour", "driver's black and white"),
    "tone_wanted": ("neutral", "warm", "cool"),
    "drying": ("rack", "stack", "fan", "interleaf", "sleeve"),
}


def shown(condition: PrintingCondition, field_id: str) -> str:
    """A field as text; "" when it was not said."""
    if field_id == "sheet_size":
        width, height = condition.sheet_width_mm, condition.sheet_height_mm
        size = f"{width:g} x {height:g} mm" if width and height else ""
        return ", ".join(part for part in (size, condition.sheet_code) if part)
    value = getattr(condition, field_id)
    if field_id == "black_from" and value is not None:
        return f"session {value}"
    if isinstance(value, bool):
        return "on" if value else "off"
    if isinstance(value, datetime):
        return f"{value.astimezone():%d %b %Y, %H:%M}".lstrip("0")
    return str(value) if value is not None else ""


def note(field_id: str, session: Session, earlier: Session | None) -> str:
    """What stands beside a row: that it is needed, what it was in the session copied from, what was read."""
    said = shown(session.condition, field_id)
    if field_id in NEEDED and not said:
        return "needed"
    if field_id == "profile" and session.condition.profile_digest:
        return "read"
    if field_id == "profile" and said:
        return "named only; Enter reads the file"
    before = shown(earlier.condition, field_id) if earlier else ""
    if earlier and before != said and field_id != "printed_at":
        return f"was {before or 'open'} in no. {earlier.id}"
    return ""


def earlier_session(bench: Bench, session: Session) -> Session | None:
    """The session this one was begun from."""
    return sessions.load(bench.archive, session.copied_from) if session.copied_from else None


def offered(bench: Bench, field_id: str) -> tuple[str, ...]:
    """What was entered in a field in any session, newest first, then the usual words."""
    if field_id == "sheet_size":
        return sheets.known_codes(bench)
    if field_id == "black_from":
        accepted = (head.id for head in home.heads(bench) if home.verdict(head) in home.ACCEPTED)
        return tuple(f"session {one}" for one in accepted)
    before = entries.said_before(bench.archive, "condition", field_id, _MOST_OFFERED)
    said = [value for value in before if isinstance(value, str) and value]
    return tuple(dict.fromkeys([*said, *_USUAL.get(field_id, ())]))


def numbered(field: FormField) -> tuple[str, ...]:
    """What a digit chooses in a row: all it may be, or the usual words beside which others may be typed."""
    return field.choices or _USUAL.get(field.id, ())


def say_field(bench: Bench, session_id: int, field_id: str, typed: str) -> Entered:
    """Say a field as typed; empty text opens it again. Raises UsageProblem for what it cannot mean."""
    text = " ".join(typed.split())
    field = _BY_ID[field_id]
    if field.kind == "size" and _CODE.fullmatch(text):
        return say_sheet_code(bench, session_id, text)
    if field.kind == "size":
        width, height = size_mm(text) if text else (None, None)
        return say(
            bench,
            session_id,
            [Draft("condition", "sheet_width_mm", width), Draft("condition", "sheet_height_mm", height)],
        )
    if field.kind == "profile":
        return say_profile(bench, session_id, text)
    usual = _USUAL.get(field_id, ())
    if usual and text.isdecimal():
        text = _usual(usual, text)
    value: Any = text or None
    if field.kind == "time" and text:
        value = moment_typed(text, bench.now()).isoformat()
    if field.kind == "choice" and text:
        value = _choice(field, text)
    if field_id == "black_from" and text:
        value = _black_from(bench, session_id, text)
    step = say(bench, session_id, [Draft("condition", field_id, value)])
    if field_id == "made_for":
        return with_its_sheet(bench, step)
    return step


def say_sheet_code(bench: Bench, session_id: int, typed: str) -> Entered:
    """Tie the session to the sheet that was drawn with this archive and carries the code.

    Raises UsageProblem for a code that is not known here, and once something was graded or measured.
    """
    refuse_read_only(bench)
    name, text = sheets.by_code(bench, typed)
    sheet = load.read_map(text, name)
    width, height = sheet.size_mm
    drafts = [
        Draft("condition", "sheet_code", sheet.code),
        Draft("condition", "sheet_width_mm", width),
        Draft("condition", "sheet_height_mm", height),
    ]
    with bench.archive.transaction():
        digest = documents.keep(bench.archive, "sheet", name, text.encode("utf-8"))
        before = sessions.load(bench.archive, session_id).sheet_digest
        sessions.use_sheet(bench.archive, session_id, digest, bench.now(), summarise(bench))
        drafts.append(Draft("condition", _MAP, {"before": before, "after": digest}))
        return say(bench, session_id, drafts)


def _black_from(bench: Bench, session_id: int, text: str) -> int:
    from evaluation.work.weigh.earlier_black import black_typed  # numpy, not for every field
    from evaluation.work.weigh.weigh import tables, verdict_of

    return black_typed(bench, text, sessions.load(bench.archive, session_id), tables(bench), verdict_of)


def _usual(usual: tuple[str, ...], digit: str) -> str:
    """The usual words a digit stands for, where it was typed. Raises UsageProblem."""
    if not 1 <= int(digit) <= len(usual):
        raise UsageProblem(NOT_SAVED, expected=f"{_or(usual)}, or words of your own", found=quoted(digit))
    return usual[int(digit) - 1]


def _choice(field: FormField, text: str) -> Any:
    known = [choice for choice in field.choices if choice.casefold().startswith(text.casefold())]
    if text in field.choices:
        known = [text]
    if len(known) != 1:
        raise UsageProblem(NOT_SAVED, expected=_or(field.choices), found=quoted(text))
    return known[0] == "on" if field.id == "black_point_compensation" else known[0]


def turned(bench: Bench, step: Entered) -> Entered:
    """A step that undo or redo has just made, with the sheet that goes with it; inside its transaction.

    Raises UsageProblem where the sheet has to stay, since something was graded or measured with it.
    """
    said = {entry.subject: entry.value for entry in step.entries if entry.kind == "condition"}
    if _MAP in said:
        stands = step.session.condition.sheet_code == said["sheet_code"]
        digest = said[_MAP]["after" if stands else "before"]
        if digest != step.session.sheet_digest:
            sessions.use_sheet(bench.archive, step.session.id, digest, bench.now(), summarise(bench))
        return Entered(sessions.load(bench.archive, step.session.id), step.entries, step.words)
    return with_its_sheet(bench, step) if "made_for" in said else step


def with_its_sheet(bench: Bench, step: Entered) -> Entered:
    """What a print is made for decides its sheet, as long as nothing was graded or measured with another."""
    before, _ = documents.fetch(bench.archive, step.session.sheet_digest)
    name = sheets.sheet_for(step.session.condition, before)
    content = load.map_text(name).encode("utf-8")
    digest = documents.digest_of(content)
    if digest == step.session.sheet_digest or not _is_ours(before):
        return step  # the same sheet, or a test image of the user's own, which stays
    documents.keep(bench.archive, "sheet", name, content)
    try:
        sessions.use_sheet(bench.archive, step.session.id, digest, bench.now(), summarise(bench))
    except UsageProblem:  # graded or measured already: that sheet stays
        return step
    return Entered(sessions.load(bench.archive, step.session.id), step.entries, step.words)


def _is_ours(map_name: str) -> bool:
    try:
        load.map_text(map_name)
    except UsageProblem:
        return False
    return True


def _or(words: Sequence[str]) -> str:
    return ", ".join(words[:-1]) + f" or {words[-1]}" if len(words) > 1 else "".join(words)
