"""A print whose media-relative colours are given, weighed against a stand-in for its profile."""

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from evaluation.colorimetry.lab import lab_from_xyz, xyz_from_lab
from evaluation.colorimetry.media import map_black, media_absolute
from evaluation.judgement.opinion import Weighing
from evaluation.judgement.weigh import weigh
from evaluation.readings.run import Repeats, Stated
from evaluation.session import Grade, Readiness
from evaluation.sheet.aims import source_lab
from evaluation.sheet.layout import Sheet
from evaluation.telling.weighing import WORDS

PAPER = np.array([95.1, 0.4, -5.2])
QUIET = Repeats(np.eye(3) * 0.1**2, 0.15, 0.3, 0.4, 60, 30)


@dataclass
class Promise:
    """A profile whose colours are the sheet's own, mapped to its black."""

    sheet: Sheet
    density: float = 2.5
    paper_lab: Any = field(default_factory=PAPER.copy)

    @property
    def black_y(self) -> float:
        return float(100 * 10**-self.density)

    def all(self) -> np.ndarray:
        return np.asarray(lab_from_xyz(map_black(xyz_from_lab(source_lab(self.sheet)), 0.0, self.black_y)))

    def lab(self, patches: Any) -> np.ndarray:
        return self._of(self.all(), patches)

    def inside(self, aim: np.ndarray) -> Any:
        return np.ones(len(aim), dtype=bool)

    def under(self, hypothesis: str, patches: Any) -> Any:
        lab = self.all()
        changed = {
            "profile applied twice": lab * [0.93, 1.2, 1.2] + [3.0, 0, 0],
            "no profile": lab * [1.0, 0.75, 0.75] + [0, 3.0, -4.0],
            "encoding oprgb": lab * [1.0, 1.25, 1.25],
            "intent perceptual": lab * [0.95, 0.9, 0.9] + [2.0, 0, 0],
        }.get(hypothesis)
        return None if changed is None else self._of(changed, patches)

    def _of(self, lab: np.ndarray, patches: Any) -> np.ndarray:
        row = {patch.id: k for k, patch in enumerate(self.sheet.patches)}
        return lab[[row[patch.id] for patch in patches]]


def weighed(room: Any, sheet: Sheet, relative: np.ndarray, *viewings: Any, **more: Any) -> Weighing:
    paper = more.pop("paper", PAPER)
    noise = np.random.default_rng(9).standard_normal(relative.shape) * 0.1
    absolute = lab_from_xyz(media_absolute(xyz_from_lab(relative), xyz_from_lab(paper))) + noise
    rows = {p.id: tuple(row) for p, row in zip(sheet.patches, absolute.tolist(), strict=True)}
    stated = more.pop("stated", Stated(condition="M1", backing="white", instrument="hand-held"))
    taken = replace(room.taken(sheet, rows, stated=stated), repeats=more.pop("repeats", QUIET))
    answers = {(region.id, "overall"): Grade(more.pop(region.id, 5)) for region in sheet.regions}
    condition = {
        "intent": "relative colorimetric",
        "black_point_compensation": True,
        "driver_mode": "through the profile",
    }
    session = room.session(*(viewings or (room.viewing(answers),)), **(condition | more.pop("condition", {})))
    ready = {item: Readiness("done", session.created) for item in ("nozzle_check", "alignment", "adapted",
             "surround", "viewing_light")}  # fmt: skip
    session = replace(session, readiness=ready | more.pop("readiness", {}))
    expected = more.pop("expected", Promise(sheet))
    tables = more.pop("tables", room.tables)
    return weigh(session, sheet, [taken], tables, expected=expected, words=WORDS, **more)
