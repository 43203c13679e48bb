"""The one tree of exceptions. Each gives the place, what was expected, what was found and what to do.

DrydownError            exit 1
├── FileProblem         a file of readings, a profile, a picture
│   └── SheetProblem    a map of a sheet, a form of grades, a condition, a settings file (place = key path)
├── ArchiveProblem      the archive itself
├── ProfileProblem      an ICC profile that cannot be trusted to compute a colour
├── Cancelled           the user stopped a long job; nothing was kept
└── UsageProblem        exit 2: a request that cannot be answered
"""

from evaluation.plain_text import visible


class DrydownError(Exception):
    """One clear sentence about what did not happen, and how to go on.

    `what` is the outcome ("The readings were not taken in."), `where` the file, line, element or key path,
    `expected` and `found` a noun phrase or a clause each, `remedy` an instruction. Text from outside is made
    harmless here, so a message can be printed anywhere.
    """

    exit_code = 1

    def __init__(
        self, what: str, *, where: str = "", expected: str = "", found: str = "", remedy: str = ""
    ) -> None:
        self.what = visible(what)
        self.where = visible(where)
        self.expected = visible(expected)
        self.found = visible(found)
        self.remedy = visible(remedy)
        super().__init__(self.sentence)

    @property
    def facts(self) -> str:
        """What was expected and what was found, as far as they are known; "" where neither is."""
        known = (("Expected", self.expected), ("Found", self.found))
        return " ".join(f"{label}: {_closed(text)}" for label, text in known if text)

    @property
    def particulars(self) -> str:
        """The place and the facts, as far as they are known."""
        return " ".join(part for part in (_closed(self.where) if self.where else "", self.facts) if part)

    @property
    def sentence(self) -> str:
        """All parts in reading order: place, expected and found, outcome, remedy.

        >>> str(DrydownError("Nothing was taken in.", where="a.txt, line 8", expected="4 values", found="3"))
        'a.txt, line 8. Expected: 4 values. Found: 3. Nothing was taken in.'
        """
        first = f"{self.where}:" if self.where and not self.facts else self.particulars
        return " ".join(part for part in (first, self.what, self.remedy) if part)

    @property
    def brief(self) -> str:
        """What was expected and the outcome, for a line that still shows what was found."""
        return f"Expected: {_closed(self.expected)} {self.what}" if self.expected else self.what

    def __str__(self) -> str:
        return self.sentence


class FileProblem(DrydownError):
    """A file could not be understood; nothing of it was kept."""


class SheetProblem(FileProblem):
    """A TOML file of ours (map, condition, grades, settings) is wrong at a key path."""


class ArchiveProblem(DrydownError):
    """The archive cannot be opened, read or written; it was not touched."""


class ProfileProblem(FileProblem):
    """An ICC profile is damaged or of a kind that cannot be used; no colour was computed with it."""


class Cancelled(DrydownError):
    """A long job was stopped by its user before it kept anything."""


class UsageProblem(DrydownError):
    """The request itself cannot be answered: unknown session, impossible option, missing statement."""

    exit_code = 2


def _closed(text: str) -> str:
    return text if text.endswith((".", "?", "!", "…")) else f"{text}."
