"""Where the tables and limits come from, with their marks, and which of them the user has changed."""

from collections.abc import Iterable, Iterator
from typing import Any

from evaluation.appendix.case import Case, Edition
from evaluation.appendix.document import Block, Facts, Paragraph, Section
from evaluation.appendix.judged import SCALE_SOURCE
from evaluation.judgement.tables import Tables
from evaluation.plain_text import listed
from evaluation.published.passport import MARK_WORDS, Passport, load_table, load_toml
from evaluation.telling import metrics
from evaluation.telling.table import Table
from evaluation.telling.wording import folded, spaced

_MARKS = (
    ("read", "seen in a public source"),
    ("computed", "worked out with a named library"),
    ("unconfirmed", "recalled from memory, not looked up: an editable setting"),
    ("own choice", "the project's own choice: an editable setting"),
)
# Published tables that every weighing goes by, beside those of the judgement.
_ALWAYS = (
    ("evaluation.published", "observer-1931.csv"),
    ("evaluation.published", "illuminants.csv"),
    ("evaluation.sheet", "questions.toml"),
)


def notes(edition: Edition) -> Section:
    """What the article rests on: notes by number, the settings that are not as shipped, the version."""
    return Section("notes", "Notes", tuple(Paragraph(each, "note") for each in _told(edition)))


def in_short(edition: Edition) -> Paragraph:
    """The notes in one paragraph, for under a summary, which speaks of no flare."""
    return Paragraph(" ".join(_told(edition)[1:]), "note")


def _told(edition: Edition) -> tuple[str, ...]:
    own = edition.tables.overridden
    changed = f"{listed([spaced(path) for path in own])} set by the user" if own else "all as shipped"
    return (
        "1  Flare of 0.5 and 1 %; these shares were set from memory.",
        f"Grades: {SCALE_SOURCE}, ± one standard error. Limits of the verdict are the project's own choice; "
        f"settings: {changed}, digest {edition.tables.digest[:12]}.",
        "A verdict holds for this print, this light and the use it names. Differences are CIEDE2000, print "
        "less aim, unless a unit says otherwise.",
    )


def settings(edition: Edition) -> Section:
    """The section on settings: their digest, and every value the user put in place of a shipped one."""
    tables = edition.tables
    blocks: list[Block] = [Facts((("digest of the settings", tables.digest),))]
    if tables.overridden:
        rows = tuple(
            (path, _value(edition.shipped, path), _value(tables, path)) for path in tables.overridden
        )
        blocks.append(Table("Settings overridden by the user", ("setting", "as shipped", "as used"), rows))
    else:
        blocks.append(Paragraph("No setting was overridden; all tables are as shipped."))
    return Section("settings", "Settings", tuple(blocks))


def sources(cases: tuple[Case, ...], edition: Edition) -> Section:
    """The section on sources: tables, anchors of the numbers shown, every limit, each with its mark."""
    used = {metric.name for case in cases for finding in case.looked for metric in finding.metrics}
    anchors = tuple(anchor for anchor in edition.tables.anchors.values() if anchor.metric in used)
    blocks: list[Block] = [
        Facts(_MARKS),
        Table(
            "Tables",
            ("table", "source", "mark", "how obtained"),
            tuple(
                (
                    folded(passport.title),
                    folded(passport.source),
                    MARK_WORDS[passport.mark],
                    folded(passport.obtained),
                )
                for passport in _passports(edition.tables)
            ),
        ),
        Paragraph(f"Scale of grades: {SCALE_SOURCE} (READ)."),
    ]
    if anchors:
        blocks.append(
            Table(
                "Anchors of the numbers above: their value at grade 5, 4, 3, 2 and 1",
                ("number", "5", "4", "3", "2", "1", "unit", "source and mark"),
                tuple(
                    (
                        metrics.telling(anchor.metric).name,
                        *(f"{value:g}" for value in anchor.at),
                        anchor.unit,
                        folded(anchor.source),
                    )
                    for anchor in anchors
                ),
                right=(1, 2, 3, 4, 5),
            )
        )
    blocks.append(
        Table(
            "Thresholds and defaults",
            ("limit", "value", "unit", "mark", "note"),
            tuple(
                (
                    row.name.replace("_", " "),
                    f"{row.value:g}",
                    row.unit,
                    MARK_WORDS[row.mark],
                    folded(row.note),
                )
                for row in edition.tables.thresholds.values()
            ),
            right=(1,),
        )
    )
    return Section("sources", "Sources of tables and limits", tuple(blocks))


def versions(cases: tuple[Case, ...], edition: Edition) -> Section:
    """Version, and the digests by which everything here can be found again in the archive."""
    rows = [
        ("drydown", edition.version),
        ("rules of weighing", f"version {cases[0].weighing.inputs.rules}"),
        ("settings", edition.tables.digest),
    ]
    for case in cases:
        rows += _digests(case, f"session {case.session.id}, " if len(cases) > 1 else "")
    note = "A digest is the sha256 of the content: the same digest, the same content, byte for byte."
    return Section("versions", "Versions and digests", (Facts(tuple(rows)), Paragraph(note)))


def _digests(case: Case, prefix: str) -> Iterator[tuple[str, str]]:
    session, inputs = case.session, case.weighing.inputs
    yield f"{prefix}session", inputs.session
    for named in inputs.named:
        yield f"{prefix}session {named.session}, named in it", f"{named.uid}, revision {named.revision}"
    if inputs.light:
        yield f"{prefix}spectrum of the second light", inputs.light
    yield f"{prefix}map of the sheet", session.sheet_digest
    if session.condition.profile_digest:
        yield f"{prefix}profile", session.condition.profile_digest
    for index, taken in enumerate(case.taken, 1):
        yield f"{prefix}readings {index}", taken.run.source_digest or "typed by hand, no file"


def _passports(tables: Tables) -> Iterable[Passport]:
    found = [*tables.passports.values(), metrics.passport()]
    for package, name in _ALWAYS:
        found.append(
            load_table(package, name).passport if name.endswith(".csv") else load_toml(package, name)[0]
        )
    return found


def _value(tables: Tables, path: str) -> str:
    """The value at a key path of weighing.toml, as a person would write it."""
    table, _, rest = path.partition(".")
    name, _, key = rest.partition(".")
    value: Any = None
    if table == "anchors" and name in tables.anchors:
        value = tables.anchors[name].at
    elif table == "thresholds" and name in tables.thresholds:
        value = tables.thresholds[name].value
    elif table == "clues" and name in tables.clues:
        value = tables.clues[name].value
    elif table == "causes":
        value = next((row.factor for row in tables.causes if row.id == name), None)
    elif table == "uses":
        use = next((row for use, row in tables.uses.items() if use.replace(" ", "_") == name), None)
        value = None if use is None else use.key if key == "key" else use.weights.get(key, 0)
    return _plain(value)


def _plain(value: Any) -> str:
    if isinstance(value, tuple):
        return ", ".join(_plain(part) for part in value)
    if isinstance(value, float | int):
        return f"{value:g}"
    return "not set" if value is None else str(value)
