"""What a file calls itself: descriptor, material, printer, in its own words."""

import re
from typing import Final

from evaluation.readings.source import Source

_HEAD: Final = 2**16  # bytes that are searched
_KEYWORDS: Final = re.compile(
    r"^[ \t]*(?:DESCRIPTOR|FILE_DESCRIPTOR|MATERIAL|SUBSTRATE|PAPER|PAPER_TYPE|MEDIA|MEDIA_TYPE|PRINTER|"
    r"PRINT_CONDITIONS|TARGET_INSTRUMENT|DEVICE|DEVICE_NAME|MANUFACTURER|SAMPLE_DESCRIPTION)[ \t]+(.+)$",
    re.I | re.M,
)
_ELEMENTS: Final = re.compile(r"<(?:\w+:)?(?:Description|Comment|MediaName|Substrate)>([^<]{1,200})</", re.I)
_MOST: Final = 20


def titles(source: Source) -> tuple[str, ...]:
    """The name of a file, and what its header says of the print in plain words; nothing of its values."""
    head = bytes(source.data[:_HEAD]).decode("utf-8", "replace")
    head = re.split(r"^[ \t]*BEGIN_DATA[ \t\r]*$", head, maxsplit=1, flags=re.M | re.I)[0]
    said = [*_KEYWORDS.findall(head), *_ELEMENTS.findall(head)]
    return (source.name, *(text.strip(' \t\r"')[:200] for text in said[:_MOST]))
