"""Facts for readers in words: each with its unit, how it was come by, and what it does not tell."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeVar

from evaluation.facts import worked
from evaluation.facts.kinds import BY_ID, Kind
from evaluation.facts.paper_fact import PaperFact
from evaluation.facts.worked import Amount
from evaluation.plain_text import listed, percent, visible
from evaluation.telling.numbers import plain, signed
from evaluation.telling.table import Table

T = TypeVar("T")
Values = Mapping[str, Any]
Rows = tuple[tuple[str, ...], ...]
HOW: Final = "how, and what it does not tell"
WHERE_FROM: Final = "where from, and what it does not tell"
_INSTRUMENT: Final = (
    "An instrument of 45:0 geometry under its own lamp gave it: it compares papers that were read alike, and "
    "none with what a maker states."
)
TABLE_NOTE: Final = "None of this was graded, and no verdict rests on it."


@dataclass(frozen=True, slots=True)
class Fact:
    """A stated fact in words; `amount` is None for one that is only shown.

    session  where it was stated
    more     how it was come by this time, beyond what `kind` says of all
    """

    kind: Kind
    session: int
    amount: Amount | None
    shown: str
    more: str
    tells_not: str
    parts: Values

    @property
    def method(self) -> str:
        """How it was come by, in general and this time."""
        return f"{self.kind.method} {self.more}".strip()


def fact(kind_id: str, values: Values, session: int, ink_use: Amount | None = None) -> Fact:
    """One fact worked out and worded. `ink_use`: of the same session, for its cost."""
    kind = BY_ID[kind_id]
    amount, shown, more = _said(kind_id, values, ink_use)
    return Fact(kind, session, amount, shown, more, kind.tells_not, values)


def _said(kind_id: str, values: Values, ink_use: Amount | None) -> tuple[Amount | None, str, str]:
    match kind_id:
        case "ink":
            return _ink(values)
        case "time":
            minutes, runs = values.get("minutes", ()), "started" in values
            if not minutes:
                return None, "a print is being timed" if runs else "no print timed", ""
            amount = worked.time(minutes)
            few = "" if len(minutes) >= worked.ENOUGH else f", of {len(minutes)}; three make a median"
            span = f"Timed: {listed([plain(one, 1) for one in minutes])} min."
            return amount, f"{plain(amount.value, 1)} min{few}{'; one is being timed' if runs else ''}", span
        case "cost":
            amount = worked.cost(values, ink_use)
            ink = "" if amount.error is not None else " Paper alone: no ink use with its price is stated."
            dated = f"{_money(amount)}, prices of {visible(values['dated'])}"
            return (
                amount,
                dated,
                f"{plain(values['taken'] / values['printed'], 2)} m2 of paper for 1 m2.{ink}",
            )
        case "curl":
            amount = worked.curl(values["corners"])
            corners = " ".join(signed(one, 0) for one in values["corners"])
            after = f"after {values['after']:g} h at {values['humidity']:g} % RH"
            return amount, f"{signed(amount.value, 0)} mm at most, {after}", f"Corners: {corners} mm."
        case "noise":
            amount = worked.noise(values)
            phone = f" Phone: {visible(values['phone'])}." if "phone" in values else ""
            return amount, f"{amount.value:.0f} dB above the quiet room", phone.strip()
        case "waste":
            amount = worked.waste(values)
            length = values["cut off"] / values["loads"]
            return amount, f"{length:.0f} mm a load, {plain(amount.value, 3)} m2", ""
        case "loading":
            return None, f"a sheet {values['sheet']:g} min, a roll {values['roll']:g} min", ""
    idle = f", {values['idle']:g} W idle" if "idle" in values else ""
    meter = f"Meter: {visible(values['meter'])}." if "meter" in values else ""
    return Amount(values["printing"], None, "W"), f"{values['printing']:g} W printing{idle}", meter


def _ink(values: Values) -> tuple[Amount, str, str]:
    amount = worked.ink(values)
    error = amount.error or 0.0
    if amount.as_range:
        low, high = max(0.0, amount.value - error), amount.value + error
        shown = f"{plain(low, 1)} to {plain(high, 1)} ml/m2"
        needed = worked.area_for(values, worked.RANGE_FROM)
        share = percent(error / amount.value)
        more = f"A range, since one error is {share}; {needed:.1f} m2 would bring it to 10 %."
    else:
        shown, more = f"{plain(amount.value, 1)} ± {plain(error, 1)} ml/m2", ""
    picture = f" Picture: {visible(values['picture'])}." if "picture" in values else ""
    cleaning = f" Cleaning apart: {values['cleaning']:g} ml." if "cleaning" in values else ""
    basis = f"{values['inks']:g} inks, step {values['step']:g} ml, {values['area']:g} m2 printed."
    return amount, shown, f"{basis}{picture}{cleaning}{f' {more}' if more else ''}"


def _money(amount: Amount) -> str:
    error = "" if amount.error is None else f" ± {plain(amount.error, 2)}"
    return f"{plain(amount.value, 2)}{error} {visible(amount.unit)}"


def table(stated: tuple[Fact, ...], session: int) -> Table:
    """A row a fact; those stated of the printer in another session say so."""
    rows = tuple((one.kind.title, _cell(one, session), f"{one.method} {one.tells_not}") for one in stated)
    return Table("As stated", ("fact", "value", HOW), rows)


def _cell(one: Fact, session: int) -> str:
    return one.shown if one.session == session else f"{one.shown} (stated in session {one.session})"


def paper_table(found: tuple[PaperFact, ...]) -> Table:
    """A row a fact of the bare paper."""
    told = _once([one.tells_not for one in found])
    rows = tuple(
        (one.title, one.shown or "-", one.condition or "-", f"{one.source}. {more}")
        for one, more in zip(found, told, strict=True)
    )
    return Table("The paper", ("fact", "value", "condition", WHERE_FROM), rows)


def tables_beside(found: Sequence[tuple[int, Sequence[Fact], Sequence[PaperFact]]]) -> tuple[Table, ...]:
    """The same of several prints, each (session, as stated, of its paper), in columns."""
    heads = tuple(f"session {session}" for session, _, _ in found)
    stated = _beside([{one.kind.title: (one, session) for one in own} for session, own, _ in found], _told)
    papers = _beside([{one.title: one for one in own} for _, _, own in found], _of_paper)
    made = (
        Table("As stated", ("fact", *heads, HOW), stated),
        Table("The paper", ("fact", *heads, WHERE_FROM), _said_once(papers)),
    )
    return tuple(one for one in made if one.rows)


def _beside(columns: Sequence[Mapping[str, T]], words: Callable[[T], tuple[str, str]]) -> Rows:
    """A row a title: a cell a print, and what goes for all; `words` gives both of one print."""
    rows = []
    for title in dict.fromkeys(title for column in columns for title in column):
        told = [words(column[title]) if title in column else ("-", "") for column in columns]
        rows.append((title, *(cell for cell, _ in told), next(how for _, how in told if how)))
    return tuple(rows)


def _told(one: tuple[Fact, int]) -> tuple[str, str]:
    found, session = one
    return f"{_cell(found, session)}. {found.more}".strip(), f"{found.kind.method} {found.tells_not}"


def _of_paper(one: PaperFact) -> tuple[str, str]:
    condition = f" ({one.condition})" if one.value is not None and one.condition else ""
    return f"{one.shown or '-'}{condition}", f"{one.source}. {one.tells_not}"


def _said_once(rows: Rows) -> Rows:
    return tuple((*row[:-1], how) for row, how in zip(rows, _once([row[-1] for row in rows]), strict=True))


def _once(texts: Sequence[str]) -> list[str]:
    """What an instrument of its kind leaves open goes into the first row it applies to."""
    first = next((k for k, text in enumerate(texts) if _INSTRUMENT in text), 0)
    return [text if k == first else text.replace(f"{_INSTRUMENT} ", "") for k, text in enumerate(texts)]


# Paper facts ----------------------------------------------------------------------------------------------


def whiteness(value: float | None, tint: float | None, why: str, condition: str) -> PaperFact:
    """W10 and T10; `why` without a value, or beside one that means nothing."""
    shown = "" if value is None or tint is None else f"W10 {plain(value, 0)}, T10 {signed(tint, 1)}"
    return PaperFact(
        "whiteness",
        "Whiteness and tint",
        value,
        "",
        f"{shown}, {why}" if shown and why else shown or f"not known: {why}",
        why,
        condition,
        "CIE 015, and ISO 11475 for paper",
        "COMPUTED",
        f"{_INSTRUMENT} Whiter is not better: a bluer paper has a larger number.",
    )


def brightness(value: float | None, why: str, condition: str) -> PaperFact:
    """Blue reflectance at 457 nm."""
    return PaperFact(
        "brightness",
        "Brightness",
        value,
        "%",
        f"{plain(value, 0)} % at 457 nm" if value is not None else f"not known: {why}",
        why,
        condition,
        "Weights of ISO 2470-1, recalled and unconfirmed",
        "MEMORY",
        f"{_INSTRUMENT} It tells of the blue alone, nothing of how white a paper looks.",
    )


def brightener(db: float | None, amount: str, why: str, condition: str) -> PaperFact:
    """b* gained without ultraviolet, and how much brightener that means."""
    return PaperFact(
        "brightener",
        "Brightener",
        db,
        "b*",
        f"{amount}: b* {signed(db, 1)} without ultraviolet" if db is not None else f"not known: {why}",
        why,
        condition,
        "Difference of two conditions of ISO 13655; its words are the project's own choice",
        "own",
        "It does not tell how fast the brightener fades, nor whether it sits in the coating or in the base.",
    )


def opacity(share: float | None, shown: str, why: str, condition: str) -> PaperFact:
    """Y over black backing as a share of Y over white."""
    return PaperFact(
        "opacity",
        "Opacity",
        share,
        "share",
        f"{shown} of its light over black" if share is not None else f"not known: {why}",
        why,
        condition,
        "Luminance over black backing divided by that over white; common practice",
        "own",
        "It is not the opacity of ISO 2471, which takes a pile of the same paper for the white.",
    )
