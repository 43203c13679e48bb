"""What a page needs of the app: the bench, the user's configuration, and ways to other places."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Any, Literal, Protocol

from evaluation.work.bench import Bench
from tui.config import Config


class Desk(Protocol):
    """The app as its pages see it. It outlives them."""

    bench: Bench
    config: Config
    watch_folder: Path | None
    unfinished: dict[tuple[object, ...], str]  # half typed, by page, session and subject
    observers: dict[int, str]  # named for a viewing, by session
    ticks: Callable[[], float]  # seconds that only run forward

    def go(self, where: str, session_id: int | None = None, others: tuple[int, ...] = ()) -> None:
        """Another screen is wanted: a step of the session, the next open step ("next"), "home",
        "compare", "neutrality", "plan", "merge", "bundle", "removed", "tools" or one of them as
        "tools/settings". `others` are sessions marked on Home.
        """
        ...

    def marked(self) -> tuple[int, ...]:
        """The sessions marked on Home, in the order of marking."""
        ...

    async def over(self, what: Literal["sheet", "help", "palette"], page: Any) -> None:
        """Lay another screen over the page in hand: drawing a sheet, its keys, its actions by name."""
        ...

    def own_bench(self) -> AbstractContextManager[Bench]:
        """A bench for a worker: same archive and clock, a connection of its own."""
        ...

    def keep_copy(self, name: str, text: str) -> Path:
        """A copied text also as a file beside the archive. Raises OSError."""
        ...

    def next_appearance(self) -> str:
        """Dark, dim, light in turn; the name of the one that is now."""
        ...

    def dimmed(self) -> bool:
        """Dim the screen; True when it was dim already."""
        ...

    def undim(self) -> None:
        """Back to the appearance before it was dimmed."""
        ...
