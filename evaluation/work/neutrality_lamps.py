"""Lights a neutrality record looks at beside the default ones: named, loaded, or kept beside the archive."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from evaluation.archive import held
from evaluation.colorimetry.illuminants import Light, illuminants
from evaluation.colorimetry.lamps import read_lamp
from evaluation.errors import FileProblem, UsageProblem
from evaluation.plain_text import quoted, shortened
from evaluation.session import Session
from evaluation.work.bench import Bench

FOLDER: Final = "lamps"
_ENDINGS: Final = (".csv", ".txt", ".xml", ".spdx")
_NOT_READ: Final = "No light was read."
_MOST: Final = 20  # files of the folder; the record shows all of them side by side


@dataclass(frozen=True, slots=True)
class Lamps:
    """Lights by name, as they are shown, and what to say beside the result of those that were not used."""

    lights: dict[str, Light] = field(default_factory=dict)
    caveats: tuple[str, ...] = ()


def asked(bench: Bench, words: Sequence[str]) -> Lamps:
    """Lamps of the folder beside the archive, then those asked for: a file, or the name of an illuminant.

    A file of the folder that cannot be read is told beside the result; one that was asked for is a problem.
    Raises FileProblem or UsageProblem.
    """
    found = kept(bench)
    lights = dict(found.lights)
    known = {_plain(name): name for name in illuminants()}
    for word in words:
        path = Path(word).expanduser()
        name = known.get(_plain(word))
        if name is not None and not path.exists():
            lights[name] = illuminants()[name]
        elif path.suffix or path.exists():
            held.refuse(path, _NOT_READ)
            lamp = read_lamp(path)
            lights[lamp.name] = lamp
        else:
            raise UsageProblem(
                _NOT_READ,
                expected=f"a file with the spectrum of a lamp, or one of {', '.join(illuminants())}",
                found=quoted(word, 40),
            )
    return Lamps(lights, found.caveats)


def kept(bench: Bench) -> Lamps:
    """The lamps whose spectra lie in the folder `lamps` beside the archive, by name of file."""
    folder = bench.archive.path.absolute().parent / FOLDER
    lights: dict[str, Light] = {}
    caveats: list[str] = []
    try:
        paths = sorted(path for path in folder.iterdir() if path.suffix.lower() in _ENDINGS)
    except OSError:
        return Lamps()
    for path in paths[:_MOST]:
        try:
            lights[path.stem] = read_lamp(path)
        except FileProblem as problem:
            caveats.append(problem.sentence)
    if len(paths) > _MOST:
        caveats.append(f"Of {len(paths)} lamps in the folder the first {_MOST} were taken.")
    return Lamps(lights, tuple(caveats))


def of_session(session: Session, lamps: Lamps) -> Lamps:
    """These lamps and the second light that Prepare names: an illuminant kept here, or one of the lamps."""
    readiness = session.readiness.get("viewing_light")
    said = str(readiness.detail.get("second", "")) if readiness is not None else ""
    if not said.strip():
        return lamps
    by_word = {_plain(name): light for name, light in {**illuminants(), **lamps.lights}.items()}
    light = by_word.get(_plain(said))
    if light is None:
        caveat = (
            f"The second light of session {session.id}, “{shortened(said, 40)}”, is not known here; "
            f"its spectrum as CSV in the folder {FOLDER} beside the archive makes it known."
        )
        return Lamps(lamps.lights, (*lamps.caveats, caveat))
    if light.name == "D50":
        return lamps
    return Lamps(lamps.lights | {light.name: light}, lamps.caveats)


def second_light(session: Session, lamps: Callable[[], Lamps]) -> Light | None:
    """The second light that Prepare names; None where its spectrum is not known here, or it is D50.

    `lamps` is asked only where a second light was named.
    """
    readiness = session.readiness.get("viewing_light")
    said = _plain(str(readiness.detail.get("second", ""))) if readiness is not None else ""
    if not said:
        return None
    lights = of_session(session, lamps()).lights
    return next((light for name, light in lights.items() if _plain(name) == said), None)


def _plain(word: str) -> str:
    return "".join(char for char in word.casefold() if char.isalnum())
