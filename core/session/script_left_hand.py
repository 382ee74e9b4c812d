"""Words for the left hand read against the chords: names, tones, what is at the bottom, lengths, counts, changes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from core.session.script_chords import align_chords, one_chord_name_each, sounding_chords
from core.session.script_facts import Finding, PartFacts
from core.session.script_patterns import (
    AT_THE_BOTTOM,
    BETWEEN_TONES,
    CHORDS_EACH,
    CHORDS_IN_ALL,
    EVERY_FINGER,
    KEEP,
    LOWEST,
    RESTS,
    TONES_FOLLOW,
    WAIT,
)
from core.session.script_reading import ChordMention, NoteMention, ScriptReading, count_of
from core.song.chord import Chord
from core.song.wording import say, say_counted, to_say
from core.teaching.left_hand_voicings import Voicing, voicings
from core.teaching.number_words import number_word
from core.theory.chord_tones import chord_tones


def read_left_hand(facts: PartFacts, reading: ScriptReading) -> list[Finding]:
    """What in the words for the left hand is not so."""
    chords = sounding_chords(facts)
    placed = [
        voicing
        for chord, voicing in zip(facts.part.chords, voicings(facts.song, facts.number), strict=True)
        if not chord.symbol.is_silent
    ]
    mentions, found = one_chord_name_each(reading, chords, facts)
    left_out = to_say("The words leave out {chord}, a chord of part {part}.")
    aligned, compared = align_chords(reading.text, mentions, chords, facts, left_out)
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
    bottom = [note for note in notes if AT_THE_BOTTOM.match(reading.text[note.end :])]
    tones = {*chord_tones(chord.symbol), *(pitch.name for pitch in voicing)}
    called = facts.names.chord_said(chord.symbol)
    for note in bottom:
        if voicing and note.name != voicing[0].name:
            right = facts.names.said(voicing[0].name)
            sentence = say("The words put {note} at the bottom, but it is {lowest}.", note=note.said, lowest=right)
            yield Finding(note.start, note.end, sentence)
    listed: list[NoteMention] = []
    for note in notes:
        if note in bottom:
            continue
        between = reading.text[(listed[-1].end if listed else mention.end) : note.start]
        between = between if listed else re.sub(r"^.*?(?=: )", "", between)
        if not (BETWEEN_TONES if listed else TONES_FOLLOW).match(between):
            if listed:
                break
            continue
        listed.append(note)
    if len(listed) < 2:
        return
    said = [note.name for note in listed]
    for place, note in enumerate(listed):
        if note.name not in tones:
            sentence = say("The words spell {chord} with {note}, which is not in it.", chord=called, note=note.said)
            yield Finding(note.start, note.end, sentence)
        elif note.name in said[:place]:
            sentence = say("The words name {note} twice in {chord}.", note=note.said, chord=called)
            yield Finding(note.start, note.end, sentence)
    missing = [name for name in dict.fromkeys(pitch.name for pitch in voicing) if name not in said]
    if missing:
        left = ", ".join(map(facts.names.said, missing))
        sentence = say("The words leave {notes} out of {chord}.", notes=left, chord=called)
        yield Finding(listed[0].start, listed[-1].end, sentence)


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
        if voicing and start <= told.start() < end and LOWEST.search(reading.text[start : told.start()]):
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
            sentence = say(
                "The words hold {chord} for {told}, but part {part} holds it for {length}.",
                chord=facts.names.chord_said(chord.symbol),
                told=length.said,
                part=facts.number,
                length=facts.length_words(chord.duration),
            )
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
    for told in EVERY_FINGER.finditer(reading.text, mention.end, behind):
        step = 1 if told[1] == "up" else -1
        if [pitch.staff_step + step for pitch in before] != [pitch.staff_step for pitch in after]:
            if step > 0:
                sentence = say("Not every finger moves one step up to {chord}.", chord=mention.said)
            else:
                sentence = say("Not every finger moves one step down to {chord}.", chord=mention.said)
            yield Finding(told.start(), told.end(), sentence)
    for told in KEEP.finditer(reading.text, mention.end, behind):
        old, new = {pitch.name for pitch in before}, {pitch.name for pitch in after}
        for note in notes:
            kept = told.start(1) <= note.start < told.end(1)
            if kept and note.name not in old & new:
                sentence = say("The words keep {note}, which is not in both chords.", note=note.said)
                yield Finding(note.start, note.end, sentence)
            if not told.start(2) <= note.start < told.end(2):
                continue
            arrives = reading.text.endswith(" to ", 0, note.start)
            if note.name not in (new if arrives else old):
                if arrives:
                    sentence = say("The words move {note}, which is not in this chord.", note=note.said)
                else:
                    sentence = say("The words move {note}, which is not in the chord before.", note=note.said)
                yield Finding(note.start, note.end, sentence)


def _counts(
    reading: ScriptReading,
    mentions: Sequence[ChordMention],
    aligned: dict[int, int],
    chords: Sequence[Chord],
    facts: PartFacts,
) -> Iterator[Finding]:
    for told in CHORDS_EACH.finditer(reading.text):
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
            sentence = say(
                "The words hold each chord for {told}, but part {part} for {length}.",
                told=length.said,
                part=facts.number,
                length=facts.length_words(chords[begin].duration),
            )
            yield Finding(length.start, length.end, sentence)
        elif count is not None and (count > equal or count != spoken):
            right = min(equal, spoken) or equal
            sentence = say_counted(
                "The words say “{told} chords”, but {number} of them are that long in part {part}.",
                "The words say “{told} chords”, but {number} of them are that long in part {part}.",
                right,
                told=told[1],
                number=number_word(right),
                part=facts.number,
            )
            yield Finding(told.start(1), told.end(1), sentence)
    for told in CHORDS_IN_ALL.finditer(reading.text):
        named = len({chord.symbol for chord in chords})
        if count_of(told[1]) not in (len(chords), named):
            sentence = say_counted(
                "The words say “{told} chords”, but part {part} has {number}.",
                "The words say “{told} chords”, but part {part} has {number}.",
                len(chords),
                told=told[1],
                part=facts.number,
                number=number_word(len(chords)),
            )
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
        waits = re.search(rf"{WAIT.pattern}$", ahead)
        if waits is None:
            if re.search(rf"{RESTS.pattern}$", ahead) and not facts.fits(length, *rests):
                sentence = say("The left hand rests nowhere for {told}.", told=length.said)
                yield Finding(length.start, length.end, sentence)
            continue
        after = next((place for place, mention in enumerate(mentions) if mention.start > length.end), None)
        index = None if after is None else aligned.get(after)
        if index is None or facts.fits(length, gaps[id(chords[index])], *rests, *gaps.values()):
            continue
        sentence = say(
            "The words wait {told}, but in part {part} there is no such wait.", told=length.said, part=facts.number
        )
        yield Finding(length.start, length.end, sentence)
