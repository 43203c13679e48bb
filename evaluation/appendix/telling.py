"""Names of the numbers and what each does not tell, from `telling.toml`."""

from dataclasses import dataclass
from functools import lru_cache

from evaluation.appendix.wording import spaced
from evaluation.published.passport import Passport, load_toml


@dataclass(frozen=True, slots=True)
class Telling:
    name: str
    not_told: str


def telling(metric: str) -> Telling:
    """Name and limits of a metric; one that the table does not know keeps its own name."""
    return _table()[1].get(metric) or Telling(spaced(metric), "")


def passport() -> Passport:
    return _table()[0]


def known() -> frozenset[str]:
    """The metrics the table speaks of."""
    return frozenset(_table()[1])


@lru_cache(maxsize=1)
def _table() -> tuple[Passport, dict[str, Telling]]:
    found, data = load_toml("evaluation.appendix", "telling.toml")
    return found, {metric: Telling(row["name"], row["not_told"]) for metric, row in data.items()}
