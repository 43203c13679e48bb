"""How something was measured, from the keywords of a table; contradictions count as not stated."""

import re
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import fields, replace
from datetime import datetime
from typing import Final, cast

from evaluation.errors import UsageProblem
from evaluation.plain_text import counted, quoted
from evaluation.readings.file_table import FileTable
from evaluation.readings.plain_words import in_plain_words
from evaluation.readings.run import Condition, Stated, zoned
from evaluation.readings.source import NOTHING_TAKEN
from evaluation.readings.supplied import OPTIONS, Supplied, date_remark, unstated_remark

_CONDITION_SAID: Final = re.compile(r"measurement[\s_]*condition\s*[=:]?\s*\"?(M[0-3])\b", re.I)
_CONDITION: Final = re.compile(r"\b(M[0-3])\b", re.I)
_CONDITION_ALONE: Final = re.compile(r"^\s*(M[0-3])\s*$", re.I)
# Filters that amount to a measurement condition of ISO 13655.
_WITHOUT_ULTRAVIOLET: Final = re.compile(r"uv[\s\-_]*(?:cut|excluded|exclude|filter)", re.I)
_POLARISED: Final = re.compile(r"pol(?:ari[sz](?:ation|ed|ing|er)?)?(?:[\s\-_]*filter)?", re.I)
_STATUS: Final = re.compile(r"\bstatus[\s_:=]*\"?([AEIMT])\b", re.I)
_STATUS_ALONE: Final = re.compile(r"^\s*([AEIMT])\s*$", re.I)
_FILTERS: Final = ("FILTER", "MEASUREMENT_FILTER")
_ILLUMINANT: Final = re.compile(r"\b(D\s?\d{2}|FL?\s?\d{1,2}|A|C|E)\b", re.I)
_NAMED: Final = re.compile(rf"{_ILLUMINANT.pattern}|LED-[A-Z]+\d*", re.I)
_ILLUMINATION_SAID: Final = re.compile(
    r"illumin(?:ation|ant)\s*[=,:]?\s*\"?(D\s?\d{2}|FL?\s?\d{1,2}|A|C|E)\b", re.I
)
_OBSERVER_SAID: Final = re.compile(r"observer(?:[\s_]*angle)?\s*[=,:]?\s*\"?(2|10|1931|1964)(?!\d)", re.I)
_OBSERVER: Final = re.compile(r"(?<!\d)(2|10|1931|1964)(?!\d)")
_OBSERVERS: Final = {"2": "2", "1931": "2", "10": "10", "1964": "10"}
# Before the date of the file; never that of the chart's making (PROD_DATE) or of its printing.
_MEASURED: Final = ("MEASUREMENT_DATE", "MEASURE_DATE", "MEASURED", "DATE_MEASURED", "MEASUREMENT_TIME")
_DATES: Final = (
    *(date + time for date in ("%Y-%m-%d", "%Y/%m/%d", "%d.%m.%Y") for time in ("", " %H:%M:%S", " %H:%M")),
    *("%B %d, %Y", "%d %B %Y", "%a %b %d %H:%M:%S %Y"),
)


def stated_by(table: FileTable) -> tuple[Stated, tuple[str, ...]]:
    """What the keywords state, and remarks on facts that they state twice and differently."""
    remarks: list[str] = []
    every = [keyword.value for keyword in table.keywords]
    source = table.stated("MEASUREMENT_SOURCE")
    weighting = table.stated("WEIGHTING_FUNCTION")
    condition = _one(
        "measurement condition",
        [
            *_found(_CONDITION, table.stated("MEASUREMENT_CONDITION", "MEASUREMENTCONDITION")),
            *_found(_CONDITION_SAID, every),
            *_found(_CONDITION, table.stated(*_FILTERS, "MEASUREMENT_GEOMETRY")),
            *_found(_CONDITION_ALONE, table.stated("MEASUREMENT_MODE", "ILLUMINATION", "MEASUREMENT_TYPE")),
            *("M2" for value in table.stated(*_FILTERS) if _WITHOUT_ULTRAVIOLET.fullmatch(value)),
            *("M3" for value in table.stated(*_FILTERS) if _POLARISED.fullmatch(value)),
        ],
        remarks,
    )
    illuminant = _one(
        "illuminant",
        [
            *_found(_ILLUMINANT, table.stated("ILLUMINANT", "ILLUMINATION_NAME", "ILLUMINATION")),
            *_found(_ILLUMINATION_SAID, [*weighting, *source]),
        ],
        remarks,
    )
    observer = _one(
        "observer",
        [
            _OBSERVERS[found]
            for found in (
                *_found(_OBSERVER, table.stated("OBSERVER", "OBSERVER_ANGLE")),
                *_found(_OBSERVER_SAID, [*weighting, *source]),
            )
        ],
        remarks,
    )
    date = _last(table.stated(*_MEASURED)) or _last(table.stated("CREATED"))
    measured_at = moment(date)
    if date and measured_at is None:
        remarks.append(date_remark(date))
    backing = backing_word(_last(table.stated("SAMPLE_BACKING", "BACKING", "MATERIAL_BACKING")))
    contradicted = " ".join(remarks)
    if illuminant is None and "the illuminant is stated as" not in contradicted:
        illuminant = in_plain_words("illuminant", table.keywords, remarks)
    if observer is None and "the observer is stated as" not in contradicted:
        observer = in_plain_words("observer", table.keywords, remarks)
    return Stated(
        condition=cast(Condition | None, condition),
        illuminant=illuminant,
        observer=observer,
        geometry=_last(table.stated("MEASUREMENT_GEOMETRY")),
        backing=backing or in_plain_words("backing", table.keywords, remarks),
        instrument=_last(table.stated("INSTRUMENTATION", "INSTRUMENT", "MEASUREMENT_INSTRUMENT")),
        measured_at=measured_at,
    ), tuple(remarks)


def density_status(table: FileTable) -> str | None:
    """The status of densities, ISO 5-3, that the keywords state; None where they state none, or two."""
    alone = table.stated("DENSITY_STATUS", "STATUS", *_FILTERS)
    said = {*_found(_STATUS_ALONE, alone), *_found(_STATUS, [each.value for each in table.keywords])}
    return said.pop() if len(said) == 1 else None


def with_supplied(stated: Stated, supplied: Supplied, where: str) -> Stated:
    """The file's statements with its gaps filled by the user's.

    Raises UsageProblem when the two contradict each other, or for an illuminant without a CIE name.
    """
    filled = {}
    for name in {field.name for field in fields(Stated)} & {field.name for field in fields(Supplied)}:
        user, file = getattr(supplied, name), getattr(stated, name)
        if user is None:
            continue
        if name in ("condition", "illuminant"):
            user = user.upper()
        if name == "illuminant" and not _NAMED.fullmatch(user):
            raise UsageProblem(
                NOTHING_TAKEN,
                where=where,
                expected="an illuminant by its CIE name, such as D50, D65, A or LED-B3",
                found=quoted(user),
                remedy=f"Correct {OPTIONS[name]}.",
            )
        if file is not None and file != user and name in ("condition", "illuminant", "observer"):
            raise UsageProblem(
                NOTHING_TAKEN,
                where=where,
                expected=f"{name} {user}, as you state",
                found=f"{file}, as the file states",
                remedy=f"Leave {OPTIONS[name]} out, or correct the file.",
            )
        if file is None or file != user:
            filled[name] = user
    return replace(stated, **filled, said_by_user=frozenset(filled))


def supplied_for_each(conditions: Sequence[Condition | None], supplied: Supplied) -> list[Supplied | None]:
    """What the user's statements mean for each of several tables; None leaves a table out.

    A condition that some table states selects that table; any other fills in where a table states none.
    """
    if supplied.condition is None or len(conditions) == 1:
        return [supplied] * len(conditions)
    without = replace(supplied, condition=None)
    if supplied.condition in conditions:
        return [without if condition == supplied.condition else None for condition in conditions]
    if None not in conditions:
        return [supplied] * len(conditions)  # contradicts each of them: `with_supplied` refuses
    return [supplied if condition is None else without for condition in conditions]


def left_out(for_each: Sequence[Supplied | None]) -> tuple[str, ...]:
    """A remark on tables that were left out because another condition was selected."""
    count = sum(1 for supplied in for_each if supplied is None)
    told = f"{count} of {counted(len(for_each), 'run')} left out: measured under another condition"
    return (told,) if count else ()


def open_points(stated: Stated, given_colours: bool) -> tuple[str, ...]:
    """Remarks on what was not stated. Illuminant and observer matter only to CIELAB or XYZ given as such."""
    names = ["condition", *(("illuminant", "observer") if given_colours else ())]
    words = {"condition": "measurement condition", "illuminant": "illuminant", "observer": "observer"}
    return tuple(unstated_remark(words[name], name) for name in names if getattr(stated, name) is None)


def backing_word(text: str | None) -> str | None:
    """The backing: "white" or "black" where the text contains it, else the text as written."""
    lower = (text or "").lower()
    return next((word for word in ("white", "black") if word in lower), text)


def moment(text: str | None) -> datetime | None:
    """A date as files write it, with its zone.

    None where no known form fits, and where day and month could be mistaken for each other.
    """
    found = _written(text) if text and len(text) <= 40 else None
    return None if found is None else zoned(found)


def moment_said(text: str) -> datetime:
    """A date that a person typed, with its zone. Raises UsageProblem for one that names no day."""
    found = moment(text)
    if found is None:
        raise UsageProblem(
            "Nothing was changed.",
            expected="a date, as 2015-05-12 or 2015-05-12 14:30",
            found=quoted(text),
            remedy="Type year, month and day.",
        )
    return found


def _written(text: str) -> datetime | None:
    text = re.sub(r"\s+", " ", text.strip())
    with suppress(ValueError):
        return datetime.fromisoformat(text)
    slashed = re.match(r"(\d{1,2})/(\d{1,2})/(\d{4})(.*)", text)
    if slashed:
        first, second, year, rest = slashed.groups()
        if int(first) > 12 or int(second) > 12 or first == second:
            month, day = (second, first) if int(first) > 12 else (first, second)
            text = f"{year}-{month}-{day}{rest}"
    for form in _DATES:
        with suppress(ValueError):
            return datetime.strptime(text, form)
    return None


def _found(pattern: re.Pattern[str], values: Iterable[str]) -> list[str]:
    return [match[1].upper().replace(" ", "") for value in values if (match := pattern.search(value))]


def _one(what: str, found: list[str], remarks: list[str]) -> str | None:
    if len(set(found)) > 1:
        remarks.append(f"the {what} is stated as {' and as '.join(sorted(set(found)))}: taken as not stated")
        return None
    return found[0] if found else None


def _last(values: list[str]) -> str | None:
    return values[-1] if values else None
