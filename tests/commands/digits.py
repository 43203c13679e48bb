"""Digits of what a document says with a spread."""

import re

_WITH_SPREAD = re.compile(r"(\d+(?:\.\d+)?) ± (\d+(?:\.\d+)?)")


def finer_than_its_spread(text: str) -> list[str]:
    """What stands with more digits than its spread allows: two that count, and as many places in both."""
    return [
        whole[0]
        for whole in _WITH_SPREAD.finditer(text)
        if len(whole[1].partition(".")[2]) != len(whole[2].partition(".")[2])
        or len(whole[2].replace(".", "").lstrip("0")) > 2
    ]
