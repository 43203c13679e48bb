"""The pictures of the sheet: their names, how finely they are drawn, and five colours of each as chips.

A chip is a flat field of a colour of its picture: the mean over a disc of 1.8 mm at the place given.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from importlib import import_module
from types import MappingProxyType
from typing import Final

from evaluation.sheet.layout import Triple
from evaluation.sheet.scenes.ground import Points

DISC_MM: Final = 1.8


@dataclass(frozen=True, slots=True)
class Chip:
    """One colour of a picture: what it is, where in the slot (mm), CIELAB for D50."""

    name: str
    at: tuple[float, float]
    lab: Triple


@dataclass(frozen=True, slots=True)
class Scene:
    """One picture.

    name     module that draws it, and id of its question
    title    beside it on the sheet
    code     two letters that begin the ids of its chips
    version  raised when it is drawn otherwise: pictures kept before are not used then
    edges    difference between neighbours, cube root of light, from which a pixel is drawn finer
    fine     samples along each side of such a pixel
    """

    name: str
    title: str
    code: str
    chips: tuple[Chip, ...]
    version: int = 2
    edges: float = 0.08
    fine: int = 2

    @property
    def points(self) -> Points:
        """The function of points that draws it."""
        found: Points = import_module(f"evaluation.sheet.scenes.{self.name}").points
        return found


def _chips(*rows: tuple[str, float, float, float, float, float]) -> tuple[Chip, ...]:
    return tuple(Chip(name, (x, y), (L, a, b)) for name, x, y, L, a, b in rows)


_ALL: Final = (
    Scene(
        "still",
        "still life",
        "ST",
        _chips(
            ("plaster", 7.2, 24.2, 86.1, 0.3, 0.9),
            ("grey ball", 13.2, 29.3, 54.9, 0.1, 0.0),
            ("table", 35.1, 41.0, 49.0, 7.3, 15.3),
            ("blue glaze", 47.5, 30.2, 31.5, 13.3, -48.3),
            ("wall", 43.7, 5.0, 30.0, -1.5, -4.0),
        ),
    ),
    Scene(
        "people",
        "skin in light",
        "PE",
        _chips(
            ("light skin", 10.9, 2.8, 81.2, 10.2, 18.7),
            ("skin in shade", 44.3, 19.6, 37.8, 16.3, 17.6),
            ("medium skin", 46.8, 2.8, 50.0, 14.1, 19.8),
            ("deep skin", 11.0, 36.8, 38.1, 10.5, 12.1),
            ("deep shade", 27.8, 36.7, 22.5, 10.7, 11.5),
        ),
    ),
    Scene(
        "fruit",
        "fruit",
        "FR",
        _chips(
            ("lemon", 29.0, 27.5, 75.4, 6.3, 70.7),
            ("orange", 18.8, 13.6, 62.0, 38.2, 67.0),
            ("apple", 34.4, 21.1, 45.3, 37.8, 38.7),
            ("lime", 8.3, 25.4, 41.6, -24.3, 40.8),
            ("plum", 47.4, 27.9, 25.9, 13.1, -7.2),
        ),
    ),
    Scene(
        "dusk",
        "dusk",
        "DU",
        _chips(
            ("glow", 29.8, 25.6, 82.4, 12.6, 41.5),
            ("far range", 30.2, 33.5, 40.4, 21.8, 3.1),
            ("blue", 43.8, 7.8, 45.0, 5.7, -29.1),
            ("zenith", 2.8, 2.8, 35.4, 6.2, -35.4),
            ("near range", 9.7, 42.1, 9.7, 4.3, -5.4),
        ),
    ),
    Scene(
        "foliage",
        "foliage",
        "FO",
        _chips(
            ("lit leaf", 34.8, 5.0, 52.8, -28.9, 43.6),
            ("leaf", 36.3, 22.2, 44.1, -25.1, 38.2),
            ("leaf in shade", 16.9, 23.4, 32.2, -20.3, 26.8),
            ("old leaf", 8.8, 14.3, 53.1, 4.0, 45.6),
            ("gap", 4.3, 27.1, 11.8, -10.8, 11.3),
        ),
    ),
    Scene(
        "hair",
        "hair",
        "HA",
        _chips(
            ("in the light", 7.7, 24.9, 63.7, 10.7, 27.6),
            ("lit lock", 29.8, 24.6, 56.9, 10.7, 27.5),
            ("lock", 13.3, 27.0, 44.0, 9.6, 23.1),
            ("between locks", 35.0, 41.3, 32.5, 9.3, 17.4),
            ("in the shade", 51.4, 10.5, 23.8, 9.8, 16.6),
        ),
        edges=0.12,
    ),
    Scene(
        "cloth",
        "dark cloth",
        "CL",
        _chips(
            ("deepest fold", 14.1, 5.9, 1.6, 0.0, 0.0),
            ("fold", 18.8, 24.9, 5.0, 0.0, 0.0),
            ("slope", 50.8, 13.9, 9.0, 0.0, 0.0),
            ("weave", 35.5, 8.3, 14.0, 0.0, 0.0),
            ("crest", 32.5, 7.4, 21.8, 0.0, 0.0),
        ),
        fine=1,
    ),
    Scene(
        "snow",
        "snow",
        "SN",
        _chips(
            ("in the sun", 9.5, 21.9, 98.8, -0.1, 0.2),
            ("slope", 47.1, 38.5, 95.7, -0.3, -1.3),
            ("half shade", 7.9, 40.1, 92.4, -0.5, -3.2),
            ("far snow", 21.5, 32.6, 89.5, -0.8, -4.9),
            ("shade", 57.1, 23.5, 83.4, -1.2, -7.1),
        ),
    ),
    Scene(
        "dunes",
        "dunes",
        "DN",
        _chips(
            ("sunlit crest", 23.1, 32.2, 87.0, 0.0, 0.0),
            ("lit slope", 11.0, 9.4, 57.2, 0.0, 0.0),
            ("sky", 19.2, 3.4, 67.0, 0.0, 0.0),
            ("far shade", 8.3, 13.7, 40.0, 0.0, 0.0),
            ("shade", 54.9, 29.6, 17.0, 0.0, 0.0),
        ),
    ),
)
SCENES: Final[Mapping[str, Scene]] = MappingProxyType({scene.name: scene for scene in _ALL})
COLOUR: Final = tuple(SCENES)
MONO: Final = ("people", "hair", "cloth", "snow", "dunes")
WIDER: Final = ("dusk", "dunes", "cloth", "snow", "foliage", "hair")  # show more where a row has room for it
