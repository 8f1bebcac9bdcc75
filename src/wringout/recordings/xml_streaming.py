"""XML fed to a parser piece by piece, with nothing in it expanded or fetched."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Protocol

from wringout.problems import InputError, Problem

CHUNK = 1 << 16
DEEPEST = 256  # elements within elements; the parser keeps each open one


class Target(Protocol):
    """Told of elements as they open and close; a tag is a name space, a closing brace and the local name."""

    def start(self, tag: str, attributes: dict[str, str]) -> None: ...
    def end(self, tag: str) -> None: ...
    def data(self, text: str) -> None: ...
    def close(self) -> None: ...


def feed(path: Path, made: Callable[[Callable[[], int]], Target], points: Callable[[], int]) -> None:
    """Parses a file into the target that `made` makes of a function that tells the current line.

    `points` tells how many samples were found so far, for the problem's words.

    Raises
    ------
    InputError
        Broken XML, an encoding that cannot be read, a document type or entities, elements without end.
    """
    from xml.etree.ElementTree import ParseError

    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import DefusedXMLParser

    parser: Any = None
    target = made(lambda: int(parser.parser.CurrentLineNumber))
    guarded = _Guarded(target, path.name)
    parser = DefusedXMLParser(target=target, forbid_dtd=True)
    # the refusals stay the safe parser's own; what it does for a tree costs as much as all the rest
    expat = parser.parser
    expat.ordered_attributes = False
    expat.StartElementHandler, expat.EndElementHandler = guarded.start, guarded.end
    expat.CharacterDataHandler = target.data
    try:
        with path.open("rb") as stream:
            while chunk := stream.read(CHUNK):
                parser.feed(chunk)
            parser.close()
    except ParseError as error:
        raise InputError(
            Problem(
                f"the XML breaks off or is malformed after {points()} track points",
                "take the file from the recorder again; if its end is missing, close the open elements",
                path.name,
                error.position[0],
            )
        ) from None
    except DefusedXmlException:
        raise InputError(
            Problem(
                "the file defines a document type or entities, which no recorder writes",
                "take the track from the recorder again, or delete the DOCTYPE",
                path.name,
            )
        ) from None
    except (LookupError, ValueError) as error:  # expat: unknown or multi-byte encoding
        raise InputError(
            Problem(f"the XML cannot be decoded ({error})", "save it as UTF-8", path.name)
        ) from None


class _Guarded:
    """A target that is told of no more than so many elements within each other."""

    def __init__(self, target: Target, file: str) -> None:
        self._begin, self._finish = target.start, target.end
        self._file = file
        self._depth = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self._depth += 1
        if self._depth > DEEPEST:
            raise InputError(
                Problem(
                    f"more than {DEEPEST} elements lie within each other, which no recorder writes",
                    "take the track from the recorder again",
                    self._file,
                )
            )
        self._begin(tag, attributes)

    def end(self, tag: str) -> None:
        self._depth -= 1
        self._finish(tag)
