"""What a session's profile promises of its print, from the profile that was kept with the session."""

from dataclasses import dataclass
from typing import Final

from evaluation.archive import documents
from evaluation.colorimetry.lab import lab_from_xyz
from evaluation.errors import ProfileProblem
from evaluation.judgement.tables import load_tables
from evaluation.metrics.gather import aim_relative, drivers_own
from evaluation.profile.engine import open_profile
from evaluation.profile.prediction import Prediction
from evaluation.session import Session
from evaluation.sheet.aims import source_lab
from evaluation.work.bench import Bench, sheet_of

_NOT_THROUGH_IT: Final = (
    "The driver's own black and white does not go through the profile: nothing is expected of it."
)
_OF_ANOTHER_CLASS: Final = (
    "The profile is of class {}, which describes no print: what it predicts is not what a printer would do."
)


@dataclass(frozen=True, slots=True, eq=False)
class Promised:
    """The promise, None where no profile can be used; and what to say of it beside a result."""

    expected: Prediction | None = None
    caveats: tuple[str, ...] = ()


def expected_of(bench: Bench, session: Session) -> Promised:
    """What the profile of a session promises; worked out once for each profile, sheet, intent and black.

    What is not stated is taken as relative colorimetric with black point compensation, as `judgement.caveats`
    says beside every result.
    """
    condition = session.condition
    if condition.profile_digest is None:
        return Promised()
    if drivers_own(condition):
        return Promised(None, (_NOT_THROUGH_IT,))
    intent = condition.intent or "relative colorimetric"
    compensation = condition.black_point_compensation is not False
    outside = load_tables(bench.settings_text, "weighing.toml")["gamut_distance"]
    key = (condition.profile_digest, session.sheet_digest, intent, compensation, outside)
    if key not in bench.promises:
        name, content = documents.fetch(bench.archive, condition.profile_digest)
        try:
            profile = open_profile(content, name)
        except ProfileProblem as problem:
            return Promised(None, (f"Nothing is expected of the profile: {problem.sentence}",))
        sheet = sheet_of(bench, session)
        aims = lab_from_xyz(aim_relative(sheet, source_lab(sheet), intent == "absolute colorimetric"))
        bench.promises[key] = Prediction(
            profile, intent, compensation, sheet.patches, aims, sheet.encoding, outside
        )
    promise = bench.promises[key]
    of_class = promise.profile.contents.profile_class
    odd = () if of_class == "output" else (_OF_ANOTHER_CLASS.format(of_class),)
    return Promised(promise, (*odd, *promise.remarks))
