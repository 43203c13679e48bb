"""A plan in words and rows: the same for the page, the command and its document."""

from collections.abc import Callable
from datetime import datetime, time

from evaluation.planning.plan import Job, Plan
from evaluation.planning.replays import share_done
from evaluation.planning.rule import Act
from evaluation.planning.steps import DAY, PRINTED, VIEWED, Chain
from evaluation.telling import loan as loan_words
from evaluation.telling import plan as words
from evaluation.telling.table import Table

Share = tuple[str, float]  # a sentence, and the share it words


def next_step(plan: Plan) -> list[str]:
    """What to do now and why; or why there is nothing to do."""
    if not plan.jobs:
        return [words.NOTHING_PLANNED]
    batch = plan.batch
    if not batch:
        return [words.ALL_DONE] if not plan.chains else [words.NOTHING_FITS] if plan.windows else []
    first = batch[0]
    job = plan.of_chain[first.chain]
    settings = [plan.of_chain[act.chain].setting for act in batch]
    change = plan.times.change if first.changed else 0.0
    minutes = batch[-1].end - first.start
    lines = [*_until(plan), f"{words.step_of(first.step, job.paper.name, settings)}."]
    chain = plan.chains[first.chain]
    left = sum(len(one.steps) for one in plan.chains if one.paper == chain.paper)
    others = len({one.paper for one in plan.chains}) - 1
    idle = any(job.state == "open" and job.step not in PRINTED for job in plan.jobs)
    why = words.why(first.step, plan.times.dry / 60, others, left, idle=idle)
    lines.append(f"{words.takes(minutes, change, len(batch))} {why}")
    if first.step in words.TO_PRINT:
        lines.append(words.TO_PRINT[first.step])
    return lines


def _until(plan: Plan) -> list[str]:
    begins = plan.begins
    if begins is None or plan.at_once:
        return []
    assert plan.hours is not None
    now = plan.hours.minute(plan.now)
    closed = not any(since <= now < to for since, to in plan.windows)
    wet = [
        f"{job.paper.name}, {job.setting}"
        for job in plan.jobs
        if job.state == "dries" and job.from_ == begins
    ]
    return [words.waits(words.clock(begins, plan.now), wet, closed=closed)]


def when(plan: Plan, job: Job, clock: Callable[[datetime, datetime], str] = words.clock) -> str:
    """What a list says of when a job goes on; `clock` words a moment, as seen from now."""
    if job.state in ("done", "left out"):
        return job.state
    if job.state == "now":
        begins = plan.begins
        return "now" if begins is None or plan.at_once else clock(begins, plan.now)
    if job.state == "dries" and job.from_ is not None:
        return f"dry {clock(job.from_, plan.now)}"
    return "ready" if job.latest is not None else "does not fit"


def latest(plan: Plan, job: Job) -> str:
    """The latest start of the next step; "-" where there is none."""
    return "-" if job.latest is None else words.clock(job.latest, plan.now)


def jobs(plan: Plan) -> Table:
    """Every paper in every setting, those first that come first."""
    rows = [
        (
            str(number),
            job.paper.name,
            job.setting,
            words.STEP[job.step] if job.step else "-",
            when(plan, job),
            latest(plan, job),
            "-" if job.session is None else str(job.session),
        )
        for number, job in enumerate(plan.jobs, 1)
    ]
    heads = ("", "paper", "setting", "next", "when", "latest start", "session")
    return Table("", heads, tuple(rows), right=(0, 6))


def rest(plan: Plan) -> list[str]:
    """Until the printer goes back: work against open hours. Nothing where nothing is left."""
    if not plan.chains or plan.hours is None:
        return []
    viewings = sum(step in VIEWED for one in plan.chains for step in one.steps)
    days = len({since // DAY for since, _ in plan.windows})
    eyes = words.eyes(viewings, plan.times.viewings_a_day, days)
    return [words.room(plan.work, plan.open), *([eyes] if eyes else [])]


def shares(plan: Plan) -> list[Share]:
    """How likely all of it is, then after each thing left out, until it is nearly certain. Takes a moment."""
    if not plan.chains or plan.hours is None:
        return []

    def share(chains: tuple[Chain, ...]) -> float:
        return share_done(chains, plan.windows, plan.times, loaded=plan.loaded, seen=plan.seen)

    papers = {one.paper for one in plan.chains}
    most = max(sum(one.paper == paper for one in plan.chains) for paper in papers)
    whole = share(plan.chains)
    found = [(words.all_of(len(papers), most, len(plan.chains), whole), whole)]
    for rung in plan.rungs:
        if found[-1][1] >= words.NEARLY:
            break
        after = share(rung.chains)
        names = [plan.loan.papers[place].name for place in rung.papers]
        found.append((words.without(rung.drop, names, after), after))
    return found


def week(plan: Plan, days: int = 7, *, narrow: bool = False) -> Table:
    """The steps of the next days if all takes as long as usual, with their latest starts.

    `narrow`: one column says when they begin, and none when they end.
    """
    rows = []
    for act in coming(plan, days):
        job = plan.of_chain[act.chain]
        start, last = plan.clock(act.start), plan.latest(act)
        rows.append(
            (
                *(
                    (words.brief(start, plan.now),)
                    if narrow
                    else (words.short_day(start), f"{start:%H:%M}", f"{plan.clock(act.end):%H:%M}")
                ),
                words.SHORT_STEP[act.step],
                job.paper.name,
                job.setting,
                "-" if last is None else words.brief(last, plan.now),
            )
        )
    heads = (*(("begins",) if narrow else ("day", "from", "to")), "step", "paper", "setting", "latest")
    return Table("", heads, tuple(rows), note=words.NO_PROMISE)


def coming(plan: Plan, days: int = 7) -> tuple[Act, ...]:
    """The steps of the next days, in order."""
    if plan.hours is None:
        return ()
    today = plan.hours.minute(datetime.combine(plan.now.date(), time()))
    return tuple(act for act in plan.acts if act.start < today + days * DAY)


def questions(plan: Plan) -> list[str]:
    """Readers' questions, the open ones first, with their answers."""
    found = []
    for one in sorted(plan.loan.questions, key=lambda one: one.answered is not None):
        found.append(loan_words.question(one.number, one.text, one.who, one.paper, one.region))
        if one.answered is not None:
            found.append(loan_words.answer(one.answer, one.appendix))
    return [*(found or [loan_words.NO_QUESTION]), *questions_open(plan)]


def questions_open(plan: Plan) -> list[str]:
    """How many wait for an answer, and until when; nothing without questions."""
    if not plan.loan.questions:
        return []
    last = plan.loan.about.last
    waiting = sum(one.answered is None for one in plan.loan.questions)
    return [
        loan_words.ask_before(waiting, None if last is None else datetime.combine(last, time()), plan.now)
    ]
