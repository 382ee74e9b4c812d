"""What English words about a part look like: the patterns by which the script check reads them back.

Words are put together in the language that was chosen, but read in English alone: in another language only the names
of notes are found, as they are said in it.
"""

from __future__ import annotations

import re
from typing import Final

from core.session.script_reading import NUMBER, NUMBERS, count_of
from core.teaching.number_words import ORDINALS_IN_ENGLISH
from core.teaching.spoken_intervals import HALF_STEPS, NTH, OCTAVES, STEP, SpokenInterval

ORDINALS: Final = {word: place for place, word in enumerate(ORDINALS_IN_ENGLISH, 1)}
ORDINAL: Final = rf"(?:{'|'.join(sorted(ORDINALS, key=len, reverse=True))}|\d+(?:st|nd|rd|th))"
IN_THE_MIDDLE: Final = "in the middle of the keyboard"

WAIT: Final = re.compile(r"\b[Ww]ait (?:for )?")

SAME_LISTED: Final = re.compile(r"[Tt]he same (\w+)(?: times)? more: ([^.;:]*)")
TOLD_TIMES: Final = re.compile(rf",? (once|twice|{NUMBER} times)\b(?! more)")
NOTES_LISTED: Final = re.compile(rf"\b({NUMBER}) notes?:", re.IGNORECASE)
NOTES_IN_ALL: Final = re.compile(rf"\b(?:has|have|are|is|of|all) (?:only |just )?({NUMBER}) notes?\b", re.IGNORECASE)
TURNS: Final = re.compile(rf"\bThe (?:first|next) ({NUMBER}) notes go (?:long, short|short, long): ")
MOST_NOTES: Final = re.compile(r"\b(?:Most|All) notes here last ")
LENGTH_FOLLOWS: Final = re.compile(
    r"^,?(?: again)?,?(?: and)?(?: (?:each|all|both))?(?: (?:hold (?:it|on)|held|lasting|which lasts|it lasts|lasts))?"
    r"(?: each)?(?: for)? $"
)
MOVED: Final = re.compile(
    rf"\b(?P<way>up|down) (?P<far>a half step|an? \w+|{NUMBER} (?:octaves|half steps)) to "
    r"(?:the |quick grace notes? |a quick grace note )?$",
    re.IGNORECASE,
)
BACK: Final = re.compile(r"\bback (?P<way>up|down) to $", re.IGNORECASE)
DEGREE_AHEAD: Final = ", the "
"""Between a scale degree and the place on the keyboard that is told of it."""
_LETTER_AHEAD: Final = re.escape(",") + r" the (?:\w+ )?[A-G](?: sharp| flat)*"
_INTERVALS: Final = {
    "a half step": SpokenInterval(HALF_STEPS),
    "a step": SpokenInterval(STEP),
    "a second": SpokenInterval(STEP),
    "a third": SpokenInterval(NTH, 3),
    "a fourth": SpokenInterval(NTH, 4),
    "a fifth": SpokenInterval(NTH, 5),
    "a sixth": SpokenInterval(NTH, 6),
    "a seventh": SpokenInterval(NTH, 7),
    "a ninth": SpokenInterval(NTH, 9),
    "a tenth": SpokenInterval(NTH, 10),
    "a twelfth": SpokenInterval(NTH, 12),
    "an octave": SpokenInterval(OCTAVES),
    "an eleventh": SpokenInterval(NTH, 11),
    **{f"{told} octaves": SpokenInterval(OCTAVES, count) for word, count in NUMBERS.items() for told in (word, count)},
    **{
        f"{told} half steps": SpokenInterval(HALF_STEPS, count)
        for word, count in NUMBERS.items()
        for told in (word, count)
    },
}

TONES_FOLLOW: Final = re.compile(r"^(?:[^.;:]*?(?:: | is | are | has |, that is,? | \()|[^:]*\. It is )$")
BETWEEN_TONES: Final = re.compile(r"^(?:,| and|, and|, then)? ?$")
AT_THE_BOTTOM: Final = re.compile(r"^ (?:at|in) the (?:bottom|bass)")
CHORDS_EACH: Final = re.compile(rf"\b({NUMBER}) chords?, (?:each|both|all) for ", re.IGNORECASE)
CHORDS_IN_ALL: Final = re.compile(rf"\b(?:has|have|are|only|all) ({NUMBER}) chords?\b", re.IGNORECASE)
LOWEST: Final = re.compile(r"(?:up from|(?:lowest|bottom) (?:note|key) is|starting on) the $")
RESTS: Final = re.compile(r"\brests? for ")
EVERY_FINGER: Final = re.compile(r"Every finger moves one step (up|down)")
KEEP: Final = re.compile(r"\bKeep ([^.]*?), move ([^.]*)", re.IGNORECASE)
CHORD_MOMENTS: Final = re.compile(r"\b(?:lands?|for \w+ (?:beat|count)s?)\b")
"""What tells one time that a chord is played from another; without it a list of chords may name each once."""

STILL_DOWN: Final = re.compile(r"^ is still down from part (\d+)")
ALONE: Final = re.compile(r"\b(?:alone|by itself|on its own)\b")
MET: Final = re.compile(r"\b(?:with|on|under|at|meets)\b[^,]*$")
BEAT_BEHIND: Final = re.compile(
    rf"^ (?P<exactly>on|just after) (?:beat|count) (?P<beat>{NUMBER}) of bar (?P<bar>\d+)", re.IGNORECASE
)
ON_THE_BEAT: Final = "on"
ORDINAL_AHEAD: Final = re.compile(rf"\b(?P<which>{ORDINAL}|last|only) $")
_HELD_AHEAD: Final = ("hold", " into ", " after the ")
_COMING_AHEAD: Final = (" before ", "comes")


def ordinal_of(word: str) -> int:
    """The how-manyth, from words or figures."""
    return ORDINALS.get(word) or count_of(word[:-2]) or 0


def interval_of(words: str) -> SpokenInterval | None:
    """The interval that words such as ``a third`` name; None where they name none."""
    return _INTERVALS.get(words.lower())


def place_pattern(names: str, middle_c: str) -> str:
    """What finds a place on the keyboard, such as 'second E above middle C', with its note as ``name``.

    Args:
        names: a pattern for the names of notes.
        middle_c: what middle C is called.
    """
    where = rf"(?:above|below) {re.escape(middle_c)}|{IN_THE_MIDDLE}"
    return rf"(?<=the )(?:{ORDINAL} )?(?P<name>{names}) (?:{where})"


def without_place(text: str, middle_c: str, *, degrees: bool) -> str:
    """What stands behind a note's name, without the place on the keyboard that is told of the note.

    Args:
        text: what stands behind the name.
        middle_c: what middle C is called.
        degrees: whether notes are called by scale degrees, so that the place has a letter of its own.
    """
    letter = _LETTER_AHEAD if degrees else ""
    return re.sub(rf"^(?:{letter})?(?: (?:above|below) {re.escape(middle_c)}| {IN_THE_MIDDLE})", "", text)


def tells_of_held(lead: str) -> bool:
    """Whether the words ahead of a note's name tell of a note that is held while a chord lands."""
    return any(words in lead for words in _HELD_AHEAD)


def tells_of_coming(lead: str) -> bool:
    """Whether the words ahead of a note's name tell of the note that comes after a chord has landed."""
    return any(words in lead for words in _COMING_AHEAD)
