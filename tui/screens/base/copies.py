"""A page whose result is copied in several ways: c again goes on to the next one."""

from collections.abc import Sequence
from typing import NamedTuple

from evaluation.system_words import unwritten
from tui.screens.base.page import Page
from tui.screens.base.paths import short


class Copied(NamedTuple):
    """What it is, in words; the text; the name of the file that is kept as well."""

    words: str
    text: str
    file: str


class Copying(Page):
    """Subclasses say in `copies` what there is, the whole page first."""

    copied = ""  # what was told of the copy before
    copied_at = 0  # which of them that was

    def copies(self) -> Sequence[Copied]:
        return [Copied("the page", self.as_text(), self.file_name())]

    def action_copy(self) -> None:
        found = self.copies()
        again = bool(self.copied) and self.said == self.copied
        self.copied_at = (self.copied_at + 1) % len(found) if again else 0
        now, after = found[self.copied_at], found[(self.copied_at + 1) % len(found)]
        more = f" c again: {after.words}." if after is not now else ""
        self.app.copy_to_clipboard(now.text)
        room = self.size.width - len(f"To the clipboard and : {now.words}.{more}") - 2
        try:
            path = self.desk.keep_copy(now.file, now.text)
        except OSError as problem:
            why = unwritten(problem).found or "no reason given"
            told = f"To the clipboard: {now.words}; no file: {why}."
        else:
            told = f"To the clipboard and {short(path, room)}: {now.words}."
        self.copied = told + more
        self.tell(self.copied)
