"""Photographs of a fault, kept with a region of a session."""

from pathlib import Path

from evaluation.appendix import photographs
from evaluation.appendix.photographs import Attached
from evaluation.archive import documents, entries, held, sessions
from evaluation.entry import Draft
from evaluation.errors import UsageProblem
from evaluation.plain_text import quoted
from evaluation.work.bench import Bench, sheet_of
from evaluation.work.log import Entered, refuse_read_only, say


def attach(
    bench: Bench, session_id: int, region_id: str, path: Path, *, fault: str = "", caption: str = ""
) -> Entered:
    """Keep a photograph with a region, and with a fault of it; it is scaled and stripped of its notes.

    A second photograph of the same fault takes the place of the first. Raises UsageProblem for a region or
    fault that the sheet does not name, FileProblem for what is no picture.
    """
    refuse_read_only(bench)
    session = sessions.load(bench.archive, session_id)
    sheet = sheet_of(bench, session)
    region = next((each for each in sheet.regions if each.id == region_id), None)
    if region is None or (fault and fault not in region.faults):
        known = ", ".join(region.faults if region else (each.id for each in sheet.regions)) or "none"
        raise UsageProblem(
            photographs.NOT_ATTACHED,
            expected=f"a fault of {region.title} ({known})" if region else f"a region of the sheet ({known})",
            found=quoted(fault if region else region_id),
        )
    held.refuse(path, photographs.NOT_ATTACHED)
    photograph = photographs.scaled(path)
    viewing = session.viewing.id if session.viewing else None
    with bench.archive.joined():  # the picture and what is said of it, or neither
        digest = documents.keep(bench.archive, "picture", path.name, photograph.content)
        value = {"digest": digest, "caption": " ".join(caption.split())}
        return say(bench, session_id, [Draft("attachment", f"{region_id}/{fault}", value, viewing)])


def attached_to(bench: Bench, session_id: int) -> tuple[Attached, ...]:
    """The photographs of a session."""
    found: dict[tuple[int | None, str], Attached] = {}
    for said in entries.history(bench.archive, session_id):
        entry = said.entry
        if entry.kind != "attachment" or not said.live:
            continue
        found.pop((entry.viewing, entry.subject), None)
        if entry.value is None:
            continue
        region, _, fault = entry.subject.partition("/")
        photograph = photographs.kept(documents.fetch(bench.archive, entry.value["digest"])[1])
        found[entry.viewing, entry.subject] = Attached(region, fault, entry.value["caption"], photograph)
    return tuple(found.values())
