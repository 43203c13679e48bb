"""The plan of a loan as it stands, made from what is entered and from what its sessions say."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import median

from evaluation.archive import loans
from evaluation.archive.loans import LoanSession
from evaluation.loan import ENOUGH_TIMERS, Loan
from evaluation.planning import rule
from evaluation.planning.hours import Hours, hours
from evaluation.planning.plan import Job, Plan, State, TimesOf
from evaluation.planning.steps import SHORT_LOOK, USUAL, Chain, Step, Times
from evaluation.telling import plan as words
from evaluation.work.bench import Bench

WHOLE: tuple[Step, ...] = ("charts", "profile", "sheet", "look")


@dataclass(frozen=True, slots=True)
class _At:
    """Where a job stands: steps done, from which minute the next may begin, when it was printed last."""

    done: int
    ready: datetime | None = None
    printed: datetime | None = None


def plan(bench: Bench, loan: Loan) -> Plan:
    """Make the plan from what is entered and what its sessions say; nothing is kept."""
    now = bench.now().astimezone()
    clock = now.replace(tzinfo=None)
    about = loan.about
    times, times_of = times_used(loan, bench.clocks.drying / timedelta(minutes=1))
    found = loans.standings(bench.archive, set(loan.sessions.values()))
    troubles = list(words.troubles_of_dates(about, loan.newest.astimezone(), now))
    open_hours: Hours | None = None
    windows: tuple[tuple[float, float], ...] = ()
    if about.first and about.last and about.first <= about.last:
        open_hours = hours(about.first, about.last, about.opens, about.closes, about.days, loan.lost)
        windows = open_hours.after(open_hours.minute(now))
    steps = (*WHOLE, "second") if about.second_viewings else WHOLE
    minutes: dict[Step, float] = {} if about.full_list else {"look": min(SHORT_LOOK, times.minutes["look"])}
    jobs: list[Job] = []
    chains: list[Chain] = []
    printed: list[tuple[datetime, int]] = []
    for place, paper in enumerate(loan.papers):
        for number, setting in enumerate(paper.settings):
            uid = loan.sessions.get((paper.name, setting))
            session = None if uid is None else found.get(uid)
            if uid is not None and (session is None or session.removed):
                troubles.append(words.gone(paper.name, setting, session.number if session else None))
            session = None if session is None or session.removed else session
            at = _stands(loan, paper.name, setting, session, steps, times)
            if at.printed is not None:
                printed.append((at.printed, place))
            left = steps[at.done :]
            if (paper.name, setting) in loan.left_out or not left:
                state: State = "done" if not left else "left out"
                jobs.append(Job(paper, setting, state, None, session.number if session else None))
                continue
            ready = at.ready.astimezone() if at.ready else None
            waits = ready is not None and ready > now
            chains.append(
                Chain(
                    place,
                    number,
                    left,
                    open_hours.minute(ready) if open_hours and ready and waits else float("-inf"),
                    minutes or None,
                )
            )
            jobs.append(
                Job(
                    paper,
                    setting,
                    "dries" if waits else "open",
                    left[0],
                    session.number if session else None,
                    len(chains) - 1,
                    ready.replace(tzinfo=None) if ready and waits else None,
                )
            )
    loaded = max(printed)[1] if printed else None
    seen = sum(viewed.astimezone().date() == now.date() for one in found.values() for viewed in one.viewed)
    acts = rule.laid(chains, windows, times, loaded=loaded, seen=seen)
    last = rule.latest(chains, windows, times, acts)
    return Plan(
        loan,
        clock,
        _in_order(jobs, acts, last, open_hours),
        open_hours,
        tuple(windows),
        times,
        times_of,
        tuple(chains),
        acts,
        loaded,
        seen,
        tuple(troubles),
        last,
    )


def times_used(loan: Loan, dry: float) -> tuple[Times, Mapping[str, TimesOf]]:
    """The minutes of each step, and where they come from: three timers, else what was entered."""
    minutes: dict[Step, float] = {}
    origin: dict[str, TimesOf] = {}
    for step, usual in USUAL.minutes.items():
        took = loan.took.get(step, ())
        if len(took) >= ENOUGH_TIMERS:
            minutes[step], origin[step] = median(took), "timed"
        elif step in loan.minutes:
            minutes[step], origin[step] = loan.minutes[step], "entered"
        else:
            minutes[step], origin[step] = usual, "usual"
    return Times(minutes, USUAL.change, dry, USUAL.viewings_a_day), origin


def _stands(
    loan: Loan, paper: str, setting: str, session: LoanSession | None, steps: tuple[Step, ...], times: Times
) -> _At:
    """What is done by the session's own word, else by the plan's; a later step done means all before it."""
    entered = {step: loan.done.get((paper, setting, step)) for step in steps}
    said = {step: at is not None for step, at in entered.items()}
    printed_at = entered["sheet"]
    if session is not None:
        looked = session.state in ("weighed", "written up")
        said["profile"] |= session.has_profile
        said["sheet"] |= session.printed_at is not None
        said["look"] |= looked
        if "second" in said:
            said["second"] |= looked and len(session.viewed) > 1
        printed_at = session.printed_at or printed_at
    done = max((number for number, step in enumerate(steps, 1) if said[step]), default=0)
    last = steps[done - 1] if done else None
    dries = timedelta(minutes=times.dry)
    charts = entered["charts"]
    if last == "charts" and charts is not None:
        return _At(done, charts + dries, charts)
    if last == "sheet":
        ready = session.dries_until if session is not None and session.printed_at else None
        if printed_at is not None and (session is None or session.printed_at is None):
            ready = printed_at + dries
        return _At(done, ready, printed_at)
    return _At(done, None, printed_at or charts)


def _in_order(
    jobs: list[Job],
    acts: tuple[rule.Act, ...],
    last: Mapping[int, tuple[float, ...]],
    open_hours: Hours | None,
) -> tuple[Job, ...]:
    """Those first that come first; then what does not fit, what is done, what is left out."""
    order = {act.chain: number for number, act in reversed(list(enumerate(acts)))}
    starts = {act.chain: act.start for act in reversed(acts)}
    now = acts[0].start if acts else 0.0
    found = []
    for job in jobs:
        place = job.chain
        latest = last[place][0] if place is not None and place in last else None
        state: State = (
            "now" if place in starts and job.state == "open" and starts[place] == now else job.state
        )
        moment = None if latest is None or open_hours is None else open_hours.moment(latest)
        found.append(Job(job.paper, job.setting, state, job.step, job.session, place, job.from_, moment))
    rank = {"now": 0, "open": 0, "dries": 0, "done": 2, "left out": 3}
    end = len(acts)
    return tuple(
        sorted(
            found, key=lambda job: (rank[job.state], order.get(-1 if job.chain is None else job.chain, end))
        )
    )
