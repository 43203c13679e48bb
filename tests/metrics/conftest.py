"""Evidence made by hand: a wedge, its aim and what was read of it."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from evaluation.judgement.tables import load_tables
from evaluation.metrics.evidence import Array, Evidence
from evaluation.metrics.limits import Limits
from evaluation.sheet.layout import Patch


@pytest.fixture(scope="session")
def limits() -> Limits:
    return load_tables().limits


@pytest.fixture(scope="session")
def wedge(limits: Limits) -> Callable[..., Evidence]:
    """Greys at given source L*: `aim` and `measured` (n, 3) default to them; the grey aim is 0, 0."""

    def make(
        source_l: Any,
        *,
        aim: Any = None,
        measured: Any = None,
        black: float | None = 0.0,
        noise: float = 0.0,
        draws: int = 0,
        patches: tuple[Patch, ...] | None = None,
        **more: Any,
    ) -> Evidence:
        L = np.asarray(source_l, np.float64)
        n = len(L)
        aims = _lab(L if aim is None else aim)
        read = _lab(aims if measured is None else measured)
        if draws:
            drawn = np.random.default_rng(5).standard_normal((draws, n, 3)) * noise
            drawn[0] = 0
            read = read + drawn
        return Evidence(
            patches=patches
            or tuple(Patch(f"P{k}", f"P{k}", "r", series="wedge", step=k) for k in range(1, n + 1)),
            aim=aims,
            measured=read,
            absolute=more.pop("absolute", read),
            grey_aim=more.pop("grey_aim", np.zeros((*read.shape[:-1], 2))),
            source_l=L,
            covariance=np.tile(np.eye(3) * noise**2, (n, 1, 1)),
            paper_covariance=np.eye(3) * noise**2,
            counts=np.ones(n),
            black=None if black is None else np.array([black, 0.0, 0.0]),
            aim_name="paper",
            tone_has_aim=more.pop("tone_has_aim", True),
            limits=limits,
            **more,
        )

    return make


def _lab(values: Any) -> Array:
    array = np.asarray(values, np.float64)
    if array.ndim == 1:
        return np.column_stack([array, np.zeros_like(array), np.zeros_like(array)])
    return array
