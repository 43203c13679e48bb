"""Entries in words, as the line above the keys shows them: "Skin tones, strength: 4"."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from evaluation.entry import FACT, Entry, decoded
from evaluation.facts.kinds import BY_ID
from evaluation.facts.typed import shown as fact_shown
from evaluation.plain_text import capital, shortened, visible
from evaluation.session import ASIDE, READINESS
from evaluation.sheet.layout import Sheet, SheetRegion
from evaluation.telling.answers import answer_words

FIELD_WORDS = {
    "printer": "Printer",
    "inks": "Inks",
    "paper": "Paper",
    "media_setting": "Media setting",
    "quality": "Quality setting",
    "direction": "Direction of printing",
    "driver_mode": "Driver mode",
    "made_for": "Made for",
    "tone_wanted": "Tone wanted",
    "profile": "Profile",
    "profile_digest": "Profile file",
    "intent": "Rendering intent",
    "black_point_compensation": "Black point compensation",
    "black_from": "Black as in session",
    "printed_at": "Printed at",
    "drying": "How it dried",
    "sheet_code": "Code of the sheet",
    "sheet_width_mm": "Sheet width",
    "sheet_height_mm": "Sheet height",
}

_UNITS = {"lux": "lx", "kelvin": "K", "mm": "mm", "hours": "h", "celsius": "°C", "humidity": "% RH"}


def told(entries: Sequence[Entry], sheet: Sheet | None) -> str:
    """One sentence without its full stop for the entries of one key press; the first subject leads.

    Without its sheet a session's regions and questions go by their ids.
    """
    if not entries:
        return ""
    if {entry.kind for entry in entries} == {"readings"} and {entry.value for entry in entries} == {
        "in",
        "out",
    }:
        return "Readings typed: one line more, or one less"
    if [entry.subject for entry in entries] == ["sheet_width_mm", "sheet_height_mm"]:
        width, height = (entry.value for entry in entries)
        return f"Sheet: {width:g} x {height:g} mm" if width and height else "Sheet: open"
    if entries[0].kind == "condition" and entries[0].subject in ("sheet_code", "profile"):
        return _one(entries[0], sheet)
    if [entry.kind for entry in entries] == ["answer", "again"]:
        return f"{_one(entries[0], sheet)}, looked at again"
    if len(entries) > 1 and all(entry.kind == entries[0].kind for entry in entries):
        return f"{_one(entries[0], sheet)}, and {len(entries) - 1} more"
    return ", ".join(_one(entry, sheet) for entry in entries)


def detail_shown(detail: Mapping[str, str | float]) -> str:
    """Named values as they are typed.

    >>> detail_shown({"lux": 2040.0, "class": "P1", "second": "A", "uv": "no"})
    '2040 lx, P1, second A, no uv'
    """
    parts = []
    for name, value in detail.items():
        if isinstance(value, float | int) and not isinstance(value, bool):
            parts.append(f"{value:g} {_UNITS.get(name, name)}")
        elif name == "uv":
            parts.append("no uv" if value == "no" else "with uv")
        else:
            parts.append(f"second {value}" if name == "second" else str(value))
    return ", ".join(parts)


def _one(entry: Entry, sheet: Sheet | None) -> str:
    name, _, rest = entry.subject.partition("/")
    value = entry.value
    match entry.kind:
        case "condition" if name == "absent":
            lacking = ", ".join(_region(region, sheet) for region in value or ())
            return f"Not on this sheet: {lacking}" if lacking else "Every region is on this sheet"
        case "condition" if entry.subject.startswith(FACT) and (kind := BY_ID.get(rest)) is not None:
            return f"{kind.title}: {visible(fact_shown(kind, value)) if value else 'open'}"
        case "condition":
            return f"{FIELD_WORDS.get(name, name)}: {_plain(value)}"
        case "readiness":
            made = value if isinstance(value, dict) else {}
            detail = detail_shown({k: v for k, v in (made.get("detail") or {}).items() if k != "as on"})
            words = ", ".join(part for part in (made.get("mark") or "open", detail) if part)
            return f"{capital(READINESS.get(name, name))}: {words}"
        case "timer":
            return f"Clock of {name}: " + ("started" if value else "stopped")
        case "answer":
            said = answer_words(decoded(value)) if value is not None else "open"
            return f"{_region(name, sheet)}, {_question(name, rest, sheet)}: {said}"
        case "fault" if not rest:
            return f"{_region(name, sheet)}: " + ("no faults" if value else "faults open again")
        case "fault":
            return f"{_region(name, sheet)}, fault: {visible(rest)}" + ("" if value else ", taken away")
        case "again":
            return f"{_region(name, sheet)}: " + ("to look at again" if value else "not to look at again")
        case "remark" if entry.subject == ASIDE:
            return f"Viewing set aside: “{shortened(str(value), 40)}”" if value else "Viewing taken in again"
        case "remark":
            words = f": “{shortened(str(value), 40)}”" if value else " taken away"
            return f"Remark on {_region(name, sheet)}{words}"
        case "reveal":
            return f"{_region(name, sheet)}: readings shown before its grade"
        case "attachment":
            return f"{_region(name, sheet)}: photograph attached"
        case "readings":
            return "Readings taken in" if value == "in" else "Readings left out"
        case "written":
            return f"Appendix written: {_plain((value or {}).get('file', ''))}"


def _regions(sheet: Sheet | None) -> tuple[SheetRegion, ...]:
    return () if sheet is None else (*sheet.regions, *sheet.absent)


def _region(region_id: str, sheet: Sheet | None) -> str:
    for region in _regions(sheet):
        if region.id == region_id:
            return region.title
    return capital(visible(region_id))


def _question(region_id: str, question_id: str, sheet: Sheet | None) -> str:
    for region in _regions(sheet):
        for question in region.questions if region.id == region_id else ():
            if question.id == question_id:
                return question.called
    return visible(question_id)


def _plain(value: Any) -> str:
    if value is None:
        return "open"
    if isinstance(value, bool):
        return "on" if value else "off"
    try:
        return (
            f"{datetime.fromisoformat(value).astimezone():%d %b %Y, %H:%M}".lstrip("0")
            if "T" in value
            else visible(value)
        )
    except (TypeError, ValueError):
        return visible(str(value))
