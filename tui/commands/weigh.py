"""`drydown weigh`: findings, verdict and likely causes of a session."""

from argparse import Namespace
from collections.abc import Iterator

from evaluation.errors import UsageProblem
from evaluation.judgement.opinion import Finding, Opinion, Weighing
from evaluation.judgement.tables import Tables
from evaluation.session import for_use
from evaluation.telling import observers as words
from evaluation.telling import paper_and_black
from evaluation.telling.paper_and_black import PaperAndBlack
from evaluation.telling.side_by_side_tables import beside_it
from evaluation.work.bench import Bench
from evaluation.work.compare import facts as compare_facts
from evaluation.work.log import session
from evaluation.work.sidebyside import sidebyside
from evaluation.work.weigh import observers, observers_document, set_aside, weigh
from evaluation.work.weigh.document import deciding as deciding_region
from evaluation.work.weigh.document import document as weighing_document
from evaluation.work.weigh.observers import Observers
from evaluation.work.write_up import published
from tui.out import Out
from tui.place import bench


def run(args: Namespace, out: Out) -> int:
    """A row a region, then why, then the verdict for the use the print is made for, or the one asked for."""
    with bench(getattr(args, "archive", None)) as at:
        subject = session(at, args.session)
        if args.set_aside is not None or args.take_in is not None:
            _aside(at, subject.id, args)
        if args.observers:
            return _observers(observers.observers(at, subject.id), out)
        weighing = weigh.weigh(at, subject.id, reveal=args.reveal)
        since = published.since(at, weighing)
        facts = compare_facts.facts(at, subject.id)
        in_force = weigh.tables(at)
        beside = beside_it(sidebyside.of_prints(at, [subject.id]), subject.id)
    if out.as_json:
        out.result({**weighing_document(weighing, since), "black": compare_facts.document(facts)})
    else:
        _told(weighing, facts, args.use or subject.condition.made_for or "general", out)
        for line in beside:
            out.line(line)
        if since:
            out.line()
            out.line(since)
        _settings(weighing, in_force, out)
    return 0


def _aside(at: Bench, session_id: int, args: Namespace) -> None:
    """Raises UsageProblem for a viewing that is to be set aside without a reason."""
    if args.take_in is not None:
        set_aside.set_aside(at, session_id, args.take_in, "")
    if args.set_aside is not None:
        if not args.because.strip():
            raise UsageProblem(set_aside.UNCHANGED, expected="--because and the reason", found="none")
        set_aside.set_aside(at, session_id, args.set_aside, args.because)


def _observers(found: Observers, out: Out) -> int:
    """A row a region, a column an observer, all of them pooled; then how alike they are."""
    if out.as_json:
        out.result(observers_document.document(found))
        return 0
    rows = words.table(found)
    out.table(rows.heads, rows.rows, right=rows.right)
    out.line()
    for line in observers_document.told(found):
        out.line(line)
    return 0


def _told(weighing: Weighing, facts: PaperAndBlack, use: str, out: Out) -> None:
    out.table(
        ("region", "eye", "instr.", "agreement", "combined"),
        [_row(finding) for finding in weighing.findings],
        right=(1, 2, 4),
    )
    out.line()
    for finding in weighing.findings:
        if finding.why:
            out.line(f"{finding.title}: {finding.why}")
    verdict = weighing.verdicts[use]
    out.line()
    out.line(f"{for_use(use).capitalize()}: {verdict.words}.")
    for reason in verdict.reasons:
        out.line(f"  {reason}")
    if verdict.would_decide:
        out.line(f"  To decide: {verdict.would_decide}")
    for cause in weighing.causes:
        out.line()
        out.line(f"Possible cause: {cause.text}")
        out.line(f"  for: {'; '.join(cause.evidence_for)}")
        out.line(f"  against: {'; '.join(cause.evidence_against) or 'nothing yet'}")
        out.line(f"  first: {cause.first_check} ({cause.cost})")
    _facts(weighing, facts, out)
    if weighing.caveats:
        out.line()
    for caveat in weighing.caveats:
        out.line(caveat)


def _settings(weighing: Weighing, in_force: Tables, out: Out) -> None:
    """By which anchors and settings this was weighed, where either tells of a grade."""
    out.line()
    if any(finding.instrument for finding in weighing.findings):
        out.line(f"Anchors, from a reading to a grade: {in_force.whose_anchors}.")
    overridden = ", ".join(in_force.overridden)
    named = f"settings of your own: {overridden}" if overridden else "settings as shipped"
    out.line(f"Weighed with {named} (digest {weighing.settings_digest[:12]}).")


def _facts(weighing: Weighing, facts: PaperAndBlack, out: Out) -> None:
    """What is told and never graded: the paper, the steps from file to print, the black."""
    told = list(_of_profile(weighing))
    if black := paper_and_black.told(facts):
        told.append(black)
    if told:
        out.line()
        out.line("Not graded:")
    for line in told:
        out.line(f"  {line}")
    deciding = deciding_region(weighing)
    if deciding is None:
        return
    out.line()
    out.line(f"{deciding.title}, from the file to the print, mean of the patches relative to the paper:")
    out.table(
        ("step", "dL*", "da*", "db*", "dE00", "patches"),
        [
            (step.name, *(f"{value:+.1f}" for value in step.vector), step.de00, step.behind)
            for step in deciding.steps
        ],
        right=(1, 2, 3, 4, 5),
    )
    out.line(
        "Vectors of the first two add up to the whole before rounding; their dE00 do not, so none is a share."
    )
    if any(step.counted < step.patches for step in deciding.steps):
        out.line(
            "Vectors are of all patches, dE00 of those that count: the print cannot miss what no ink reaches."
        )


def _of_profile(weighing: Weighing) -> Iterator[str]:
    if weighing.paper:
        profile, measured = (
            " ".join(f"{value:.1f}" for value in lab)
            for lab in (weighing.paper.profile, weighing.paper.measured)
        )
        yield (
            f"Paper since profiling: {weighing.paper.de00:.1f} dE00; L* a* b* {profile} in the profile, "
            f"{measured} as read."
        )
    if weighing.fit:
        yield (
            f"Profile fit, against the readings it was made from: {weighing.fit.median:.1f} dE00 in the "
            f"median, {weighing.fit.p95:.1f} at the 95th percentile, {weighing.fit.patches} patches."
        )
    elif weighing.print_step:
        yield "Profile fit not known without the readings the profile was made from: the print step holds it."
    if weighing.print_step:
        mean, p95 = weighing.print_step
        steps = (step for finding in weighing.findings for step in finding.steps)
        inside = " inside the gamut" if any(step.counted < step.patches for step in steps) else ""
        yield (
            f"Print, the whole sheet against what the profile expects: {mean.value:.1f} dE00 on average, "
            f"{p95.value:.1f} at the 95th percentile, {mean.patches} patches{inside}."
        )


def _row(finding: Finding) -> tuple[object, ...]:
    agreement = "DISAGREE" if finding.agreement == "disagree" else finding.agreement
    return finding.title, _grade(finding.eye), _grade(finding.instrument), agreement, _grade(finding.combined)


def _grade(opinion: Opinion | None) -> float | None:
    return opinion.grade if opinion else None
