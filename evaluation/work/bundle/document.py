"""A merge, and what is still to be chosen, as JSON documents."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from evaluation.archive.bundles.nouns import Divergence, Merged
from evaluation.archive.moments import stamped


def document(merged: Merged, dry_run: bool) -> dict[str, Any]:
    """What came, or would come."""
    return {
        "dry_run": dry_run,
        "sessions": [_came(asdict(each)) for each in merged.sessions if each.anything],
        "documents": merged.documents,
        "rounds": merged.rounds,
        "judgements": merged.judgements,
        "differences": differences(merged.differences),
        "kept": merged.kept or None,
    }


def differences(found: Sequence[Divergence]) -> list[dict[str, Any]]:
    """Each with its versions; the last of them counts."""
    return [
        {
            "session": one.session,
            "kind": one.kind,
            "subject": one.subject,
            "versions": [
                {"value": each.value, "at": stamped(each.at), "here": each.here} for each in one.versions
            ],
        }
        for one in found
    ]


def _came(each: dict[str, Any]) -> dict[str, Any]:
    return {"session": each.pop("number"), **each, "observers": list(each["observers"])} | {
        "same_name": list(each["same_name"])
    }
