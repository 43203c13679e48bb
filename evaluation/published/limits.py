"""Limits of readers, profiles and metrics by name, from `limits.toml`, which says where each comes from."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import cast

from evaluation.published.passport import Mark, load_toml


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit, its unit, where it comes from, and why it lies there."""

    name: str
    value: float
    unit: str
    mark: Mark
    note: str


@cache
def limits() -> Mapping[str, Limit]:
    """All of them by name. Raises FileProblem when the table is damaged."""
    _, rows = load_toml("evaluation.published", "limits.toml")
    return MappingProxyType(
        {
            name: Limit(name, row["value"], row["unit"], cast(Mark, row["mark"]), row["note"])
            for name, row in rows.items()
        }
    )


def limit(name: str) -> float:
    """The value of a limit. Raises KeyError."""
    return float(limits()[name].value)


def whole(name: str) -> int:
    """The value of a limit that is counted. Raises KeyError."""
    return int(limits()[name].value)
