"""A plan as plain JSON values."""

from datetime import datetime

from evaluation.documents import plan as shape
from evaluation.planning.plan import Plan
from evaluation.planning.steps import STEPS
from evaluation.telling import plan_rows


def document(plan: Plan) -> shape.Plan:
    """All of it, rounded."""
    about = plan.loan.about
    return {
        "loan": plan.loan.number,
        "printer": about.printer,
        "first": None if about.first is None else about.first.isoformat(),
        "last": None if about.last is None else about.last.isoformat(),
        "now": plan_rows.next_step(plan),
        "begins": _local(plan.begins),
        "jobs": [
            {
                "paper": job.paper.name,
                "setting": job.setting,
                "state": job.state,
                "step": job.step,
                "dry_at": _local(job.from_),
                "latest_start": _local(job.latest),
                "session": job.session,
            }
            for job in plan.jobs
        ],
        "work": round(plan.work / 60, 2),
        "open": round(plan.open / 60, 2),
        "likely": [
            {"told": sentence, "share": round(share, 3)} for sentence, share in plan_rows.shares(plan)
        ],
        "minutes": [
            {"step": step, "minutes": round(plan.times.minutes[step], 1), "by": plan.times_of[step]}
            for step in STEPS
        ],
        "questions": [
            {
                "number": one.number,
                "text": one.text,
                "who": one.who,
                "paper": one.paper,
                "region": one.region,
                "asked": one.asked.isoformat(timespec="seconds"),
                "answer": one.answer or None,
                "appendix": one.appendix,
            }
            for one in plan.loan.questions
        ],
        "troubles": list(plan.troubles),
    }


def _local(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat(timespec="minutes")
