"""One pass over a CxF3 file (ISO 17972): its objects and specifications as written.

Elements are recognised by namespace, never by prefix. A DOCTYPE is refused before anything in it is read, so
there are no entities to expand; text is collected only where a value can be.
"""

from collections.abc import Callable
from functools import partial
from typing import Final, TypeVar
from xml.parsers import expat

from evaluation.errors import FileProblem
from evaluation.plain_text import shortened
from evaluation.published.limits import whole
from evaluation.readings.cxf.document import (
    GROUPS,
    NAMESPACE,
    OTHER_SPECTRA,
    PARTS,
    SPOT,
    CxfDocument,
    Group,
    spot_ink,
)
from evaluation.readings.cxf.gathering import MOST_PARTS, Gathering
from evaluation.readings.source import (
    CHUNK,
    LONGEST_LINE,
    NOTHING_TAKEN,
    Progress,
    Source,
)

_Handler = TypeVar("_Handler")
_Start = Callable[[str, dict[str, str]], None]
_End = Callable[[str], None]
_Colour = Callable[[str, str, dict[str, str]], None]
_DEEPEST: Final = whole("cxf_depth")
_CUT: Final = dict.fromkeys((3, 5), "an end in the middle")  # no element, unclosed token


def parse(source: Source, progress: Progress | None = None) -> CxfDocument:
    """The document of a file. Raises FileProblem for anything but complete, plain CxF3."""
    pass_ = _Pass(source)
    total = len(source.data)
    if progress:
        progress(0, total)
    try:
        for start in range(0, total, CHUNK):
            end = min(start + CHUNK, total)
            pass_.parser.Parse(memoryview(source.data)[start:end], end == total)
            pass_.check_size(end)
            if progress:
                progress(end, total)
    except expat.ExpatError as problem:
        raise FileProblem(
            NOTHING_TAKEN,
            where=source.line(problem.lineno),
            expected="well-formed XML to the end of the file",
            found=_CUT.get(problem.code) or expat.ErrorString(problem.code) or "something else",
            remedy="The file was cut or damaged; export it again.",
        ) from problem
    except (ValueError, LookupError) as problem:  # an encoding that Python does not know
        raise FileProblem(
            NOTHING_TAKEN,
            where=source.line(1),
            expected="an encoding that can be read",
            found=shortened(str(problem)),
            remedy="Export the file as UTF-8.",
        ) from problem
    finally:
        pass_.close()
    return pass_.document


class _Pass(Gathering):
    """Handles every tag and decides what is collected of it."""

    def __init__(self, source: Source) -> None:
        super().__init__(source)
        self.skipped = 0
        self.parser.buffer_text = True
        self.parser.buffer_size = 2**16
        self.parser.StartDoctypeDeclHandler = self._doctype
        self.parser.StartElementHandler = self._root
        self.parser.CharacterDataHandler = self.text.append
        self.starts: dict[str, Callable[[dict[str, str]], None]] = self._named(
            {
                "Object": self.begin_object,
                "ReflectanceSpectrum": self.begin_spectrum,
                "CustomSpectrum": self.begin_spectrum,
                "SpectralPoint": self.point,
                "Tag": self.tag,
                "ColorSpecification": self.begin_specification,
                "CustomResources": self._skip,
                **{name: partial(self.other_spectrum, name) for name in OTHER_SPECTRA},
            }
        )
        self.ends: dict[str, Callable[[], None]] = self._named(
            {
                "Object": self.end_object,
                "ReflectanceSpectrum": self.end_spectrum,
                "CustomSpectrum": self.end_custom,
                "SpectralPoint": self.end_point,
                "ColorSpecification": self.end_specification,
                "CreationDate": self.created,
                **dict.fromkeys(GROUPS, self._end_group),
            }
        )

        self._start, self._end, colour = self._handlers()
        self.starts |= self._named({name: partial(colour, name, f"{NAMESPACE} {name}") for name in GROUPS})
        self.parser.EndElementHandler = self._end

    @staticmethod
    def _named(handlers: dict[str, _Handler]) -> dict[str, _Handler]:
        return {f"{NAMESPACE} {name}": handler for name, handler in handlers.items()}

    def close(self) -> None:
        """Let go of the parser, whose handlers refer to this pass, which refers to them."""
        self.starts.clear()
        self.ends.clear()
        del self._start, self._end, self.parser

    def check_size(self, fed: int) -> None:
        """Raise FileProblem when a tag or value has grown beyond all need; `fed` bytes so far."""
        self.count(0)
        if (
            sum(map(len, self.text)) > LONGEST_LINE
            or fed - self.parser.CurrentByteIndex > CHUNK + LONGEST_LINE
            or (self.group is not None and fed - self.group.at > CHUNK + LONGEST_LINE)
        ):
            raise self.refused(f"tags and values of at most {LONGEST_LINE // 1024} kB", "a longer one")

    def _doctype(self, name: str, system: str | None, public: str | None, internal: int) -> None:
        raise self.refused("CxF3 without a DOCTYPE", "a DOCTYPE", "Export the file again without it.")

    def _root(self, name: str, attributes: dict[str, str]) -> None:
        namespace, _, local = name.rpartition(" ")
        if local != "CxF":
            raise self.refused("CxF3 as the outermost element", f"<{shortened(local)}>", "Export as CxF3.")
        if namespace != NAMESPACE:
            found = "CxF version 2" if namespace.rstrip("/").endswith("v2") else "another namespace"
            shown = shortened(namespace) or "none"
            raise self.refused(f"CxF3, namespace {NAMESPACE}", f"{found}, {shown}", "Export as CxF3.")
        self.parser.StartElementHandler = self._start

    def _handlers(self) -> tuple[_Start, _End, _Colour]:
        """Handlers of start tags, end tags and colours: plain functions, since they run so often."""
        text, clear, starts, ends = self.text, self.text.clear, self.starts.get, self.ends.get
        part_of, parser = PARTS.get, self.parser
        depth = 0
        closing = ""  # the end tag of the open colour; its parts follow
        parts: dict[str, str] = {}

        def colour(element: str, closes: str, attributes: dict[str, str]) -> None:
            nonlocal closing, parts
            closing, parts = closes, {}
            self.group = Group(element, attributes, parts, parser.CurrentByteIndex)
            parser.StartElementHandler = None  # the parts of a colour are recognised by their end tags

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal depth
            clear()
            depth += 1
            if depth > _DEEPEST:
                raise self.refused(f"elements at most {_DEEPEST} deep", "deeper ones")
            begin = starts(name)
            if begin is not None:
                begin(attributes)
            elif self.specification is not None and attributes and len(self.specification) < MOST_PARTS:
                local = name.rpartition(" ")[2]
                for attribute, value in attributes.items():
                    self.specification.setdefault(f"{local}.{attribute}", value)

        def end(name: str) -> None:
            nonlocal depth, closing
            if closing:
                if name != closing:
                    part = part_of(name)
                    if part is not None:  # most elements of most files are such parts
                        parts[part] = "".join(text)
                    elif name == SPOT:
                        ink = spot_ink(parts.pop("Name", ""), parts)
                        parts[ink] = parts.pop("Percentage", "")
                    elif len(parts) < MOST_PARTS:
                        parts[name.rpartition(" ")[2]] = "".join(text)
                    clear()
                    return
                closing = ""
            depth -= 1
            finish = ends(name)
            if finish is not None:
                finish()
            elif (
                self.specification is not None
                and len(self.specification) < MOST_PARTS
                and (value := "".join(text).strip())
            ):
                self.specification.setdefault(name.rpartition(" ")[2], value)
            clear()

        return start, end, colour

    # --- foreign content -------------------------------------------------------------------------------

    def _skip(self, attributes: dict[str, str]) -> None:
        self.skipped = 1
        self.parser.StartElementHandler = self._skip_start
        self.parser.EndElementHandler = self._skip_end
        self.parser.CharacterDataHandler = None

    def _skip_start(self, name: str, attributes: dict[str, str]) -> None:
        self.skipped += 1
        if self.skipped > _DEEPEST:
            raise self.refused(f"elements at most {_DEEPEST} deep", "deeper ones")

    def _skip_end(self, name: str) -> None:
        self.skipped -= 1
        if not self.skipped:
            self._end(name)
            self.parser.StartElementHandler = self._start
            self.parser.EndElementHandler = self._end
            self.parser.CharacterDataHandler = self.text.append

    # --- colours ---------------------------------------------------------------------------------------

    def _end_group(self) -> None:
        self.parser.StartElementHandler = self._start
        if self.item is not None and self.group is not None:
            self.characters += 64
            self.item.groups.append(self.group)
        self.group = None
