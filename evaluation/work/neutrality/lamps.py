"""Lights a neutrality record looks at beside the default ones: named, loaded, or kept beside the archive."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Final

from evaluation.archive import held
from evaluation.colorimetry.illuminants import Light
from evaluation.colorimetry.lamps import read_lamp
from evaluation.colorimetry.named_lights import known_as, light_names, named_light, plain_name
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


def asked(bench: Bench, files: Sequence[str] = (), names: Sequence[str] = ()) -> Lamps:
    """Lamps of the folder beside the archive, then those asked for: lamps by file, lights by name.

    A file of the folder that cannot be read is told beside the result; one that was asked for is a problem.
    Raises FileProblem or UsageProblem.
    """
    found = kept(bench)
    loaded = [_loaded(word) for word in files] + [by_name(name) for name in names]
    return Lamps({**found.lights, **{light.name: light for light in loaded}}, found.caveats)


def by_name(word: str) -> Light:
    """The light that goes by this name. Raises UsageProblem, with a name that is close to it."""
    name = known_as(word)
    if name is None:
        near = get_close_matches(word.upper(), light_names(), 1)
        raise UsageProblem(
            _NOT_READ,
            expected="the name of a light, or a file with its spectrum",
            found=quoted(word, 40),
            remedy=(f"Perhaps “{near[0]}” is meant. " if near else "") + "`drydown lamp` lists all names.",
        )
    return named_light(name)


def _loaded(word: str) -> Light:
    """The lamp in a file; a name in its place is not taken for a missing file."""
    path = Path(word).expanduser()
    if not path.exists() and (name := known_as(word)) is not None:
        raise UsageProblem(
            _NOT_READ,
            expected="a file with the spectrum of a lamp",
            found=quoted(word, 40),
            remedy=f"--light {name} is the light of that name.",
        )
    held.refuse(path, _NOT_READ)
    return read_lamp(path)


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
    name = known_as(said)
    light = next((lamps.lights[own] for own in lamps.lights if plain_name(own) == plain_name(said)), None)
    light = light or (None if name is None else named_light(name))
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
    said = plain_name(str(readiness.detail.get("second", ""))) if readiness is not None else ""
    if not said:
        return None
    lights = of_session(session, lamps()).lights
    return next((light for name, light in lights.items() if plain_name(name) == said), None)
