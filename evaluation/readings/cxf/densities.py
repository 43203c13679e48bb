"""ColorDensity of CxF3 objects (ISO 17972-1): Density, Status, Filter, BaseOffset of relative ones."""

from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np

from evaluation.readings.cxf.document import Group
from evaluation.readings.cxf.measured import Measurement
from evaluation.readings.cxf.specification import number
from evaluation.readings.cxf.triples import TRIPLES
from evaluation.readings.densities import FILTERS, STATUSES, as_given
from evaluation.readings.run import Densities

ELEMENT = "ColorDensity"


def densities_of(group: Sequence[Measurement]) -> Densities | None:
    """Those of the measurements of one run, absolute, through each filter; None where there are none.

    Of several statuses the one that most of them have counts.
    """
    if not any(ELEMENT in measurement.item.elements for measurement in group):
        return None
    given = [list(_of(measurement)) for measurement in group]
    statuses = Counter(_status(each) for row in given for each in row)
    status = max(statuses, key=statuses.__getitem__, default="")
    found = [
        {_filter(each): _absolute(each) for each in reversed(row) if _status(each) == status} for row in given
    ]
    filters = tuple(name for name in dict.fromkeys(FILTERS.values()) if any(name in row for row in found))
    if not filters:
        return None
    values = np.array([[row.get(name, np.nan) for name in filters] for row in found])
    return as_given(filters, values, status if status in STATUSES else None)


def _of(measurement: Measurement) -> Iterator[Group]:
    """The densities of an object that belong to one of its measurements.

    Those under the specification of another measurement are not of this one.
    """
    item = measurement.item
    others = {spectrum.specification for spectrum in item.spectra}
    others |= {_specified(group) for group in item.groups if group.element in TRIPLES}
    others.discard(measurement.specification)
    yield from (each for each in item.groups if each.element == ELEMENT and _specified(each) not in others)


def _specified(group: Group) -> str:
    return group.attributes.get("ColorSpecification", "")


def _status(group: Group) -> str:
    return group.parts.get("Status", "").strip().upper()


def _filter(group: Group) -> str:
    return FILTERS.get(group.parts.get("Filter", "").strip().upper(), "")


def _absolute(group: Group) -> float:
    density, base = number(group.parts.get("Density")), number(group.parts.get("BaseOffset", "0"))
    return np.nan if density is None or base is None else density + base
