"""Pages for the table: slips with the letters to cut out, and the form of a round to fill in by hand."""

import json
from collections.abc import Mapping, Sequence
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

from evaluation.errors import UsageProblem
from evaluation.plain_text import visible
from evaluation.rounds import ASKED, PLACES, Round, Triangles
from evaluation.work.onto_disk import refuse_existing

NO_PAGES: Final = "No page was written."


def slips(waiting: Sequence[Round], titles: Mapping[str, str], papers: Mapping[int, str]) -> bytes:
    """A slip for each print of each round: its letter, and below the fold the print it belongs to."""
    return _set(
        "slips.typ",
        {
            "slips": [
                {
                    "letter": letter,
                    "round": f"Round {one.id}, {visible(titles.get(one.region, one.region))}",
                    "observer": visible(one.observer),
                    "print": f"session {session}",
                    "paper": visible(papers.get(session, "")),
                }
                for one in waiting
                for letter, session in sorted(one.prints.items())
            ]
        },
    )


def form(waiting: Sequence[Round], titles: Mapping[str, str]) -> bytes:
    """The pairs of each round with room to tick left, right or no difference; nothing names a print."""
    return _set(
        "rounds.typ",
        {
            "rounds": [
                {
                    "title": f"Round {one.id}: {visible(titles.get(one.region, one.region))}",
                    "observer": visible(one.observer),
                    "ask": ASKED[one.ask],
                    "pairs": [
                        [str(place + 1), *pair]
                        for place, pair in enumerate(one.pairs)
                        if place not in one.answers
                    ],
                }
                for one in waiting
            ]
        },
    )


def triangles(one: Triangles, title: str, papers: Mapping[int, str]) -> bytes:
    """What lies left, middle and right, row by row; it names the prints, so it is not for the observer."""
    return _set(
        "triangles.typ",
        {
            "title": f"Triangles: {visible(title)}",
            "observer": visible(one.observer),
            "prints": [[f"Session {session}", visible(papers.get(session, ""))] for session in one.prints],
            "heads": ["triangle", *PLACES],
            "rows": [
                [str(place), *(f"session {session}" for session in lying)]
                for place, lying in enumerate(one.shown, 1)
            ],
        },
    )


def refuse(path: Path, *, overwrite: bool) -> None:
    """Raise UsageProblem for a name that is no PDF, or a file that is there already."""
    if path.suffix.lower() != ".pdf":
        found = path.suffix or "no ending"
        raise UsageProblem(NO_PAGES, where=str(path), expected="a file ending in .pdf", found=found)
    refuse_existing(path, NO_PAGES, overwrite=overwrite)


def _set(template: str, content: Mapping[str, Any]) -> bytes:
    """Raises UsageProblem where the typesetter is not installed."""
    try:
        import typst  # 30 MB of library; needed only for these pages
    except ImportError:
        raise UsageProblem(
            NO_PAGES,
            expected="the package typst, which this machine has no build of",
            remedy="`--template` prints the form as text; write the letters on slips by hand.",
        ) from None
    source = files("evaluation.work.sidebyside").joinpath(template).read_bytes()
    written: bytes = typst.compile(source, sys_inputs={"content": json.dumps(content, ensure_ascii=False)})
    return written
