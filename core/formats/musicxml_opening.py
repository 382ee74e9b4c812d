"""From the bytes of a MusicXML file, plain or compressed, to the element tree of a partwise score."""

from __future__ import annotations

import io
import zipfile
import zlib
from typing import Final
from xml.etree import ElementTree as ET

from core.song.errors import BrokenFileError, ForeignFileError, FormatError
from core.song.wording import say, to_say

ZIP: Final = b"PK"
LARGEST: Final = 200_000_000
"""Bytes that a compressed file may unfold to; a symphony in MusicXML takes about 20 million."""
AGAIN: Final = to_say("export it once more from the program that made it")
_BYTE_ORDER_MARKS: Final = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")


def opened(name: str, data: bytes) -> ET.Element:
    """The ``score-partwise`` element of a MusicXML file; a timewise score is turned into a partwise one.

    Raises:
        ForeignFileError: no MusicXML score.
        BrokenFileError: damaged or cut short; names the line.
        FormatError: an opus, which only names other files.
    """
    if data[:2] == ZIP:
        data = _unpacked(name, data)
    root = _parsed(name, data)
    for element in root.iter():
        if isinstance(element.tag, str) and element.tag.startswith("{"):
            element.tag = element.tag.rpartition("}")[2]
    if root.tag == "opus":
        raise FormatError(
            name, "", say("it is a list of scores, not a score"), say("open one of the scores that it names")
        )
    if root.tag == "score-timewise":
        return _partwise(root)
    if root.tag != "score-partwise":
        raise ForeignFileError(
            name, "", say("it is an XML file, but no score (it begins with {tag})", tag=f"<{root.tag}>"), say(AGAIN)
        )
    return root


def _unpacked(name: str, data: bytes) -> bytes:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            score = _score_in(package)
            if score is None:
                raise ForeignFileError(name, "", say("there is no score in the package"), say(AGAIN))
            if package.getinfo(score).file_size > LARGEST:
                raise BrokenFileError(name, score, say("the score unfolds to an enormous size"), say(AGAIN))
            return package.read(score)
    except (zipfile.BadZipFile, zlib.error, LookupError, OSError, EOFError, RuntimeError, ValueError) as error:
        raise BrokenFileError(name, "", say("the compressed file is damaged"), say(AGAIN)) from error


def _score_in(package: zipfile.ZipFile) -> str | None:
    """The score's name in the package: what the container names first, else the first XML file."""
    names = package.namelist()
    try:
        container = ET.fromstring(package.read("META-INF/container.xml"))
        for element in container.iter():
            path = element.get("full-path") if str(element.tag).endswith("rootfile") else None
            if path in names:
                return path
    except (KeyError, ET.ParseError):
        pass
    scores = (entry for entry in names if entry.lower().endswith((".xml", ".musicxml")))
    return next((entry for entry in scores if not entry.startswith("META-INF")), None)


def _parsed(name: str, data: bytes) -> ET.Element:
    start = data.lstrip()
    if not start:
        raise BrokenFileError(name, say("line {line}", line=1), say("the file is empty"), say(AGAIN))
    if not start.startswith((b"<", *_BYTE_ORDER_MARKS)):
        raise ForeignFileError(
            name, "", say("this is not a MusicXML file"), say("open the file that it was exported from")
        )
    try:
        return ET.fromstring(start)
    except ET.ParseError as error:
        line, column = error.position
        line += data[: len(data) - len(start)].count(b"\n")
        lines = data.count(b"\n") + 1
        trouble = say("the file is cut short") if line >= lines else say("the XML text makes no sense here")
        raise BrokenFileError(
            name, say("line {line}, column {column}", line=line, column=column + 1), trouble, say(AGAIN)
        ) from error
    except (LookupError, ValueError) as error:
        raise BrokenFileError(
            name, say("line {line}", line=1), say("its text is in an encoding that is not known here"), say(AGAIN)
        ) from error


def _partwise(timewise: ET.Element) -> ET.Element:
    """A timewise score (bars that hold parts) as a partwise one (parts that hold bars)."""
    root = ET.Element("score-partwise", timewise.attrib)
    parts: dict[str, ET.Element] = {}
    for element in timewise:
        if element.tag != "measure":
            root.append(element)
            continue
        for part in element.iterfind("part"):
            number = part.get("id", "")
            if number not in parts:
                parts[number] = ET.Element("part", {"id": number})
            bar = ET.SubElement(parts[number], "measure", element.attrib)
            bar.extend(part)
    root.extend(parts.values())
    return root
