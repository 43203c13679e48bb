"""One pass over a CxF3 file (ISO 17972): its objects and specifications as they stand there.

Elements are known by their namespace, never by a prefix. A DOCTYPE is refused before anything in it is
looked at, so there are no entities to expand; text is collected only where a value can stand.
"""

from collections.abc import Callable
from functools import partial
from typing import Final, TypeVar
from xml.parsers import expat

from evaluation.errors import FileProblem
from evaluation.plain_text import shortened
from evaluation.readings.cxf.document import (
    GROUPS,
    NAMESPACE,
    OTHER_SPECTRA,
    PARTS,
    Document,
    Group,
    Item,
    Spectrum,
)
from evaluation.readings.source import (
    CHUNK,
    EXPORT_AGAIN,
    LONGEST_LINE,
    MOST_FIELDS,
    MOST_ROWS,
    MOST_VALUES,
    NOTHING_TAKEN,
    Progress,
    Source,
)

_Handler = TypeVar("_Handler")
_Start = Callable[[str, dict[str, str]], None]
_End = Callable[[str], None]
_DEEPEST: Final = 100
_MOST_SPECIFICATIONS: Final = 10_000
_MOST_PARTS: Final = 100  # of a colour, a specification, the tags of an object


def parse(source: Source, progress: Progress | None = None) -> Document:
    """The objects of a file. Raises FileProblem for anything that is not whole, plain CxF3."""
    pass_ = _Pass(source)
    total = len(source.data)
    if progress:
        progress(0, total)
    try:
        for start in range(0, total, CHUNK):
            end = min(start + CHUNK, total)
            pass_.parser.Parse(bytes(source.data[start:end]), end == total)
            pass_.check_size(end)
            if progress:
                progress(end, total)
    except expat.ExpatError as problem:
        raise FileProblem(
            NOTHING_TAKEN,
            where=source.line(problem.lineno),
            expected="well-formed XML to the end of the file",
            found=expat.ErrorString(problem.code) or "something else",
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


class _Pass:
    """The handlers and what they have gathered; `text` is everything since the last tag."""

    def __init__(self, source: Source) -> None:
        self.source = source
        self.document = Document()
        self.item: Item | None = None
        self.group: Group | None = None
        self.spectrum: Spectrum | None = None
        self.specification: dict[str, str] | None = None
        self.text: list[str] = []
        self.depth = self.skipped = 0
        self.characters = 0
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.buffer_size = 2**16
        self.parser.StartDoctypeDeclHandler = self._doctype
        self.parser.StartElementHandler = self._root
        self.parser.CharacterDataHandler = self.text.append
        self.starts: dict[str, Callable[[dict[str, str]], None]] = self._named(
            {
                "Object": self._object,
                "ReflectanceSpectrum": self._spectrum,
                "CustomSpectrum": self._spectrum,
                "SpectralPoint": self._point,
                "Tag": self._tag,
                "ColorSpecification": self._specification,
                "CustomResources": self._skip,
                **{name: partial(self._colour, name, f"{NAMESPACE} {name}") for name in GROUPS},
                **{name: partial(self._other_spectrum, name) for name in OTHER_SPECTRA},
            }
        )
        self.ends: dict[str, Callable[[], None]] = self._named(
            {
                "Object": self._end_object,
                "ReflectanceSpectrum": self._end_spectrum,
                "CustomSpectrum": self._end_custom,
                "SpectralPoint": self._end_point,
                "ColorSpecification": self._end_specification,
                "CreationDate": self._created,
                **dict.fromkeys(GROUPS, self._end_group),
            }
        )

        self._start, self._end = self._handlers()
        self.parser.EndElementHandler = self._end

    @staticmethod
    def _named(handlers: dict[str, _Handler]) -> dict[str, _Handler]:
        return {f"{NAMESPACE} {name}": handler for name, handler in handlers.items()}

    def close(self) -> None:
        """Let go of the parser: its handlers hold this pass, and it holds them."""
        self.starts.clear()
        self.ends.clear()
        del self._start, self._end, self.parser

    def check_size(self, fed: int) -> None:
        """Raises FileProblem when a tag or a value has grown past what any needs; `fed` bytes so far."""
        if (
            sum(map(len, self.text)) > LONGEST_LINE
            or fed - self.parser.CurrentByteIndex > CHUNK + LONGEST_LINE
            or (self.group is not None and fed - self.group.at > CHUNK + LONGEST_LINE)
        ):
            raise self._refused(f"tags and values of at most {LONGEST_LINE // 1024} kB", "a longer one")

    def _refused(self, expected: str, found: str, remedy: str = EXPORT_AGAIN) -> FileProblem:
        where = self.source.line(self.parser.CurrentLineNumber)
        return FileProblem(NOTHING_TAKEN, where=where, expected=expected, found=found, remedy=remedy)

    def _doctype(self, name: str, system: str | None, public: str | None, internal: int) -> None:
        raise self._refused("CxF3 without a DOCTYPE", "a DOCTYPE", "Export the file again without it.")

    def _root(self, name: str, attributes: dict[str, str]) -> None:
        namespace, _, local = name.rpartition(" ")
        if local != "CxF":
            raise self._refused("CxF3 as the outermost element", f"<{shortened(local)}>", "Export as CxF3.")
        if namespace != NAMESPACE:
            found = "CxF version 2" if namespace.rstrip("/").endswith("v2") else "another namespace"
            shown = shortened(namespace) or "none"
            raise self._refused(f"CxF3, namespace {NAMESPACE}", f"{found}, {shown}", "Export as CxF3.")
        self.parser.StartElementHandler = self._start

    def _handlers(self) -> tuple[_Start, _End]:
        """The two handlers that meet every tag: plain functions, since they run for every one of them."""
        text, clear, starts, ends = self.text, self.text.clear, self.starts.get, self.ends.get
        part_of = PARTS.get

        def start(name: str, attributes: dict[str, str]) -> None:
            clear()
            self.depth += 1
            if self.depth > _DEEPEST:
                raise self._refused(f"elements at most {_DEEPEST} deep", "deeper ones")
            begin = starts(name)
            if begin is not None:
                begin(attributes)
            elif self.specification is not None and attributes and len(self.specification) < _MOST_PARTS:
                local = name.rpartition(" ")[2]
                for attribute, value in attributes.items():
                    self.specification.setdefault(f"{local}.{attribute}", value)

        def end(name: str) -> None:
            group = self.group
            if group is not None and name != group.closes:
                part = part_of(name)
                if part is not None:  # most elements of most files
                    group.parts[part] = "".join(text)
                elif len(group.parts) < _MOST_PARTS:
                    group.parts[name.rpartition(" ")[2]] = "".join(text)
                clear()
                return
            self.depth -= 1
            finish = ends(name)
            if finish is not None:
                finish()
            elif (
                self.specification is not None
                and len(self.specification) < _MOST_PARTS
                and (value := "".join(text).strip())
            ):
                self.specification.setdefault(name.rpartition(" ")[2], value)
            clear()

        return start, end

    # --- foreign content -------------------------------------------------------------------------------

    def _skip(self, attributes: dict[str, str]) -> None:
        self.skipped = 1
        self.parser.StartElementHandler = self._skip_start
        self.parser.EndElementHandler = self._skip_end
        self.parser.CharacterDataHandler = None

    def _skip_start(self, name: str, attributes: dict[str, str]) -> None:
        self.skipped += 1
        if self.skipped > _DEEPEST:
            raise self._refused(f"elements at most {_DEEPEST} deep", "deeper ones")

    def _skip_end(self, name: str) -> None:
        self.skipped -= 1
        if not self.skipped:
            self.depth -= 1
            self.parser.StartElementHandler = self._start
            self.parser.EndElementHandler = self._end
            self.parser.CharacterDataHandler = self.text.append

    # --- objects ---------------------------------------------------------------------------------------

    def _object(self, attributes: dict[str, str]) -> None:
        if len(self.document.items) >= MOST_ROWS:
            raise self._refused(f"at most {MOST_ROWS:,} objects", "more", "Split the file.")
        said = attributes.get
        at = self.parser.CurrentByteIndex
        self.item = Item(said("ObjectType", ""), said("Name", ""), said("Id", ""), at, [], [], {})
        self.document.items.append(self.item)

    def _end_object(self) -> None:
        self.item = self.group = self.spectrum = None

    def _tag(self, attributes: dict[str, str]) -> None:
        if self.item is not None and len(self.item.tags) < _MOST_PARTS:
            self.item.tags[attributes.get("Name", "")] = attributes.get("Value", "")

    def _created(self) -> None:
        if self.item is None and not self.document.created:
            self.document.created = "".join(self.text).strip()

    def _colour(self, element: str, closes: str, attributes: dict[str, str]) -> None:
        self.group = Group(element, attributes, {}, self.parser.CurrentByteIndex, closes)
        self.parser.StartElementHandler = None  # the parts of a colour are known by their ends

    def _end_group(self) -> None:
        self.parser.StartElementHandler = self._start
        if self.item is not None and self.group is not None:
            self._count(0)
            self.item.groups.append(self.group)
        self.group = None

    def _other_spectrum(self, element: str, attributes: dict[str, str]) -> None:
        if self.item is not None:
            self.item.other_spectrum = element

    def _spectrum(self, attributes: dict[str, str]) -> None:
        specification = attributes.get("ColorSpecification", "")
        self.spectrum = Spectrum(specification, attributes, "", self.parser.CurrentByteIndex)

    def _end_spectrum(self) -> None:
        if self.item is not None and self.spectrum is not None:
            self.spectrum.text = "".join(self.text)
            self._count(len(self.spectrum.text))
            self.item.spectra.append(self.spectrum)
        self.spectrum = None

    def _count(self, characters: int) -> None:
        self.characters += 64 + characters
        if self.characters > MOST_VALUES * 16:
            raise self._refused(f"at most {MOST_VALUES:,} values", "more", "Split the file.")

    def _point(self, attributes: dict[str, str]) -> None:
        if self.spectrum is not None:
            if self.spectrum.points is None:
                self.spectrum.points = []
            self.spectrum.points.append(attributes.get("WL", ""))
            if "Value" in attributes:
                self._value(attributes["Value"])
            if len(self.spectrum.points) > MOST_FIELDS:
                raise self._refused(f"at most {MOST_FIELDS:,} points in a spectrum", "more")

    def _value(self, text: str) -> None:
        if self.spectrum is not None:
            if self.spectrum.values is None:
                self.spectrum.values = []
            self.spectrum.values.append(text)

    def _end_point(self) -> None:
        if self.spectrum is not None and (text := "".join(self.text).strip()):
            self._value(text)

    def _end_custom(self) -> None:
        if self.item is not None and self.spectrum is not None:
            if self.spectrum.points is None:
                self.spectrum.points = []
            self._count(sum(map(len, self.spectrum.values or ())))
            self.item.spectra.append(self.spectrum)
        self.spectrum = None

    # --- specifications --------------------------------------------------------------------------------

    def _specification(self, attributes: dict[str, str]) -> None:
        if len(self.document.specifications) >= _MOST_SPECIFICATIONS:
            raise self._refused(f"at most {_MOST_SPECIFICATIONS:,} specifications", "more")
        self.specification = {}
        self.document.specifications[attributes.get("Id", "")] = self.specification

    def _end_specification(self) -> None:
        self.specification = None
