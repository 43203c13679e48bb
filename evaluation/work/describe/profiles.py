"""The profile a print was made with: named by its file, kept with the session, and what it says of itself."""

from pathlib import Path
from typing import Final

from evaluation.archive import documents, held
from evaluation.entry import Draft
from evaluation.errors import ProfileProblem
from evaluation.plain_text import counted, listed
from evaluation.session import Session
from evaluation.work.bench import Bench
from evaluation.work.describe.typed_values import NOT_SAVED
from evaluation.work.log import Entered, refuse_read_only, say

# What a person types after the path to keep a profile of another class.
_ANYWAY: Final = "anyway"
_CARRIES: Final = " It carries the readings it was made from: Read offers them."


def say_profile(bench: Bench, session_id: int, typed: str) -> Entered:
    """Read and keep the ICC profile at a path, or forget the one before.

    "PATH, anyway" keeps one that is no output profile. Raises ProfileProblem.
    """
    if not typed:
        return say(
            bench,
            session_id,
            [Draft("condition", "profile", None), Draft("condition", "profile_digest", None)],
        )
    from evaluation.profile.icc_facts import read_profile, refuse_for_prints  # only where one is named

    refuse_read_only(bench)
    path, anyway = _anyway(typed)
    held.refuse(path, NOT_SAVED)
    contents, content = read_profile(path)
    refuse_for_prints(contents, path.name)
    if not anyway:
        refuse_other_classes(contents.profile_class, path.name, f"Or type “{path.name}, {_ANYWAY}”")
    with bench.archive.joined():  # the file and its name, or neither
        digest = documents.keep(bench.archive, "profile", path.name, content)
        return say(
            bench,
            session_id,
            [Draft("condition", "profile", path.name), Draft("condition", "profile_digest", digest)],
        )


def _anyway(typed: str) -> tuple[Path, bool]:
    path, comma, word = typed.rpartition(",")
    if comma and word.strip().casefold() == _ANYWAY:
        return Path(path.strip()).expanduser(), True
    return Path(typed).expanduser(), False


def refuse_other_classes(profile_class: str, name: str, or_else: str) -> None:
    """Raise ProfileProblem for a profile that describes no print; `or_else` keeps it, as a caveat."""
    if profile_class != "output":
        raise ProfileProblem(
            "The profile was not taken for the print's.",
            where=name,
            expected="an output profile: of a printer and its paper, or of a printing condition",
            found=f"one of class {profile_class}, which describes no print",
            remedy=f"Name the profile that the print was made with. {or_else}: that stays a caveat.",
        )


def profile_facts(bench: Bench, session: Session) -> str:
    """A sentence or two from the profile's own bytes; "" where none was kept."""
    digest = session.condition.profile_digest
    if digest is None:
        return ""
    from evaluation.profile.carried import carried
    from evaluation.profile.icc_facts import icc_facts

    content = documents.fetch(bench.archive, digest)[1]
    facts = icc_facts(content, session.condition.profile)
    made = f", made {facts.created[:10]}" if facts.created else ""
    return (
        f"From the profile file: {facts.profile_class}, {facts.device_space}, version {facts.version}{made}; "
        f"intents {', '.join(facts.intents)}."
        f"{_CARRIES if carried(content, session.condition.profile) else ''}"
    )


def made_from(content: bytes, name: str) -> str:
    """What a profile holds of the readings it was made from, for a sentence; "" where it holds none.

    “1,380 patches under M0”. Data that cannot be read count as none here: reading them says why.
    """
    from evaluation.errors import DrydownError
    from evaluation.profile.carried import carried
    from evaluation.readings.detect import runs_in
    from evaluation.readings.source import Source
    from evaluation.readings.supplied import Supplied

    try:
        if not carried(content, name):
            return ""
        runs = runs_in(Source(name, content, ""), Supplied(), asking=False)
    except DrydownError:
        return ""
    conditions = listed(list(dict.fromkeys(run.stated.condition or "a condition not stated" for run in runs)))
    return f"{counted(max(map(len, runs)), 'patch', 'patches')} under {conditions}"
