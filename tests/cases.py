"""Cases for every run, and the rest of them for the long one."""

from collections.abc import Iterable
from typing import Any

import pytest


def some_now(values: Iterable[Any], *now: Any, several: bool = False) -> list[Any]:
    """Each as a case of `parametrize`; those not in `now` wait for `-m long`.

    >>> [hasattr(case, "marks") for case in some_now("abc", "b")]
    [True, False, True]
    """
    cases = list(values)  # with `several`, each fills several names
    assert set(now) <= set(cases), "a case of that name is gone"
    return [
        case if case in now else pytest.param(*(case if several else (case,)), marks=pytest.mark.long)
        for case in cases
    ]
