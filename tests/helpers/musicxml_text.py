"""Small MusicXML scores put together from text, with four divisions to a quarter note."""

from __future__ import annotations

import io
import zipfile

from core.song.pitch import Pitch


def note(pitch: str, duration: int = 4, *, inside: str = "", staff: int = 0, chord: bool = False, tie: str = "") -> str:
    """A note: its pitch, its length in quarters of a quarter note, what else stands in it."""
    spelled = Pitch.parse(pitch)
    ties = "".join(f'<tie type="{kind}"/>' for kind in tie.split())
    return (
        f"<note>{'<chord/>' if chord else ''}<pitch><step>{spelled.letter}</step><alter>{spelled.alteration}</alter>"
        f"<octave>{spelled.octave}</octave></pitch><duration>{duration}</duration>{ties}<voice>1</voice>"
        f"{f'<staff>{staff}</staff>' if staff else ''}{inside}</note>"
    )


def grace(pitch: str) -> str:
    """A grace note."""
    spelled = Pitch.parse(pitch)
    named = f"<pitch><step>{spelled.letter}</step><octave>{spelled.octave}</octave></pitch>"
    return f"<note><grace/>{named}<type>eighth</type></note>"


def rest(duration: int = 4, inside: str = "") -> str:
    """A rest."""
    return f"<note><rest/><duration>{duration}</duration>{inside}</note>"


def harmony(root: str, kind: str = "major", inside: str = "", text: str | None = None) -> str:
    """A chord symbol; the root with b or # after it."""
    alter = {"b": -1, "#": 1}.get(root[1:], 0)
    shown = "" if text is None else f' text="{text}"'
    return (
        f"<harmony><root><root-step>{root[0]}</root-step><root-alter>{alter}</root-alter></root>"
        f"<kind{shown}>{kind}</kind>{inside}</harmony>"
    )


def attributes(metre: str = "4/4", fifths: int | None = 0, mode: str = "major", inside: str = "") -> str:
    """What stands before the first note."""
    count, _, unit = metre.partition("/")
    key = "" if fifths is None else f"<key><fifths>{fifths}</fifths>{f'<mode>{mode}</mode>' if mode else ''}</key>"
    time = f"<time><beats>{count}</beats><beat-type>{unit}</beat-type></time>" if metre else ""
    return f"<attributes><divisions>4</divisions>{key}{time}{inside}</attributes>"


def repeat(direction: str, *, times: int = 0, ending: str = "", ending_type: str = "") -> str:
    """A bar line with a repeat, an ending, or both; `direction` may be empty."""
    location = "left" if direction == "forward" or ending_type == "start" else "right"
    return (
        f'<barline location="{location}">'
        + (f'<ending number="{ending}" type="{ending_type}"/>' if ending else "")
        + (
            f'<repeat direction="{direction}"{f" times={chr(34)}{times}{chr(34)}" if times else ""}/>'
            if direction
            else ""
        )
        + "</barline>"
    )


def score(*parts: list[str], title: str = "Tried", before: str = "", names: tuple[str, ...] = ()) -> bytes:
    """A score of parts, each a list of bars' contents."""
    names = names or tuple(f"Part {number}" for number in range(1, len(parts) + 1))
    part_list = "".join(
        f'<score-part id="P{number}"><part-name>{name}</part-name></score-part>' for number, name in enumerate(names, 1)
    )
    body = "".join(
        f'<part id="P{number}">'
        + "".join(f'<measure number="{bar}">{content}</measure>' for bar, content in enumerate(bars, 1))
        + "</part>"
        for number, bars in enumerate(parts, 1)
    )
    work = f"<work><work-title>{title}</work-title></work>" if title else ""
    return (
        f'<?xml version="1.0"?><score-partwise version="4.0">{work}{before}<part-list>{part_list}</part-list>'
        f"{body}</score-partwise>"
    ).encode()


def packed(score_bytes: bytes, *, container: bool = True, name: str = "music/song.xml") -> bytes:
    """A compressed MusicXML file."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as package:
        if container:
            rootfile = f'<container><rootfiles><rootfile full-path="{name}"/></rootfiles></container>'
            package.writestr("META-INF/container.xml", rootfile)
        package.writestr("META-INF/other.xml", "<nothing/>")
        package.writestr(name, score_bytes)
    return buffer.getvalue()
