"""`drydown weigh`: findings, verdict and likely causes of a session."""

from argparse import Namespace

from evaluation.judgement.opinion import Finding, Opinion, Weighing
from evaluation.work import weigh
from evaluation.work.say import session
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """A row a region, then why, then the verdict for the use the print is made for, or the one asked for."""
    with bench(getattr(args, "archive", None)) as at:
        subject = session(at, args.session)
        weighing = weigh.weigh(at, subject.id, reveal=args.reveal)
    if out.as_json:
        out.result(weigh.document(weighing))
    else:
        _told(weighing, args.use or subject.condition.made_for or "general", out)
    return 0


def _told(weighing: Weighing, use: str, out: Out) -> None:
    out.table(
        ("region", "eye", "instr.", "agreement", "combined"),
        [_row(finding) for finding in weighing.findings],
        right=(1, 2, 4),
    )
    out.line()
    for finding in weighing.findings:
        if finding.why:
            out.line(f"{finding.title}: {finding.why}")
    if weighing.print_step:
        mean, p95 = weighing.print_step
        out.line(
            f"The whole sheet, not graded: {mean.value:.1f} dE00 from what the profile expects on average, "
            f"{p95.value:.1f} at the 95th percentile, {mean.patches} patches inside the gamut."
        )
    if weighing.fit:
        out.line(
            f"The profile against the readings it was made from, not graded: {weighing.fit.median:.1f} dE00 "
            f"in the median, {weighing.fit.p95:.1f} at the 95th percentile, {weighing.fit.patches} patches."
        )
    verdict = weighing.verdicts[use]
    out.line()
    out.line(f"For {use}: {verdict.verdict}.")
    for reason in verdict.reasons:
        out.line(f"  {reason}")
    if verdict.would_decide:
        out.line(f"  To decide: {verdict.would_decide}")
    for cause in weighing.causes:
        out.line()
        out.line(f"May be: {cause.text}")
        out.line(f"  for: {'; '.join(cause.evidence_for)}")
        out.line(f"  against: {'; '.join(cause.evidence_against) or 'nothing yet'}")
        out.line(f"  first: {cause.first_check} ({cause.cost})")
    if weighing.caveats:
        out.line()
    for caveat in weighing.caveats:
        out.line(caveat)


def _row(finding: Finding) -> tuple[object, ...]:
    agreement = "DISAGREE" if finding.agreement == "disagree" else finding.agreement
    return finding.title, _grade(finding.eye), _grade(finding.instrument), agreement, _grade(finding.combined)


def _grade(opinion: Opinion | None) -> float | None:
    return opinion.grade if opinion else None
