"""Describe: a session is begun from a printing condition, or from an earlier session."""

import contextlib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from evaluation import keyed
from evaluation.archive import documents, held, sessions
from evaluation.entry import Draft
from evaluation.errors import FileProblem, UsageProblem
from evaluation.keyed import Keyed
from evaluation.plain_text import quoted
from evaluation.session import INTENTS, READINESS, USES, PrintingCondition, Session
from evaluation.sheet import load
from evaluation.sheet.layout import Sheet
from evaluation.system_words import unread
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.describe import details, sheets
from evaluation.work.describe.profiles import refuse_other_classes
from evaluation.work.log import Entered, refuse_read_only, say

NOT_BEGUN = "No session was begun."
_TEXTS = ("printer", "inks", "paper", "media_setting", "quality", "direction", "driver_mode", "drying")
_FIELDS = (  # of [condition], as far as they are missed where they are blank
    *_TEXTS,
    "profile",
    "intent",
    "black_point_compensation",
    "made_for",
    "printed_at",
    "sheet_width_mm",
    "sheet_height_mm",
)
_NOT_COPIED = ("printed_at",)  # a new print has a time of its own
_LARGEST_TEXT = 4 << 20  # bytes: what the longest TOML may have in UTF-8


def begin(
    bench: Bench,
    condition: PrintingCondition,
    readiness: dict[str, dict[str, Any]],
    *,
    map_text: str | None = None,
    map_name: str = "",
    profile: bytes | None = None,
    anyway: bool = False,
    copied_from: int | None = None,
) -> Session:
    """Begin a session: keep its sheet's map, then everything the condition says, in one entry each.

    `map_text` is a map of the user's own; None takes the sheet that `made_for` asks for. `profile` is the
    content of the ICC file that `condition.profile` names; `anyway` keeps one that is no output profile.
    """
    refuse_read_only(bench)
    name = map_name or sheets.sheet_for(condition)
    text = map_text if map_text is not None else load.map_text(name)
    sheet = load.read_map(text, name)
    _refuse_strange(condition.absent, sheet)
    if copied_from is None and condition.black_from is not None:
        _refuse_black(bench, condition)
    if profile is not None:
        from evaluation.profile.engine import open_profile  # numpy, which Home does without
        from evaluation.profile.icc_facts import icc_facts

        if not anyway:
            of_class = icc_facts(profile, condition.profile).profile_class
            refuse_other_classes(of_class, condition.profile, "Or give --anyway")
        open_profile(profile, condition.profile)
    with bench.archive.joined():
        digest = documents.keep(bench.archive, "sheet", name, text.encode("utf-8"))
        if map_text is not None and sheet.code:
            sheets.note_code(bench, sheet.code, digest)
        if profile is not None:
            kept = documents.keep(bench.archive, "profile", condition.profile, profile)
            condition = replace(condition, profile_digest=kept)
        session_id = sessions.create(
            bench.archive, sheet_digest=digest, now=bench.now(), copied_from=copied_from
        )
        drafts = [Draft("condition", key, value) for key, value in _said(condition).items()]
        drafts += [Draft("readiness", item, value) for item, value in readiness.items()]
        if drafts:
            return say(bench, session_id, drafts).session
    return sessions.load(bench.archive, session_id)


def begin_like(bench: Bench, session_id: int) -> Session:
    """Begin a session with the condition of another; the time of printing must be entered again.

    Readiness is not assumed to hold still, but the viewing light and the observer's eyes are offered again.
    """
    earlier = sessions.load(bench.archive, session_id)
    condition = PrintingCondition(**asdict(earlier.condition) | dict.fromkeys(_NOT_COPIED))
    absent = tuple(
        region.id for region in sheet_of(bench, earlier).absent
    )  # of this sheet, not of one before
    condition = replace(condition, absent=absent)
    name, content = documents.fetch(bench.archive, earlier.sheet_digest)
    return begin(
        bench, condition, {}, map_text=content.decode("utf-8"), map_name=name, copied_from=session_id
    )


def _refuse_strange(absent: Sequence[str], sheet: Sheet) -> None:
    """Refuse to lack a region that the sheet never had."""
    known = [region.id for region in sheet.regions]
    if strange := [region for region in absent if region not in known]:
        raise UsageProblem(
            NOT_BEGUN,
            where="condition.absent",
            expected=f"regions of the sheet ({', '.join(known)})",
            found=quoted(strange[0]),
        )


def _refuse_black(bench: Bench, condition: PrintingCondition) -> None:
    """Refuse a black that this print cannot have; one that is copied may have changed, which results say."""
    from evaluation.work.weigh.earlier_black import refuse_black  # numpy, which Home does without
    from evaluation.work.weigh.weigh import tables, verdict_of

    try:
        refuse_black(bench, condition, tables(bench), verdict_of)
    except UsageProblem as problem:
        raise UsageProblem(problem.sentence, where="condition.black_from", remedy=NOT_BEGUN) from None


def say_condition(bench: Bench, session_id: int, field: str, value: Any) -> Entered:
    """Say one field of the printing condition; None withdraws it. `value` is plain or a datetime."""
    return say(bench, session_id, [Draft("condition", field, _plain(value))])


def say_readiness(
    bench: Bench, session_id: int, item: str, mark: str | None, detail: dict[str, str | float] | None = None
) -> Entered:
    """Mark one line of Prepare; a mark of None opens it again."""
    value = None if mark is None and not detail else {"mark": mark, "detail": detail or {}}
    return say(bench, session_id, [Draft("readiness", item, value)])


def read_file(path: Path) -> tuple[PrintingCondition, dict[str, dict[str, Any]], bytes | None]:
    """A condition file; or a profile, with which a session begins before anything else is known.

    The third value is the content of that profile, or of the one that the file names and that lies beside it.
    """
    from evaluation.profile.icc_facts import is_profile, read_profile

    held.refuse(path, NOT_BEGUN)
    with contextlib.suppress(OSError, ValueError), path.open("rb") as file:
        if is_profile(file.read(132)):
            return PrintingCondition(profile=path.name), {}, read_profile(path)[1]
    condition, readiness = read_condition(read_text(path, NOT_BEGUN), path.name)
    return condition, readiness, _beside(path, condition.profile)


def _beside(path: Path, name: str) -> bytes | None:
    """The content of the profile that a condition names, when it lies beside the condition's file."""
    beside = path.parent / name
    if not name or not beside.is_file():
        return None
    held.refuse(beside, NOT_BEGUN)
    try:
        return beside.read_bytes()
    except OSError as problem:
        found, remedy = unread(problem)
        raise FileProblem(NOT_BEGUN, where=str(beside), found=found, remedy=remedy) from None


def read_condition(text: str, where: str) -> tuple[PrintingCondition, dict[str, dict[str, Any]]]:
    """A condition file: tables [condition] and [readiness]. Every mistake is named by its key path."""
    top = keyed.parsed(text, where, what=NOT_BEGUN, form=True)
    condition = _condition(top.table("condition"))
    readiness = _readiness(top.table("readiness"))
    if not top.has("condition"):
        top.note("condition", "missing; drydown new --template prints the form")
    top.only()
    top.finish()
    if not _said(condition) and not readiness:
        top.note("condition", "nothing; every line of the form is blank")
        top.finish()
    return condition, readiness


def left_out(session: Session) -> Mapping[str, tuple[str, ...]]:
    """What a session begun from a file does not say, by the keys of the file; "all" of a table."""
    said = _said(session.condition)
    open_fields = tuple(key for key in _FIELDS if key not in said)
    open_lines = tuple(item for item in READINESS if item not in session.readiness)
    if len(open_lines) == len(READINESS):
        open_lines = ("all",)
    return {name: keys for name, keys in (("condition", open_fields), ("readiness", open_lines)) if keys}


def read_text(path: Path, what: str) -> str:
    """A small text file that a person wrote, UTF-8. Raises FileProblem in one sentence."""
    held.refuse(path, what)
    try:
        with path.open("rb") as file:
            content = file.read(_LARGEST_TEXT + 1)
    except (OSError, ValueError) as problem:  # ValueError: a name with a zero byte
        found, remedy = unread(problem)
        raise FileProblem(what, where=str(path), found=found, remedy=remedy) from None
    if len(content) > _LARGEST_TEXT:
        raise FileProblem(
            what,
            where=str(path),
            expected=f"a text of at most {_LARGEST_TEXT >> 20} MB",
            found="a larger file",
            remedy="Check that this is the file you meant.",
        )
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise FileProblem(
            what, where=str(path), expected="text in UTF-8", found="other bytes", remedy="Save it as UTF-8."
        ) from None


def _condition(table: Keyed) -> PrintingCondition:
    said: dict[str, Any] = {key: table.text(key, "") for key in (*_TEXTS, "tone_wanted", "profile")}
    if table.has("made_for"):
        said["made_for"] = table.one_of("made_for", USES)
    if table.has("intent"):
        said["intent"] = table.one_of("intent", INTENTS)
    if table.has("black_point_compensation"):
        said["black_point_compensation"] = table.yes("black_point_compensation")
    if table.has("black_from"):
        said["black_from"] = table.whole("black_from", low=1, high=999_999)
    said["printed_at"] = table.time("printed_at")
    said["sheet_width_mm"] = table.maybe_number("sheet_width_mm", low=10, high=5000)
    said["sheet_height_mm"] = table.maybe_number("sheet_height_mm", low=10, high=50000)
    said["absent"] = table.texts("absent")
    table.only()
    return PrintingCondition(**said)


def _readiness(table: Keyed) -> dict[str, dict[str, Any]]:
    said = {item: details.stated(table, item) for item in READINESS}
    table.only()
    return {item: made for item, made in said.items() if made is not None}


def _said(condition: PrintingCondition) -> dict[str, Any]:
    values = {field.name: getattr(condition, field.name) for field in fields(condition)}
    return {key: _plain(value) for key, value in values.items() if value not in ("", None, ())}


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return list(value)
    return value.isoformat() if isinstance(value, datetime) else value
