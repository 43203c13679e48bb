"""Messages that several screens and the app share. Workers post them; only handlers touch widgets."""

from typing import Any

from textual.message import Message

from evaluation.errors import DrydownError


class GoTo(Message):
    """Another screen is wanted: a step of the session, the next open step ("next") or "home".

    `others` are sessions marked on Home, for what is done with several at once.
    """

    def __init__(self, where: str, session_id: int | None = None, others: tuple[int, ...] = ()) -> None:
        super().__init__()
        self.where = where
        self.session_id = session_id
        self.others = others


class Progress(Message):
    """How far a long job is, in words, and of how many parts how many are done where that is known. A newer
    one may take the place of one not yet shown.
    """

    def __init__(self, words: str, done: int = 0, parts: int = 0) -> None:
        super().__init__()
        self.words = words
        self.done = done
        self.parts = parts

    def can_replace(self, message: Message) -> bool:
        return isinstance(message, Progress)


class Done(Message):
    """A job of a worker ended with a value; `ticket` tells a late answer from the one waited for."""

    def __init__(self, job: str, value: Any, ticket: int = 0) -> None:
        super().__init__()
        self.job = job
        self.value = value
        self.ticket = ticket


class Failed(Message):
    """A job of a worker ended with a problem that a person can read; nothing was kept."""

    def __init__(self, job: str, problem: DrydownError, ticket: int = 0) -> None:
        super().__init__()
        self.job = job
        self.problem = problem
        self.ticket = ticket
