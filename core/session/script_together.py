"""Words for both hands read against the landings: which note each chord lands with, or how it lands alone."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from typing import Final

from core.session.script_chords import align_chords, one_chord_name_each
from core.session.script_facts import Finding, PartFacts, sounds_like
from core.session.script_patterns import (
    ALONE,
    BEAT_BEHIND,
    MET,
    ON_THE_BEAT,
    ORDINAL_AHEAD,
    STILL_DOWN,
    ordinal_of,
    tells_of_coming,
    tells_of_held,
)
from core.session.script_reading import LengthMention, NoteMention, ScriptReading, count_of
from core.song.metre import bar_at
from core.song.note import Note
from core.song.wording import say, to_say
from core.teaching.landings import Landing, landings
from core.teaching.number_words import ordinal_word

_NEAR: Final = 60
"""Letters before and behind a name that tell which note of that name is meant."""


def read_together(facts: PartFacts, reading: ScriptReading) -> list[Finding]:
    """What in the words for both hands is not so."""
    part = facts.part
    landed = landings(part)
    chords = [part.chords[landing.chord] for landing in landed]
    first = part.chords[0] if part.chords else None
    held = first is not None and first.continued and not first.symbol.is_silent
    if first is not None and held:
        chords.insert(0, first)
    mentions, found = one_chord_name_each(reading, chords, facts)
    if held and not any(STILL_DOWN.match(reading.text[mention.end :]) for mention in mentions):
        chords = chords[1:]
        held = False
    left_out = to_say("The words leave out {chord}, which lands in part {part}.")
    aligned, compared = align_chords(reading.text, mentions, chords, facts, left_out)
    found += compared
    for place, mention in enumerate(mentions):
        index = aligned.get(place)
        if index is None:
            continue
        down = STILL_DOWN.match(reading.text[mention.end :])
        if held and not index:
            if down and int(down[1]) != facts.number - 1:
                sentence = say(
                    "The chord is held from part {part}, not from part {told}.", part=facts.number - 1, told=down[1]
                )
                found.append(Finding(mention.end + down.start(1), mention.end + down.end(1), sentence))
            continue
        behind = mentions[place + 1].start if place + 1 < len(mentions) else len(reading.text)
        found += _landing(reading, mention.end, behind, landed[index - held], facts)
    return found


def _landing(reading: ScriptReading, start: int, end: int, landing: Landing, facts: PartFacts) -> Iterator[Finding]:
    """What is said between one chord and the next about how the first of them lands."""
    text = reading.text
    notes = [note for note in reading.notes if start <= note.start < end]
    name = facts.names.chord_said(facts.part.chords[landing.chord].symbol)
    alone = ALONE.search(text, start, end)
    if landing.note is None:
        if alone is None:
            met = next((note for note in notes if MET.search(text[start : note.start])), None)
            if met is not None:
                sentence = say("The words let {chord} land with {note}, but it lands alone.", chord=name, note=met.said)
                yield Finding(met.start, met.end, sentence)
            return
        yield from _around(reading, notes, landing, facts)
        return
    note = facts.part.notes[landing.note]
    right = _told(note, landing, facts)
    if alone is not None:
        sentence = say("The words let {chord} land alone, but it lands with the {right}.", chord=name, right=right)
        yield Finding(alone.start(), alone.end(), sentence)
        return
    met = next((one for one in notes if MET.search(text[start : one.start])), None)
    if met is None:
        return
    if met.name != note.pitch.name:
        if sounds_like(met.name, note.pitch.name):
            sentence = say(
                "The words say {note} for the key that part {part} calls {other}.",
                note=met.said,
                part=facts.number,
                other=_name(note, facts),
            )
        else:
            sentence = say(
                "The words let {chord} land with {note}, but it lands with the {right}.",
                chord=name,
                note=met.said,
                right=right,
            )
        yield Finding(met.start, met.end, sentence)
    elif not _is_told(text, met, note, facts):
        sentence = say(
            "The words let {chord} land with another {note}; it lands with the {right}.",
            chord=name,
            note=met.said,
            right=right,
        )
        yield Finding(met.start, met.end, sentence)


def _name(note: Note, facts: PartFacts) -> str:
    return facts.names.said(note.pitch.name)


def _told(note: Note, landing: Landing, facts: PartFacts) -> str:
    if landing.of == 1:
        return _name(note, facts)
    if landing.nth == landing.of:
        return say("last {note}", note=_name(note, facts))
    return say("{ordinal} {note}", ordinal=ordinal_word(landing.nth or 1), note=_name(note, facts))


def _is_told(text: str, mention: NoteMention, note: Note, facts: PartFacts) -> bool:
    """Whether the words around a note's name fit this very note; those that do not tell it from others always do."""
    if mention.name != note.pitch.name:
        return False
    ahead = ORDINAL_AHEAD.search(text[max(0, mention.start - _NEAR) : mention.start])
    behind = BEAT_BEHIND.match(text[mention.end : mention.end + _NEAR])
    nth, of = facts.numbered[id(note)]
    if ahead and ahead["which"] in ("last", "only"):
        return nth == of
    if ahead:
        return nth == ordinal_of(ahead["which"])
    if behind:
        start = facts.song.part_onsets[facts.number - 1] + note.onset
        bar = bar_at(facts.song.bars, start)
        whole, rest = divmod(start - bar.onset, facts.counting.ticks)
        told = (count_of(behind["beat"]), int(behind["bar"]), behind["exactly"].lower() != ON_THE_BEAT)
        return told == (whole + 1, bar.number, bool(rest))
    return True


def _around(
    reading: ScriptReading, notes: Sequence[NoteMention], landing: Landing, facts: PartFacts
) -> Iterator[Finding]:
    """The notes that a chord is said to land alone beside: the one held, the one that follows, and how far they are."""
    sounding = [note for note in facts.melody if not note.is_grace]
    onsets = [note.onset for note in sounding]
    before = sounding[: bisect_left(onsets, landing.onset)][-1:]
    after = sounding[bisect_right(onsets, landing.onset) :][:1]
    text = reading.text
    for mention in notes:
        start, _ = reading.sentence(mention.start)
        clause = max(start, text.rfind(",", start, mention.start))
        lead = text[clause : mention.start]
        if tells_of_held(lead):
            near = before[-1] if before else None
        elif tells_of_coming(lead):
            near = after[0] if after else None
        else:
            continue
        if near is None or not _is_told(text, mention, near, facts):
            if near is None:
                right = say("no note")
            elif near.pitch.name == mention.name:
                right = say("another {note}", note=_name(near, facts))
            else:
                right = _name(near, facts)
            sentence = say("The words name {note} there, but it is {right}.", note=mention.said, right=right)
            yield Finding(mention.start, mention.end, sentence)
            continue
        length = _length_before(reading, clause, mention.start)
        if length is not None and not facts.fits(length, abs(near.onset - landing.onset)):
            right = facts.length_words(abs(near.onset - landing.onset))
            sentence = say("The words say {told}, but it is {length}.", told=length.said, length=right)
            yield Finding(length.start, length.end, sentence)


def _length_before(reading: ScriptReading, start: int, end: int) -> LengthMention | None:
    return next((length for length in reading.lengths if start <= length.start < end), None)
