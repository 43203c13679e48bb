"""Sessions, sheets and readings for weighing: small, and true to what the other rooms hand over."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from evaluation.judgement.tables import Tables, load_tables
from evaluation.readings.match import match
from evaluation.readings.run import PatchRef, Run, Stated, Taken
from evaluation.session import Answer, Fault, PrintingCondition, Session, Value, Viewing
from evaluation.sheet.layout import Sheet
from evaluation.sheet.load import map_text, read_map

NOW = datetime(2026, 1, 7, 12, tzinfo=UTC)
CHART = Path(__file__).parents[1] / "sheet" / "data" / "chart-24.toml"


@dataclass(frozen=True)
class Room:
    """What a test of weighing needs at hand."""

    tables: Tables

    def session(self, *viewings: Viewing, **condition: object) -> Session:
        said: dict[str, object] = {"printed_at": datetime(2026, 1, 5, tzinfo=UTC)}
        return Session(
            id=1,
            uid="0" * 32,
            sheet_digest="",
            created=NOW,
            revision=3,
            condition=PrintingCondition(**(said | condition)),  # type: ignore[arg-type]
            viewings=viewings,
        )

    def viewing(
        self,
        answers: Mapping[tuple[str, str], Value],
        *,
        observer: str = "observer 1",
        ordinal: int = 1,
        faults: tuple[tuple[str, str], ...] = (),
        after_reveal: bool = False,
        reference: int | None = None,
    ) -> Viewing:
        return Viewing(
            id=ordinal,
            ordinal=ordinal,
            observer=observer,
            kind="full",
            started=NOW,
            region_order=(),
            reference=reference,
            answers={key: Answer(value, NOW, after_reveal) for key, value in answers.items()},
            faults=tuple(Fault(name, region) for region, name in faults),
        )

    def taken(self, sheet: Sheet, lab: Mapping[str, tuple[float, float, float]], **run: object) -> Taken:
        """Readings as CIELAB, one row a patch id."""
        given: dict[str, object] = {
            "patches": tuple(PatchRef(name, name, row) for row, name in enumerate(lab, 1)),
            "stated": Stated(condition="M0"),
            "printed_as": "managed",
            "lab": np.array(list(lab.values()), dtype=np.float64),
        }
        return match(Run(**(given | run)), sheet)  # type: ignore[arg-type]


@pytest.fixture(scope="session")
def room() -> Room:
    return Room(load_tables())


@pytest.fixture(scope="session")
def chart() -> Sheet:
    """The 24-patch chart of ISO 17321-1 as a test image of a user's own."""
    return read_map(CHART.read_text("utf-8"), CHART.name)


@pytest.fixture(scope="session")
def colour_4() -> Sheet:
    return read_map(map_text("colour-4"), "colour-4")
