"""The one tree of exceptions. Each says where, what was expected, what was found and what to do.

DrydownError            exit 1
├── FileProblem         a file of readings, a profile, a picture
│   └── SheetProblem    a map of a sheet, a form of grades, a condition, a settings file (place = key path)
├── ArchiveProblem      the archive itself
├── ProfileProblem      an ICC profile that cannot be trusted to compute a colour
├── Cancelled           the user stopped a long job; nothing was kept
└── UsageProblem        exit 2: asked in a way that cannot be answered
"""

from evaluation.plain_text import visible


class DrydownError(Exception):
    """One clear sentence about what did not happen, and how to go on.

    `what` is the outcome ("The readings were not taken in."), `where` the file, line, element or key path,
    `expected` and `found` noun phrases, `remedy` an instruction. Text from outside is made harmless here,
    so a message can be printed anywhere.
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
    def sentence(self) -> str:
        """All parts in reading order: place, expected and found; outcome; remedy."""
        facts = ", ".join(
            part
            for part in (
                f"{self.expected} expected" if self.expected else "",
                f"{self.found} found" if self.found else "",
            )
            if part
        )
        place = f"{self.where}: {facts}." if self.where and facts else ""
        if not place:
            place = f"{self.where}:" if self.where else (f"{facts[:1].upper()}{facts[1:]}." if facts else "")
        return " ".join(part for part in (place, self.what, self.remedy) if part)

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
