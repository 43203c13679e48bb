"""JSON Schema of every document, made from its type."""

from collections.abc import Mapping
from typing import Any, Final

import msgspec

from evaluation.documents.actions import (
    Appendix,
    Attached,
    Begun,
    BroughtBack,
    Drawn,
    Graded,
    Listing,
    MapChecked,
    Problem,
    Reading,
    Template,
    Written,
)
from evaluation.documents.checks import Health, Numbers, Unchanged
from evaluation.documents.comparison import Comparison
from evaluation.documents.contents import Profile, Readings
from evaluation.documents.export import Export
from evaluation.documents.facts import FactsForReaders
from evaluation.documents.gamut import Gamut
from evaluation.documents.lamps import Lamps, NamedLights
from evaluation.documents.merging import Bundle, Differences, Merge, MergeUndone
from evaluation.documents.neutrality import Neutrality
from evaluation.documents.observers import ObserversOfPrint
from evaluation.documents.plan import Asked, LoanBegun, Plan
from evaluation.documents.profiling import Profiling
from evaluation.documents.references import OwnReferences
from evaluation.documents.settings import Calibrated, FromDecisions, Sensitivity, SettingsFile
from evaluation.documents.sidebyside import RoundsRecorded, SideBySide, Triangles
from evaluation.documents.weighing import WeighingWithBlack

# What each command prints with --json: one of these, by what it was asked.
DOCUMENTS: Final[Mapping[str, tuple[Any, ...]]] = {
    "list": (Listing,),
    "new": (Begun, Template),
    "grade": (Graded, Template),
    "read": (Reading,),
    "weigh": (WeighingWithBlack, ObserversOfPrint),
    "compare": (Comparison,),
    "sidebyside": (SideBySide, RoundsRecorded, Triangles, Template),
    "plan": (Plan, LoanBegun, Asked, Begun, Template, Written),
    "references": (OwnReferences,),
    "neutrality": (Neutrality,),
    "chart": (Profiling,),
    "lamp": (Lamps, NamedLights),
    "contents": (Readings, Profile),
    "gamut": (Gamut,),
    "facts": (FactsForReaders, Template),
    "sheet": (Drawn, MapChecked, Written),
    "appendix": (Appendix,),
    "attach": (Attached,),
    "bring-back": (BroughtBack,),
    "bundle": (Bundle,),
    "export": (Export,),
    "merge": (Merge, Differences, MergeUndone),
    "backup": (Written,),
    "check": (Health, Unchanged, Numbers),
    "settings": (SettingsFile, Calibrated, Sensitivity, FromDecisions),
}


def schema(command: str) -> dict[str, Any]:
    """The JSON Schema (2020-12) of what a command prints with `--json`; of a problem too. KeyError: none."""
    types = (*DOCUMENTS[command], Problem)
    shapes, parts = msgspec.json.schema_components(types, ref_template="#/$defs/{name}")
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"drydown {command} --json",
        "oneOf": list(shapes),
        "$defs": {name: _closed(part) for name, part in parts.items()},
    }


def _closed(part: dict[str, Any]) -> dict[str, Any]:
    """No key beside those of the type."""
    return part | {"additionalProperties": False} if "properties" in part else part
