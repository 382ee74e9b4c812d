"""Reading what is said against the part it is said of, in computed words and in those written by hand.

Found are notes, chords and chord tones that are not there, left out, out of order or called by a second name;
miscounts; lengths, waits, directions, places, landings and ordinals that are not the part's. Words are read in English;
of those in another language only the names of notes.
"""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from core.session.script_facts import Finding, PartFacts
from core.session.script_left_hand import read_left_hand
from core.session.script_reading import read_script
from core.session.script_right_hand import read_right_hand
from core.session.script_together import read_together
from core.song.song import Song
from core.song.wording import say, to_say
from core.teaching.naming import Naming

__all__ = ["Finding", "OwnFinding", "check_own_words", "check_script", "script_warnings"]

RIGHT_HAND, LEFT_HAND, TOGETHER = "right_hand", "left_hand", "together"
_WARNINGS: Final = {
    RIGHT_HAND: to_say("Part {number}, right hand: {sentence}"),
    LEFT_HAND: to_say("Part {number}, left hand: {sentence}"),
    TOGETHER: to_say("Part {number}, together: {sentence}"),
}


class OwnFinding(Struct, frozen=True):
    """Something in the teacher's own words that the part does not bear out.

    Attributes:
        kind: which words: ``right_hand``, ``left_hand`` or ``together``.
        finding: what, and where in them.
    """

    kind: str
    finding: Finding


def check_script(song: Song, number: int, kind: str, text: str, naming: Naming = Naming.LETTERS) -> tuple[Finding, ...]:
    """What in the words for a hand, or for both, is not so in the part; in order of the text.

    Args:
        song: the song.
        number: part number from 1.
        kind: ``right_hand``, ``left_hand`` or ``together``.
        text: what is said, computed or written by hand.
        naming: what notes and chords are called in it.
    """
    facts = PartFacts.of(song, number, naming)
    reading = read_script(text, facts.names)
    read = {RIGHT_HAND: read_right_hand, LEFT_HAND: read_left_hand}.get(kind, read_together)
    found = dict.fromkeys(read(facts, reading))
    return tuple(sorted(found, key=lambda finding: (finding.start, finding.end)))


def check_own_words(song: Song, number: int, naming: Naming = Naming.LETTERS) -> tuple[OwnFinding, ...]:
    """What in the teacher's own words for a part is not so, kind by kind."""
    return tuple(
        OwnFinding(words.kind, finding)
        for words in song.part(number).teaching.words
        for finding in check_script(song, number, words.kind, words.text, naming)
    )


def script_warnings(song: Song, naming: Naming = Naming.LETTERS) -> tuple[str, ...]:
    """What in the teacher's own words for the parts that are taught is not so, a sentence each, in the song's order."""
    return tuple(
        say(_WARNINGS[found.kind], number=number, sentence=found.finding.sentence)
        for number, part in enumerate(song.parts, 1)
        if part.teaching.taught
        for found in check_own_words(song, number, naming)
    )
