"""What is done beside the six steps: each under its name on the page of tools and among all actions."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Tool:
    """`session`: it is about the session in hand."""

    id: str
    name: str
    about: str
    session: bool = False


TOOLS: Final = (
    Tool(
        "settings",
        "Settings in force",
        "Every value a weighing goes by, with its source, and a star before what your own file changes.",
    ),
    Tool(
        "backup",
        "Back up the archive",
        "A copy of the whole archive in one file, made while you and others go on working.",
    ),
    Tool(
        "check",
        "Check the archive",
        "Opens every document, session and table of readings, and names what is damaged or lost.",
    ),
    Tool(
        "appendix",
        "Check an appendix",
        "Whether an appendix that was written is still as drydown wrote it. Asks for the file.",
    ),
    Tool(
        "numbers",
        "Check the numbers",
        "Works the colours of the session in hand out again with colour-science. Takes some seconds.",
        session=True,
    ),
    Tool(
        "lamp",
        "Report on a light source",
        "Colour, rendering and ultraviolet of a lamp, from its spectrum or by name, and what ISO 3664 asks "
        "of a viewing booth.",
    ),
    Tool(
        "gamut",
        "Gamut of profiles",
        "How much of a picture lies outside each profile's gamut, and how far the gamuts reach.",
    ),
    Tool(
        "calibration",
        "Calibration of an eye",
        "By how much one observer lies off the readings throughout, from several of their sessions; as lines "
        "for your settings.",
    ),
    Tool(
        "references",
        "Own references",
        "Prints of your own that you grade again now and then: which is due, and whether your eye stays "
        "steady.",
    ),
    Tool(
        "chart",
        "Profiling data",
        "Paper, black, greys and M2 less M1 of the profiling data, beside other sessions on this paper.",
        session=True,
    ),
    Tool(
        "neutrality",
        "Neutrality record",
        "Is it neutral from paper to black, and under which light? Of the session in hand, or of those "
        "marked on Home.",
        session=True,
    ),
    Tool(
        "picture",
        "Picture of a fault",
        "Keeps a photograph with a region of the session in hand; the appendix shows it.",
        session=True,
    ),
    Tool(
        "plan",
        "Plan of a loan",
        "A printer that is here for some weeks: what to do next, what dries, what can still be done.",
    ),
    Tool(
        "bundle",
        "Bundle of sessions",
        "The sessions marked on Home, or the one in hand, in a file that somebody else can merge.",
        session=True,
    ),
    Tool(
        "merge",
        "Merge bundles",
        "What others sent: shown before anything is taken, taken in whole, and taken back.",
    ),
    Tool("removed", "Removed sessions", "What was taken off the list; Enter there brings one back."),
)
