"""Reading what is said against the part it is said of: notes that are not there, notes and chords left out, miscounts.

The names in the words are taken in order and laid beside the part's own as an editor compares two texts (the longest
runs in common first). Scale degrees are number words like any count and are not checked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from itertools import product
from typing import Final

from core.song.pitch import LETTERS, NoteName
from core.song.song import Song
from core.teaching.naming import Names, Naming
from core.teaching.number_words import number_word

RIGHT_HAND, LEFT_HAND, TOGETHER = "right_hand", "left_hand", "together"
ENOUGH_NAMED: Final = 0.5
"""Words that name a smaller share of the part than this do not mean to name all of it."""
_MOST_COUNTED: Final = 20
_ARTICLE: Final = re.compile(r"(?:(?<=^)|(?<=[.!?:;] ))A(?= (?!flat|sharp|again|for|and|then|to)[a-z])")
_LISTED: Final = re.compile(r"the same (\w+)(?: times)? more: ([^.;:]*)")


@dataclass(frozen=True, slots=True)
class Finding:
    """Something in the words that the part does not bear out.

    Attributes:
        start: place of its first character in the text.
        end: place behind its last character.
        sentence: what is wrong, for the teacher.
    """

    start: int
    end: int
    sentence: str


@dataclass(frozen=True, slots=True)
class _Mention:
    start: int
    end: int
    name: str


def check_script(song: Song, number: int, kind: str, text: str, naming: Naming = Naming.LETTERS) -> tuple[Finding, ...]:
    """What in the words for a hand, or for both, is not so in the part; in order of the text.

    Args:
        song: the song.
        number: part number from 1.
        kind: ``right_hand``, ``left_hand`` or ``together``.
        text: what is said, computed or written by hand.
        naming: what notes and chords are called in it.
    """
    if naming is Naming.DEGREES:
        return ()
    part = song.part(number)
    names = Names.of_part(song, number, naming)
    chords = [names.chord_said(chord.symbol) for chord in part.chords if not chord.symbol.is_silent]
    said_chords = list(_mentions(text, sorted(set(chords), key=len, reverse=True)))
    if kind == RIGHT_HAND:
        bare = _without(text, said_chords, names)
        wanted = [names.said(note.pitch.name) for note in part.melody]
        mentions = list(_mentions(bare, _every_name(names)))
        found = [*_compared(mentions, wanted, f"the right hand of part {number}"), *_counts(text, names)]
    else:
        found = _chords_left_out(said_chords, chords, number)
    return tuple(sorted(found, key=lambda finding: (finding.start, finding.end)))


def _every_name(names: Names) -> list[str]:
    every = {names.said(NoteName(letter, by)) for letter, by in product(LETTERS, range(-2, 3))}
    return sorted(every, key=len, reverse=True)


def _without(text: str, chords: Sequence[_Mention], names: Names) -> str:
    """The text with chords, middle C and the article 'A' blanked out, every other character in its place."""
    for mention in chords:
        text = text[: mention.start] + "_" * (mention.end - mention.start) + text[mention.end :]
    text = text.replace(names.middle_c, "_" * len(names.middle_c))
    return _ARTICLE.sub("_", text)


def _mentions(text: str, wanted: Sequence[str]) -> Iterator[_Mention]:
    if not wanted:
        return
    for found in re.finditer(rf"(?<![\w♭♯])(?:{'|'.join(map(re.escape, wanted))})(?![\w♭♯'’])", text):
        yield _Mention(found.start(), found.end(), found[0])


def _chords_left_out(mentions: Sequence[_Mention], wanted: Sequence[str], number: int) -> list[Finding]:
    said = {mention.name for mention in mentions}
    if not said or len(said) < ENOUGH_NAMED * len(set(wanted)):
        return []
    missing = [name for name in dict.fromkeys(wanted) if name not in said]
    return [Finding(0, 0, f"The words leave out {name}, a chord of part {number}.") for name in missing]


def _compared(mentions: Sequence[_Mention], wanted: Sequence[str], where: str) -> list[Finding]:
    """Notes named against notes played, in order."""
    said = [mention.name for mention in mentions]
    found: list[Finding] = []
    all_named = len(said) >= ENOUGH_NAMED * len(wanted)
    for tag, first, last, begin, end in SequenceMatcher(None, said, wanted, autojunk=False).get_opcodes():
        if tag == "equal":
            continue
        for mention in mentions[first:last]:
            instead = f"; there it plays {', '.join(wanted[begin:end])}" if tag == "replace" else ""
            what = f"has no {mention.name}" if mention.name not in wanted else f"plays no {mention.name} at this point"
            found.append(
                Finding(mention.start, mention.end, f"The words name {mention.name}, but {where} {what}{instead}.")
            )
        if tag == "insert" and all_named:
            place = mentions[first].start if first < len(mentions) else mentions[-1].end
            left = ", ".join(wanted[begin:end])
            found.append(Finding(place, place, f"The words leave out {left}, which {where} plays here."))
    return found


def _counts(text: str, names: Names) -> Iterator[Finding]:
    """Repeated notes that are counted otherwise than they are listed."""
    words = {"once": 1, "twice": 2, **{number_word(count): count for count in range(1, _MOST_COUNTED + 1)}}
    for told in _LISTED.finditer(text):
        listed = sum(1 for _ in _mentions(told[2], _every_name(names)))
        if told[1] in words and words[told[1]] != listed:
            sentence = f"The words say “{told[1]}”, but {number_word(listed)} follow."
            yield Finding(told.start(1), told.end(1), sentence)
