"""Rectangles of a sheet, as fractions 0..1: whether they lie on it, and which of them overlap."""

from collections.abc import Iterator, Sequence

from evaluation.sheet.layout import Area

# Rounding of a map's decimals may push neighbours into each other by this much; less than 0.01 mm on paper.
TOUCH = 2e-5


def on_sheet(area: Area) -> bool:
    """Whether the whole rectangle lies on the sheet and has a size."""
    return (
        area.width > 0
        and area.height > 0
        and area.left >= -TOUCH
        and area.top >= -TOUCH
        and area.left + area.width <= 1 + TOUCH
        and area.top + area.height <= 1 + TOUCH
    )


def overlaps(areas: Sequence[tuple[str, Area]]) -> Iterator[tuple[str, str]]:
    """Pairs of names whose rectangles overlap; touching edges do not count.

    A sweep from top to bottom compares each rectangle with those that do not end above it.
    """
    open_above: list[tuple[str, Area]] = []
    for name, area in sorted(areas, key=lambda item: item[1].top):
        open_above = [(n, a) for n, a in open_above if a.top + a.height > area.top + TOUCH]
        for other, there in open_above:
            beside = (
                there.left + there.width <= area.left + TOUCH or area.left + area.width <= there.left + TOUCH
            )
            if there.leaf == area.leaf and not beside:
                yield other, name
        open_above.append((name, area))
