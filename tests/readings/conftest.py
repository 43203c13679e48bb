"""Small files of readings, written by the tests themselves: one for each dialect that must be read."""

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

DATA = Path(__file__).parent / "data"
Write = Callable[..., Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Writes text or bytes to a file and gives its path."""

    def written(content: str | bytes, name: str = "strip.txt", encoding: str = "utf-8") -> Path:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode(encoding))
        return path

    return written


@pytest.fixture
def three_conditions() -> Path:
    return DATA / "rgb_m0_m1_m2_three_tables.txt"


@pytest.fixture
def table() -> Callable[..., str]:
    """The text of one table: names, rows and keyword lines as given, in the plainest form otherwise."""

    def text(
        names: Sequence[str],
        rows: Sequence[Sequence[object]],
        keywords: Sequence[str] = (),
        separator: str = "\t",
        first: str = "CGATS.17\n",
        sets: int | None = None,
    ) -> str:
        return (
            first
            + "".join(f"{keyword}\n" for keyword in keywords)
            + f"NUMBER_OF_FIELDS\t{len(names)}\nBEGIN_DATA_FORMAT\n{separator.join(names)}\nEND_DATA_FORMAT\n"
            + f"NUMBER_OF_SETS\t{len(rows) if sets is None else sets}\nBEGIN_DATA\n"
            + "".join(separator.join(str(cell) for cell in row) + "\n" for row in rows)
            + "END_DATA\n"
        )

    return text
