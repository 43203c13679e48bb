"""The form of a loan as text, and the form read back."""

from datetime import datetime
from typing import Any, Final

from evaluation import keyed
from evaluation.errors import UsageProblem
from evaluation.keyed import Keyed
from evaluation.loan import About, Loan, WantedPaper
from evaluation.planning import typed
from evaluation.planning.steps import STEPS
from evaluation.session import USES
from evaluation.work.bench import Bench
from evaluation.work.plan import entering

NOT_BEGUN: Final = "No loan was begun."
_FIELDS: Final = ("first", "last", "opens", "closes", "days", "second_viewings", "full_list")
_OF_PAPER: Final = ("name", "settings", "made_for", "maker_profile")

BLANK: Final = """\
# A printer on loan. Write between the quotation marks; what stays blank is taken as it usually is.
[loan]
printer = ""
inks = ""
first = ""              # first day, as 2026-12-01
last = ""               # the day it goes back
opens = ""              # from when somebody is there; blank: 9:00
closes = ""             # blank: 17:00
days = ""               # blank: Mon to Fri
second_viewings = ""    # yes: every print is looked at twice
full_list = ""          # no: thirty patches are read in place of the full list

# One table for each paper. The first is the base: it is never left out.
[[paper]]
name = ""
settings = ""           # quality settings, as fine, finest
made_for = ""           # general, black and white, portrait, landscape
maker_profile = ""      # yes: where time is short its maker's profile may do

# Minutes in hand, where you know better. Three timers of your own count before these.
[minutes]
charts = ""             # print the charts of a setting; usually 20
profile = ""            # read them and make the profile; 50
sheet = ""              # print the test image; 15
look = ""               # look at it and read it; 65
second = ""             # a second viewing; 45
"""


def begin_from(bench: Bench, text: str, where: str) -> Loan:
    """Begin a loan from a form. Raises SheetProblem, naming every mistake, and UsageProblem."""
    about, papers, minutes = read_form(text, where, bench.now())
    return entering.begin_loan(bench, about, papers, minutes)


def read_form(
    text: str, where: str, now: datetime
) -> tuple[About, tuple[WantedPaper, ...], dict[str, float]]:
    """What a form says."""
    top = keyed.parsed(text, where, what=NOT_BEGUN, form=True)
    about = _about(top.table("loan"), now)
    papers = tuple(one for table in top.tables("paper") if (one := _paper(table)) is not None)
    times = top.table("minutes")
    minutes = {str(step): times.number(step, low=1, high=1440) for step in STEPS if times.has(step)}
    times.only()
    for name in ("loan", "paper"):
        if not top.has(name):
            top.note(name, "missing; drydown plan --template prints the form")
    top.only("minutes")
    top.finish()
    try:
        entering.refuse_impossible(about)
        entering.refuse_twice(papers)
    except UsageProblem as problem:
        raise UsageProblem(NOT_BEGUN, where=where, expected=problem.expected, found=problem.found) from None
    return about, papers, minutes


def _about(table: Keyed, now: datetime) -> About:
    said: dict[str, Any] = {name: table.text(name, "") for name in ("printer", "inks")}
    for name in _FIELDS:
        if not table.has(name):
            if name in ("first", "last"):
                table.note(name, "missing")
            continue
        value = table.any(name)
        if isinstance(value, bool):
            value = "yes" if value else "no"
        try:
            said[name] = typed.about_typed(name, str(value), now)
        except UsageProblem as problem:
            table.wrong(name, problem.expected, value)
    table.only()
    return About(**said)


def _paper(table: Keyed) -> WantedPaper | None:
    """A paper; None for a table that was left blank."""
    if not any(table.has(key) for key in _OF_PAPER):
        table.only(*_OF_PAPER)
        return None
    name, settings = table.text("name"), table.texts("settings")
    made_for = table.one_of("made_for", USES, "general")
    makers = table.yes("maker_profile", default=False)
    table.only()
    try:
        kept = typed.paper_typed(f"{name.replace(':', ' ')}: {', '.join(settings)}")
    except UsageProblem as problem:
        table.wrong("settings", problem.expected, ", ".join(settings))
        return None
    return WantedPaper(kept.name, kept.settings, made_for, makers)
