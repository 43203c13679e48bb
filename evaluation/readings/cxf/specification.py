"""What a ColorSpecification states: how something was measured, and at which wavelengths."""

import re
from dataclasses import dataclass
from functools import lru_cache
from math import isfinite
from typing import Final, cast

from evaluation.readings.run import Condition, Stated
from evaluation.readings.stated import backing_word, moment

_ILLUMINATION: Final = re.compile(r"(M[0-3])(?:_|$)", re.I)
_TYPE: Final = re.compile(r"(M[0-3])_?Measurement", re.I)
_OBSERVER: Final = re.compile(r"(2|10)_?Degree", re.I)
_STEPS: Final = ("Increment", "Step", "Interval")


@dataclass(frozen=True, slots=True)
class Meaning:
    """How values under one specification were measured; `known` is False where the file lacks it."""

    stated: Stated
    first_nm: float | None = None
    step_nm: float | None = None
    known: bool = True
    kind: str = ""


def meaning(specification: dict[str, str] | None, created: str) -> Meaning:
    """The content of a specification, None where it is missing; `created` is the date of the file."""
    at = moment(created)
    if specification is None:
        return Meaning(Stated(measured_at=at), known=False)
    observer = _OBSERVER.fullmatch(specification.get("Observer", ""))
    illuminant = specification.get("Illuminant")
    model = " ".join(
        specification[part] for part in ("Manufacturer", "Model", "DeviceModel") if part in specification
    )
    return Meaning(
        Stated(
            condition=_condition(specification),
            illuminant=illuminant if illuminant and illuminant.lower() not in ("custom", "unknown") else None,
            observer=observer[1] if observer else None,
            geometry=_geometry(specification),
            backing=backing_word(specification.get("Backing")),
            instrument=model or None,
            measured_at=at,
        ),
        first_nm=_of_range(specification, "StartWL"),
        step_nm=_of_range(specification, *_STEPS),
        kind=specification.get("MeasurementType", ""),
    )


def _condition(specification: dict[str, str]) -> Condition | None:
    """From the illumination of the instrument, else from a filter that ISO 13655 has a condition for."""
    light = _ILLUMINATION.match(specification.get("DeviceIllumination", ""))
    if light:
        return cast(Condition, light[1].upper())
    if specification.get("DevicePolarization", "").lower() in ("true", "1"):
        return "M3"
    return "M2" if specification.get("DeviceFilter") == "Filter_UVExcluded" else None


def _of_range(specification: dict[str, str], *names: str) -> float | None:
    """A number of the WavelengthRange, which dialects write as attribute or as element."""
    written = (specification.get(f"{parent}{name}") for name in names for parent in ("WavelengthRange.", ""))
    return next((value for text in written if (value := number(text)) is not None), None)


@lru_cache(maxsize=256)
def condition_of_type(object_type: str) -> Condition | None:
    """The condition that the type of an object names, as in M1_Measurement."""
    match = _TYPE.fullmatch(object_type.strip())
    return cast(Condition, match[1].upper()) if match else None


def grid(attributes: dict[str, str], found: Meaning, count: int) -> tuple[float | None, float | None]:
    """First wavelength and step, nm, of a spectrum of `count` values.

    From its own attributes, else its specification, else EndWL; None where nothing states them.
    """
    first = number(attributes.get("StartWL"))
    first = found.first_nm if first is None else first
    step = next((s for name in _STEPS if (s := number(attributes.get(name))) is not None), found.step_nm)
    last = number(attributes.get("EndWL"))
    if step is None and last is not None and first is not None and count > 1:
        step = (last - first) / (count - 1)
    return first, step


def grid_remarks(attributes: dict[str, str], found: Meaning, grid: tuple[float, float, int]) -> list[str]:
    """Remarks where a spectrum and its specification differ about the wavelengths."""
    first, step, count = grid
    remarks = []
    if found.first_nm is not None and first != found.first_nm:
        remarks.append(
            f"spectra begin at {first:g} nm, their specification states {found.first_nm:g} nm: theirs counts"
        )
    last = number(attributes.get("EndWL"))
    if last is not None and abs(first + step * (count - 1) - last) > step / 2:
        end = first + step * (count - 1)
        remarks.append(
            f"EndWL states {last:g} nm, but {count} values in steps of {step:g} nm end at {end:g} nm"
        )
    return remarks


def _geometry(specification: dict[str, str]) -> str | None:
    lit, seen = specification.get("IlluminationAngle"), specification.get("MeasurementAngle")
    if lit is None or seen is None:
        return "sphere" if "Sphere" in specification else None
    angles = "/".join(f"{value:g}" if (value := number(text)) is not None else text for text in (lit, seen))
    around = specification.get("SingleAngleConfiguration", "")
    return f"{angles} {around.lower()}".strip()


def number(text: str | None) -> float | None:
    """The finite number that a text states, None otherwise."""
    try:
        if text is None or "_" in text or not text.isascii():
            return None
        value = float(text)
        return value if isfinite(value) else None
    except ValueError:
        return None
