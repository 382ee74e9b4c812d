"""Words for the right hand read against the melody: names in order, counts, lengths, waits, directions, places.

The names are laid beside the melody's own as an editor compares two texts (the longest runs in common first).
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from itertools import groupby, pairwise
from typing import Final

from msgspec.structs import replace

from core.session.script_facts import ENOUGH_NAMED, Finding, PartFacts, sounds_like
from core.session.script_patterns import (
    BACK,
    DEGREE_AHEAD,
    LENGTH_FOLLOWS,
    MOST_NOTES,
    MOVED,
    NOTES_IN_ALL,
    NOTES_LISTED,
    SAME_LISTED,
    TOLD_TIMES,
    TURNS,
    WAIT,
    interval_of,
    without_place,
)
from core.session.script_reading import TIMES, NoteMention, ScriptReading, count_of
from core.song.note import Note
from core.song.pitch import NoteName
from core.song.wording import say, say_counted, to_say
from core.teaching.melodic_moves import Move, moves
from core.teaching.number_words import number_word, times_word
from core.teaching.spoken_intervals import SpokenInterval

_NOT_THERE: Final = {
    (False, False): to_say("The words name {note}, but the right hand of part {part} has no {note}."),
    (False, True): to_say(
        "The words name {note}, but the right hand of part {part} has no {note}; there it plays {instead}."
    ),
    (True, False): to_say("The words name {note}, but the right hand of part {part} plays no {note} at this point."),
    (True, True): to_say(
        "The words name {note}, but the right hand of part {part} plays no {note} at this point; "
        "there it plays {instead}."
    ),
}
"""A note that is named in vain: whether the part has it elsewhere, and whether other notes stand there."""


def read_right_hand(facts: PartFacts, reading: ScriptReading) -> list[Finding]:
    """What in the words for the right hand is not so."""
    wanted = [note.pitch.name for note in facts.melody]
    mentions, found = _spread_out(reading, wanted, facts)
    mentions, again = _one_name_each(mentions, wanted, facts)
    aligned = _aligned(mentions, wanted)
    found += again
    found += _compared(mentions, wanted, facts)
    found += _counts(reading, facts, wanted)
    found += _lengths(reading, mentions, aligned, facts)
    found += _usual_and_turns(reading, mentions, aligned, facts)
    found += _waits(reading, mentions, aligned, facts)
    found += _ways(reading.text, mentions, aligned, facts)
    found += _places(reading.text, mentions, aligned, facts)
    return found


def _spread_out(
    reading: ScriptReading, wanted: Sequence[NoteName], facts: PartFacts
) -> tuple[list[NoteMention], list[Finding]]:
    """The mentions with 'G three times' as three of them; as many as are played there, where the words miscount."""
    runs = Counter((name, len(list(notes))) for name, notes in groupby(wanted))
    mentions: list[NoteMention] = []
    found: list[Finding] = []
    for mention in reading.notes:
        told = TOLD_TIMES.match(reading.text, mention.end)
        times = (TIMES.get(told[1].lower()) or count_of(told[1].split()[0]) or 1) if told else 1
        if told and not runs[mention.name, times]:
            lengths = [length for name, length in runs if name == mention.name]
            if lengths:
                right = min(lengths, key=lambda length: abs(length - times))
                sentence = say(
                    "The words say “{told}”, but the right hand of part {part} plays {note} {times} there.",
                    told=told[1],
                    part=facts.number,
                    note=mention.said,
                    times=times_word(right),
                )
                found.append(Finding(told.start(1), told.end(1), sentence))
                times = right
        mentions += [mention] * times
    return mentions, found


def _one_name_each(
    mentions: Sequence[NoteMention], wanted: Sequence[NoteName], facts: PartFacts
) -> tuple[list[NoteMention], list[Finding]]:
    """The mentions by the part's own names; a second name for one of its keys is a finding."""
    own = dict.fromkeys(wanted)
    found: list[Finding] = []
    named: list[NoteMention] = []
    for mention in mentions:
        other = next((name for name in own if sounds_like(name, mention.name)), None)
        if mention.name in own or other is None:
            named.append(mention)
            continue
        right = facts.names.said(other)
        sentence = say(
            "The words say {note} for the key that part {part} calls {other}; keep to one name.",
            note=mention.said,
            part=facts.number,
            other=right,
        )
        found.append(Finding(mention.start, mention.end, sentence))
        named.append(replace(mention, name=other))
    return named, found


def _aligned(mentions: Sequence[NoteMention], wanted: Sequence[NoteName]) -> dict[int, int]:
    """Which melody note each mention names, both by place."""
    said = [mention.name for mention in mentions]
    blocks = SequenceMatcher(None, said, wanted, autojunk=False).get_matching_blocks()
    return {first + step: begin + step for first, begin, size in blocks for step in range(size)}


def _compared(mentions: Sequence[NoteMention], wanted: Sequence[NoteName], facts: PartFacts) -> list[Finding]:
    """Notes named against notes played, in order."""
    called = [facts.names.said(name) for name in wanted]
    said = [mention.name for mention in mentions]
    found: list[Finding] = []
    all_named = len(said) >= ENOUGH_NAMED * len(wanted)
    for tag, first, last, begin, end in SequenceMatcher(None, said, wanted, autojunk=False).get_opcodes():
        if tag == "equal":
            continue
        for mention in mentions[first:last]:
            if mention.name in wanted and not all_named:
                continue
            instead = called[begin:end] if tag == "replace" and all_named else ()
            sentence = say(
                _NOT_THERE[mention.name in wanted, bool(instead)],
                note=mention.said,
                part=facts.number,
                instead=", ".join(instead),
            )
            found.append(Finding(mention.start, mention.end, sentence))
        left = begin + (last - first) if tag == "replace" else begin
        if tag != "delete" and left < end and all_named and (tag == "insert" or not found):
            place = mentions[first].start if first < len(mentions) else mentions[-1].end
            sentence = say(
                "The words leave out {notes}, which the right hand of part {part} plays here.",
                notes=", ".join(called[left:end]),
                part=facts.number,
            )
            found.append(Finding(place, place, sentence))
    return found


def _counts(reading: ScriptReading, facts: PartFacts, wanted: Sequence[NoteName]) -> Iterator[Finding]:
    """Notes that are counted otherwise than they are listed, or than the part has them."""
    for told in SAME_LISTED.finditer(reading.text):
        listed = sum(1 for note in reading.notes if told.start(2) <= note.start < told.end(2))
        counted = {word.removesuffix(" times"): count for word, count in TIMES.items()}
        if counted.get(told[1], listed) != listed:
            yield Finding(told.start(1), told.end(1), _so_many_follow(told[1], listed))
    for told in NOTES_LISTED.finditer(reading.text):
        _, end = reading.sentence(told.end())
        listed = sum(1 for note in reading.notes if told.end() <= note.start < end)
        if listed and count_of(told[1]) != listed:
            yield Finding(told.start(), told.end() - 1, _so_many_follow(told[0].removesuffix(":"), listed))
    sounding = sum(1 for note in facts.melody if not note.is_grace)
    for told in NOTES_IN_ALL.finditer(reading.text):
        if not reading.text[told.end() :].startswith(":") and count_of(told[1]) not in (
            sounding,
            len(wanted),
            len(set(wanted)),
        ):
            sentence = say_counted(
                "The words say “{told} notes”, but part {part} has {number}.",
                "The words say “{told} notes”, but part {part} has {number}.",
                sounding,
                told=told[1],
                part=facts.number,
                number=number_word(sounding),
            )
            yield Finding(told.start(1), told.end(), sentence)


def _so_many_follow(told: str, listed: int) -> str:
    return say_counted(
        "The words say “{told}”, but {number} follow.",
        "The words say “{told}”, but {number} follow.",
        listed,
        told=told,
        number=number_word(listed),
    )


def _lengths(
    reading: ScriptReading, mentions: Sequence[NoteMention], aligned: dict[int, int], facts: PartFacts
) -> Iterator[Finding]:
    """Lengths said behind a note, or behind several with 'each'."""
    for length in reading.lengths:
        last = bisect_right(mentions, length.start, key=lambda mention: mention.end) - 1
        if last < 0:
            continue
        names = facts.names.places
        behind = without_place(
            reading.text[mentions[last].end : length.start], names.middle_c, degrees=names is not facts.names
        )
        if behind == " " or not LENGTH_FOLLOWS.match(behind):
            continue
        first = last
        if re.search(r"\b(?:each|all|both)\b", behind):
            start = max(reading.text.rfind(mark, 0, mentions[last].start) for mark in (".", ";", ":"))
            first = bisect_right(mentions, start, key=lambda mention: mention.start)
        for place in range(first, last + 1):
            note = aligned.get(place)
            rhythm = None if note is None else facts.rhythm[note]
            if note is None or rhythm is None or facts.fits(length, rhythm.held, facts.melody[note].duration):
                continue
            sentence = say(
                "The words hold {note} for {told}, but part {part} for {length}.",
                note=mentions[place].said,
                told=length.said,
                part=facts.number,
                length=facts.length_words(rhythm.held),
            )
            yield Finding(length.start, length.end, sentence)
            break


def _usual_and_turns(
    reading: ScriptReading, mentions: Sequence[NoteMention], aligned: dict[int, int], facts: PartFacts
) -> Iterator[Finding]:
    """The length that most notes are said to have, and two lengths that are said to take turns."""
    held = [rhythm.held for rhythm in facts.rhythm if rhythm is not None]
    for told in MOST_NOTES.finditer(reading.text):
        length = next((one for one in reading.lengths if one.start == told.end()), None)
        if length is not None and sum(facts.fits(length, one) for one in held) * 2 <= len(held):
            most = facts.length_words(Counter(held).most_common(1)[0][0])
            sentence = say(
                "The words say that most notes last {told}, but in part {part} they last {length}.",
                told=length.said,
                part=facts.number,
                length=most,
            )
            yield Finding(length.start, length.end, sentence)
    for told in TURNS.finditer(reading.text):
        pair = [one for one in reading.lengths if one.start >= told.end()][:2]
        begin = next((aligned[p] for p, m in enumerate(mentions) if m.start > told.end() and p in aligned), None)
        if len(pair) < 2 or begin is None:
            continue
        sounding = [(note, rhythm.held) for note, rhythm in enumerate(facts.rhythm) if rhythm is not None]
        after = [length for note, length in sounding if note >= begin]
        count = 0
        while count < len(after) and facts.fits(pair[count % 2], after[count]):
            count += 1
        if count - count % 2 != count_of(told[1]):
            sentence = say_counted(
                "The words say that {told} notes take turns like this, but in part {part} {number} do.",
                "The words say that {told} notes take turns like this, but in part {part} {number} do.",
                count - count % 2,
                told=told[1],
                part=facts.number,
                number=number_word(count - count % 2),
            )
            yield Finding(told.start(1), told.end(1), sentence)


def _waits(
    reading: ScriptReading, mentions: Sequence[NoteMention], aligned: dict[int, int], facts: PartFacts
) -> Iterator[Finding]:
    for told in WAIT.finditer(reading.text):
        length = next((one for one in reading.lengths if one.start == told.end()), None)
        after = next((place for place, mention in enumerate(mentions) if mention.start > told.end()), None)
        note = None if after is None else aligned.get(after)
        if length is None or note is None:
            continue
        while facts.rhythm[note] is None and note + 1 < len(facts.melody):
            note += 1
        rhythm = facts.rhythm[note]
        gap = rhythm.wait if rhythm is not None else 0
        if facts.fits(length, gap, _written_gap(facts.melody, note)):
            continue
        note_said = mentions[after or 0].said
        if gap:
            sentence = say(
                "The words wait {told} before the {note}, but in part {part} the wait is {length}.",
                told=length.said,
                note=note_said,
                part=facts.number,
                length=facts.length_words(gap),
            )
        else:
            sentence = say(
                "The words wait {told} before the {note}, but in part {part} there is nothing to wait for.",
                told=length.said,
                note=note_said,
                part=facts.number,
            )
        yield Finding(length.start, length.end, sentence)


def _written_gap(melody: Sequence[Note], note: int) -> int:
    return max(0, melody[note].onset - (melody[note - 1].end if note else 0))


def _places(text: str, mentions: Sequence[NoteMention], aligned: dict[int, int], facts: PartFacts) -> Iterator[Finding]:
    """Places on the keyboard: of the note that is named in them, or, where degrees are said, just before them."""
    for told in facts.places(text):
        for place, mention in enumerate(mentions):
            named = told.start() <= mention.start < told.end() or text[mention.end : told.start()] == DEGREE_AHEAD
            if named and place in aligned:
                wrong = facts.place_finding(told, facts.melody[aligned[place]].pitch)
                if wrong is not None:
                    yield wrong
                break


def _ways(text: str, mentions: Sequence[NoteMention], aligned: dict[int, int], facts: PartFacts) -> Iterator[Finding]:
    """Directions and intervals from one note to the next."""
    sounding = [note for note in facts.melody if not note.is_grace]
    reached = {id(note): move for note, move in zip(sounding, moves(sounding), strict=True)}
    for (before, mention), place in zip(pairwise(mentions), range(1, len(mentions)), strict=True):
        note = aligned.get(place)
        if note is None or aligned.get(place - 1) != note - 1 or before is mention:
            continue
        move = reached.get(id(facts.melody[note]))
        between = text[before.end : mention.start]
        told = MOVED.search(between)
        back = told or BACK.search(between)
        far = interval_of(told["far"]) if told else None
        if move is None or back is None or (told and far is None):
            continue
        way = {"up": 1, "down": -1}[back["way"].lower()]
        if way == move.direction and (far is None or _as_far(far, move)):
            continue
        interval = told["far"].lower() if told else _interval_said(move)
        yield Finding(before.end + back.start(), before.end + back.end(), _wrong_way(way, interval, mention.said, move))


def _as_far(far: SpokenInterval, move: Move) -> bool:
    """Whether a note is as far away as the words say; a step and a half step are both steps to them."""
    return move.interval is not None and (far == move.interval or (far.is_step and move.interval.is_step))


def _wrong_way(way: int, interval: str, note: str, move: Move) -> str:
    """What is said of a note that the words reach in another way than the melody does."""
    right = _way_said(move)
    if not interval:
        if way > 0:
            return say("The words go up to {note}, but it is {way}.", note=note, way=right)
        return say("The words go down to {note}, but it is {way}.", note=note, way=right)
    if way > 0:
        return say("The words go up {interval} to {note}, but it is {way}.", interval=interval, note=note, way=right)
    return say("The words go down {interval} to {note}, but it is {way}.", interval=interval, note=note, way=right)


def _way_said(move: Move) -> str:
    if not move.direction:
        return say("the same key")
    if move.direction > 0:
        return say("up {interval}", interval=_interval_said(move))
    return say("down {interval}", interval=_interval_said(move))


def _interval_said(move: Move) -> str:
    return "" if move.interval is None else move.interval.said
