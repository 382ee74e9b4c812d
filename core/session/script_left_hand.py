"""Words for the left hand read against the chords: names, tones, what is at the bottom, lengths, counts, changes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from core.session.script_chords import align_chords, one_chord_name_each, sounding_chords
from core.session.script_facts import Finding, PartFacts
from core.session.script_reading import NUMBER, ChordMention, NoteMention, ScriptReading, count_of
from core.song.chord import Chord
from core.teaching.left_hand_voicings import Voicing, voicings
from core.teaching.number_words import number_word
from core.theory.chord_tones import chord_tones

_LIST: Final = re.compile(r"^(?:[^.;:]*?(?:: | is | are | has |, that is,? | \()|[^:]*\. It is )$")
_BETWEEN_TONES: Final = re.compile(r"^(?:,| and|, and|, then)? ?$")
_BOTTOM: Final = re.compile(r"^ (?:at|in) the (?:bottom|bass)")
_CHORDS_EACH: Final = re.compile(rf"\b({NUMBER}) chords?, (?:each|both|all) for ", re.IGNORECASE)
_CHORDS_IN_ALL: Final = re.compile(rf"\b(?:has|have|are|only|all) ({NUMBER}) chords?\b", re.IGNORECASE)
_LOWEST: Final = re.compile(r"(?:up from|(?:lowest|bottom) (?:note|key) is|starting on) the $")
_WAIT: Final = re.compile(r"\b[Ww]ait (?:for )?")
_RESTS: Final = re.compile(r"\brests? for ")
_EVERY_FINGER: Final = re.compile(r"Every finger moves one step (up|down)")
_KEEP: Final = re.compile(r"\bKeep ([^.]*?), move ([^.]*)", re.IGNORECASE)


def read_left_hand(facts: PartFacts, reading: ScriptReading) -> list[Finding]:
    """What in the words for the left hand is not so."""
    chords = sounding_chords(facts)
    placed = [
        voicing
        for chord, voicing in zip(facts.part.chords, voicings(facts.song, facts.number), strict=True)
        if not chord.symbol.is_silent
    ]
    mentions, found = one_chord_name_each(reading, chords, facts)
    aligned, compared = align_chords(reading.text, mentions, chords, facts, f"a chord of part {facts.number}")
    found += compared
    if not chords:
        return found
    told = facts.places(reading.text)
    chosen = [(mention, aligned.get(place)) for place, mention in enumerate(mentions)]
    for place, (mention, index) in enumerate(chosen):
        if index is None:
            continue
        behind = mentions[place + 1].start if place + 1 < len(mentions) else len(reading.text)
        notes = [note for note in reading.notes if mention.end <= note.start < behind]
        found += _tones(reading, mention, notes, chords[index], placed[index], facts)
        found += _places(reading, told, mention.end, behind, placed[index], facts)
        found += _length(reading, mention, behind, chords[index], facts)
        if index:
            found += _change(reading, mention, behind, notes, placed[index - 1], placed[index])
    found += _counts(reading, mentions, aligned, chords, facts)
    found += _waits(reading, mentions, aligned, chords, facts)
    return found


def _tones(
    reading: ScriptReading,
    mention: ChordMention,
    notes: Sequence[NoteMention],
    chord: Chord,
    voicing: Voicing,
    facts: PartFacts,
) -> Iterator[Finding]:
    """A list of tones behind a chord's name: all of them, and no others."""
    bottom = [note for note in notes if _BOTTOM.match(reading.text[note.end :])]
    tones = {*chord_tones(chord.symbol), *(pitch.name for pitch in voicing)}
    called = facts.names.chord_said(chord.symbol)
    for note in bottom:
        if voicing and note.name != voicing[0].name:
            right = facts.names.said(voicing[0].name)
            yield Finding(note.start, note.end, f"The words put {note.said} at the bottom, but it is {right}.")
    listed: list[NoteMention] = []
    for note in notes:
        if note in bottom:
            continue
        between = reading.text[(listed[-1].end if listed else mention.end) : note.start]
        between = between if listed else re.sub(r"^.*?(?=: )", "", between)
        if not (_BETWEEN_TONES if listed else _LIST).match(between):
            if listed:
                break
            continue
        listed.append(note)
    if len(listed) < 2:
        return
    said = [note.name for note in listed]
    for place, note in enumerate(listed):
        if note.name not in tones:
            yield Finding(note.start, note.end, f"The words spell {called} with {note.said}, which is not in it.")
        elif note.name in said[:place]:
            yield Finding(note.start, note.end, f"The words name {note.said} twice in {called}.")
    missing = [name for name in dict.fromkeys(pitch.name for pitch in voicing) if name not in said]
    if missing:
        left = ", ".join(map(facts.names.said, missing))
        yield Finding(listed[0].start, listed[-1].end, f"The words leave {left} out of {called}.")


def _places(
    reading: ScriptReading,
    every: Sequence[re.Match[str]],
    start: int,
    end: int,
    voicing: Voicing,
    facts: PartFacts,
) -> Iterator[Finding]:
    """The place of the lowest key that is told between two places of the text: 'up from the A below middle C'."""
    for told in every:
        if voicing and start <= told.start() < end and _LOWEST.search(reading.text[start : told.start()]):
            wrong = facts.place_finding(told, voicing[0])
            if wrong is not None:
                yield wrong


def _length(
    reading: ScriptReading, mention: ChordMention, behind: int, chord: Chord, facts: PartFacts
) -> Iterator[Finding]:
    """The length said behind a chord's name."""
    _, end = reading.sentence(mention.end)
    colon = reading.text.find(":", mention.end, end)
    end = min(behind, end, colon if colon >= 0 else end)
    for length in reading.lengths:
        if not mention.end <= length.start < end or not reading.text.endswith("for ", 0, length.start):
            continue
        if not facts.fits(length, chord.duration):
            name, right = facts.names.chord_said(chord.symbol), facts.length_words(chord.duration)
            sentence = f"The words hold {name} for {length.said}, but part {facts.number} holds it for {right}."
            yield Finding(length.start, length.end, sentence)
        return


def _change(
    reading: ScriptReading,
    mention: ChordMention,
    behind: int,
    notes: Sequence[NoteMention],
    before: Voicing,
    after: Voicing,
) -> Iterator[Finding]:
    """How the hand is said to go from the chord before to this one."""
    for told in _EVERY_FINGER.finditer(reading.text, mention.end, behind):
        step = 1 if told[1] == "up" else -1
        if [pitch.staff_step + step for pitch in before] != [pitch.staff_step for pitch in after]:
            sentence = f"Not every finger moves one step {told[1]} to {mention.said}."
            yield Finding(told.start(), told.end(), sentence)
    for told in _KEEP.finditer(reading.text, mention.end, behind):
        old, new = {pitch.name for pitch in before}, {pitch.name for pitch in after}
        for note in notes:
            kept = told.start(1) <= note.start < told.end(1)
            if kept and note.name not in old & new:
                yield Finding(note.start, note.end, f"The words keep {note.said}, which is not in both chords.")
            if not told.start(2) <= note.start < told.end(2):
                continue
            arrives = reading.text.endswith(" to ", 0, note.start)
            if note.name not in (new if arrives else old):
                which = "this chord" if arrives else "the chord before"
                yield Finding(note.start, note.end, f"The words move {note.said}, which is not in {which}.")


def _counts(
    reading: ScriptReading,
    mentions: Sequence[ChordMention],
    aligned: dict[int, int],
    chords: Sequence[Chord],
    facts: PartFacts,
) -> Iterator[Finding]:
    for told in _CHORDS_EACH.finditer(reading.text):
        length = next((one for one in reading.lengths if one.start == told.end()), None)
        first = next((place for place, mention in enumerate(mentions) if mention.start > told.end()), None)
        if length is None or first is None or first not in aligned:
            continue
        begin = aligned[first]
        following = next((one.start for one in reading.lengths if one.start > length.start), len(reading.text))
        own = reading.text[:following].rstrip().endswith(("for", "about"))
        start, _ = reading.sentence(following) if own else (following, 0)
        spoken = sum(1 for mention in mentions[first:] if mention.start < start)
        count = count_of(told[1])
        equal = 0
        while begin + equal < len(chords) and facts.fits(length, chords[begin + equal].duration):
            equal += 1
        if not equal:
            right = facts.length_words(chords[begin].duration)
            sentence = f"The words hold each chord for {length.said}, but part {facts.number} for {right}."
            yield Finding(length.start, length.end, sentence)
        elif count is not None and (count > equal or count != spoken):
            right = number_word(min(equal, spoken) or equal)
            sentence = f"The words say “{told[1]} chords”, but {right} of them are that long in part {facts.number}."
            yield Finding(told.start(1), told.end(1), sentence)
    for told in _CHORDS_IN_ALL.finditer(reading.text):
        named = len({chord.symbol for chord in chords})
        if count_of(told[1]) not in (len(chords), named):
            sentence = f"The words say “{told[1]} chords”, but part {facts.number} has {number_word(len(chords))}."
            yield Finding(told.start(1), told.end(), sentence)


def _waits(
    reading: ScriptReading,
    mentions: Sequence[ChordMention],
    aligned: dict[int, int],
    chords: Sequence[Chord],
    facts: PartFacts,
) -> Iterator[Finding]:
    every = facts.part.chords
    rests = [chord.duration for chord in every if chord.symbol.is_silent]
    gaps = {id(chord): chord.onset - (every[place - 1].end if place else 0) for place, chord in enumerate(every)}
    for length in reading.lengths:
        ahead = reading.text[: length.start]
        waits = re.search(rf"{_WAIT.pattern}$", ahead)
        if waits is None:
            if re.search(rf"{_RESTS.pattern}$", ahead) and not facts.fits(length, *rests):
                yield Finding(length.start, length.end, f"The left hand rests nowhere for {length.said}.")
            continue
        after = next((place for place, mention in enumerate(mentions) if mention.start > length.end), None)
        index = None if after is None else aligned.get(after)
        if index is None or facts.fits(length, gaps[id(chords[index])], *rests, *gaps.values()):
            continue
        sentence = f"The words wait {length.said}, but in part {facts.number} there is no such wait."
        yield Finding(length.start, length.end, sentence)
