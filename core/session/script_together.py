"""Words for both hands read against the landings: which note each chord lands with, or how it lands alone."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from typing import Final

from core.session.script_chords import align_chords, one_chord_name_each
from core.session.script_facts import ORDINAL, Finding, PartFacts, ordinal_of, sounds_like
from core.session.script_reading import NUMBER, LengthMention, NoteMention, ScriptReading, count_of
from core.song.metre import bar_at
from core.song.note import Note
from core.teaching.landings import Landing, landings
from core.teaching.number_words import ordinal_word

_STILL_DOWN: Final = re.compile(r"^ is still down from part (\d+)")
_ALONE: Final = re.compile(r"\b(?:alone|by itself|on its own)\b")
_MET: Final = re.compile(r"\b(?:with|on|under|at|meets)\b[^,]*$")
_BEHIND: Final = re.compile(
    rf"^ (?P<exactly>on|just after) (?:beat|count) (?P<beat>{NUMBER}) of bar (?P<bar>\d+)", re.IGNORECASE
)
_AHEAD: Final = re.compile(rf"\b(?P<which>{ORDINAL}|last|only) $")

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
    of_part = f"which lands in part {facts.number}"
    if held and not any(_STILL_DOWN.match(reading.text[mention.end :]) for mention in mentions):
        chords = chords[1:]
        held = False
    aligned, compared = align_chords(reading.text, mentions, chords, facts, of_part)
    found += compared
    for place, mention in enumerate(mentions):
        index = aligned.get(place)
        if index is None:
            continue
        down = _STILL_DOWN.match(reading.text[mention.end :])
        if held and not index:
            if down and int(down[1]) != facts.number - 1:
                sentence = f"The chord is held from part {facts.number - 1}, not from part {down[1]}."
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
    alone = _ALONE.search(text, start, end)
    if landing.note is None:
        if alone is None:
            met = next((note for note in notes if _MET.search(text[start : note.start])), None)
            if met is not None:
                sentence = f"The words let {name} land with {met.said}, but it lands alone."
                yield Finding(met.start, met.end, sentence)
            return
        yield from _around(reading, notes, landing, facts)
        return
    note = facts.part.notes[landing.note]
    right = f"it lands with the {_told(note, landing, facts)}"
    if alone is not None:
        yield Finding(alone.start(), alone.end(), f"The words let {name} land alone, but {right}.")
        return
    met = next((one for one in notes if _MET.search(text[start : one.start])), None)
    if met is None:
        return
    if met.name != note.pitch.name:
        if sounds_like(met.name, note.pitch.name):
            sentence = f"The words say {met.said} for the key that part {facts.number} calls {_name(note, facts)}."
        else:
            sentence = f"The words let {name} land with {met.said}, but {right}."
        yield Finding(met.start, met.end, sentence)
    elif not _is_told(text, met, note, facts):
        yield Finding(met.start, met.end, f"The words let {name} land with another {met.said}; {right}.")


def _name(note: Note, facts: PartFacts) -> str:
    return facts.names.said(note.pitch.name)


def _told(note: Note, landing: Landing, facts: PartFacts) -> str:
    if landing.of == 1:
        return _name(note, facts)
    which = "last" if landing.nth == landing.of else ordinal_word(landing.nth or 1)
    return f"{which} {_name(note, facts)}"


def _is_told(text: str, mention: NoteMention, note: Note, facts: PartFacts) -> bool:
    """Whether the words around a note's name fit this very note; those that do not tell it from others always do."""
    if mention.name != note.pitch.name:
        return False
    ahead = _AHEAD.search(text[max(0, mention.start - _NEAR) : mention.start])
    behind = _BEHIND.match(text[mention.end : mention.end + _NEAR])
    nth, of = facts.numbered[id(note)]
    if ahead and ahead["which"] in ("last", "only"):
        return nth == of
    if ahead:
        return nth == ordinal_of(ahead["which"])
    if behind:
        start = facts.song.part_onsets[facts.number - 1] + note.onset
        bar = bar_at(facts.song.bars, start)
        whole, rest = divmod(start - bar.onset, facts.counting.ticks)
        told = (count_of(behind["beat"]), int(behind["bar"]), behind["exactly"].lower() == "just after")
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
        if "hold" in lead or " into " in lead or " after the " in lead:
            near = before[-1] if before else None
        elif " before " in lead or "comes" in lead:
            near = after[0] if after else None
        else:
            continue
        if near is None or not _is_told(text, mention, near, facts):
            right = _name(near, facts) if near is not None else "no note"
            if near is not None and near.pitch.name == mention.name:
                right = f"another {right}"
            yield Finding(mention.start, mention.end, f"The words name {mention.said} there, but it is {right}.")
            continue
        length = _length_before(reading, clause, mention.start)
        if length is not None and not facts.fits(length, abs(near.onset - landing.onset)):
            right = facts.length_words(abs(near.onset - landing.onset))
            yield Finding(length.start, length.end, f"The words say {length.said}, but it is {right}.")


def _length_before(reading: ScriptReading, start: int, end: int) -> LengthMention | None:
    return next((length for length in reading.lengths if start <= length.start < end), None)
