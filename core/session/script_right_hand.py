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
from core.session.script_reading import NUMBER, TIMES, NoteMention, ScriptReading, count_of
from core.song.note import Note
from core.song.pitch import NoteName
from core.teaching.melodic_moves import SAME, moves
from core.teaching.number_words import number_word, times_word

_LISTED: Final = re.compile(r"[Tt]he same (\w+)(?: times)? more: ([^.;:]*)")
_TOLD_TIMES: Final = re.compile(rf",? (once|twice|{NUMBER} times)\b(?! more)")
_NOTES_LISTED: Final = re.compile(rf"\b({NUMBER}) notes?:", re.IGNORECASE)
_NOTES_IN_ALL: Final = re.compile(rf"\b(?:has|have|are|is|of|all) (?:only |just )?({NUMBER}) notes?\b", re.IGNORECASE)
_TURNS: Final = re.compile(rf"\bThe (?:first|next) ({NUMBER}) notes go (?:long, short|short, long): ")
_MOST: Final = re.compile(r"\b(?:Most|All) notes here last ")
_WAIT: Final = re.compile(r"\b[Ww]ait (?:for )?")
_LENGTH_FOLLOWS: Final = re.compile(
    r"^,?(?: again)?,?(?: and)?(?: (?:each|all|both))?(?: (?:hold (?:it|on)|held|lasting|which lasts|it lasts|lasts))?"
    r"(?: each)?(?: for)? $"
)
_MOVED: Final = re.compile(
    rf"\b(?P<way>up|down) (?P<far>a half step|an? \w+|{NUMBER} (?:octaves|half steps)) to "
    r"(?:the |quick grace notes? |a quick grace note )?$",
    re.IGNORECASE,
)
_BACK: Final = re.compile(r"\bback (?P<way>up|down) to $", re.IGNORECASE)
_INTERVALS: Final = re.compile(
    r"a half step|a step|a (?:second|third|fourth|fifth|sixth|seventh|ninth|tenth|twelfth)|an (?:octave|eleventh)"
    r"|\w+ (?:octaves|half steps)"
)
_STEPS: Final = frozenset({"a half step", "a step", "a second"})


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
        told = _TOLD_TIMES.match(reading.text, mention.end)
        times = (TIMES.get(told[1].lower()) or count_of(told[1].split()[0]) or 1) if told else 1
        if told and not runs[mention.name, times]:
            lengths = [length for name, length in runs if name == mention.name]
            if lengths:
                right = min(lengths, key=lambda length: abs(length - times))
                what = f"plays {mention.said} {times_word(right)} there"
                sentence = f"The words say “{told[1]}”, but the right hand of part {facts.number} {what}."
                found.append(Finding(told.start(1), told.end(1), sentence))
                times = right
        mentions += [mention] * times
    return mentions, found


def _one_name_each(
    mentions: Sequence[NoteMention], wanted: Sequence[NoteName], facts: PartFacts
) -> tuple[list[NoteMention], list[Finding]]:
    """The mentions by the part's own names; a second name for one of its keys is a finding."""
    own = set(wanted)
    found: list[Finding] = []
    named: list[NoteMention] = []
    for mention in mentions:
        other = next((name for name in own if sounds_like(name, mention.name)), None)
        if mention.name in own or other is None:
            named.append(mention)
            continue
        right = facts.names.said(other)
        sentence = f"The words say {mention.said} for the key that part {facts.number} calls {right}; keep to one name."
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
    where = f"the right hand of part {facts.number}"
    called = [facts.names.said(name) for name in wanted]
    said = [mention.name for mention in mentions]
    found: list[Finding] = []
    all_named = len(said) >= ENOUGH_NAMED * len(wanted)
    for tag, first, last, begin, end in SequenceMatcher(None, said, wanted, autojunk=False).get_opcodes():
        if tag == "equal":
            continue
        for mention in mentions[first:last]:
            instead = f"; there it plays {', '.join(called[begin:end])}" if tag == "replace" and all_named else ""
            what = f"has no {mention.said}" if mention.name not in wanted else f"plays no {mention.said} at this point"
            if mention.name in wanted and not all_named:
                continue
            sentence = f"The words name {mention.said}, but {where} {what}{instead}."
            found.append(Finding(mention.start, mention.end, sentence))
        left = begin + (last - first) if tag == "replace" else begin
        if tag != "delete" and left < end and all_named and (tag == "insert" or not found):
            place = mentions[first].start if first < len(mentions) else mentions[-1].end
            sentence = f"The words leave out {', '.join(called[left:end])}, which {where} plays here."
            found.append(Finding(place, place, sentence))
    return found


def _counts(reading: ScriptReading, facts: PartFacts, wanted: Sequence[NoteName]) -> Iterator[Finding]:
    """Notes that are counted otherwise than they are listed, or than the part has them."""
    for told in _LISTED.finditer(reading.text):
        listed = sum(1 for note in reading.notes if told.start(2) <= note.start < told.end(2))
        counted = {word.removesuffix(" times"): count for word, count in TIMES.items()}
        if counted.get(told[1], listed) != listed:
            sentence = f"The words say “{told[1]}”, but {number_word(listed)} follow."
            yield Finding(told.start(1), told.end(1), sentence)
    for told in _NOTES_LISTED.finditer(reading.text):
        _, end = reading.sentence(told.end())
        listed = sum(1 for note in reading.notes if told.end() <= note.start < end)
        if listed and count_of(told[1]) != listed:
            sentence = f"The words say “{told[0].removesuffix(':')}”, but {number_word(listed)} follow."
            yield Finding(told.start(), told.end() - 1, sentence)
    sounding = sum(1 for note in facts.melody if not note.is_grace)
    for told in _NOTES_IN_ALL.finditer(reading.text):
        if not reading.text[told.end() :].startswith(":") and count_of(told[1]) not in (
            sounding,
            len(wanted),
            len(set(wanted)),
        ):
            sentence = f"The words say “{told[1]} notes”, but part {facts.number} has {number_word(sounding)}."
            yield Finding(told.start(1), told.end(), sentence)


def _lengths(
    reading: ScriptReading, mentions: Sequence[NoteMention], aligned: dict[int, int], facts: PartFacts
) -> Iterator[Finding]:
    """Lengths said behind a note, or behind several with 'each'."""
    for length in reading.lengths:
        last = bisect_right(mentions, length.start, key=lambda mention: mention.end) - 1
        if last < 0:
            continue
        behind = _behind_place(facts, reading.text[mentions[last].end : length.start])
        if behind == " " or not _LENGTH_FOLLOWS.match(behind):
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
            right = facts.length_words(rhythm.held)
            sentence = f"The words hold {mentions[place].said} for {length.said}, but part {facts.number} for {right}."
            yield Finding(length.start, length.end, sentence)
            break


def _behind_place(facts: PartFacts, text: str) -> str:
    """What stands between a note and a length, without the note's place on the keyboard."""
    middle = re.escape(facts.names.places.middle_c)
    note = re.escape(",") + r" the (?:\w+ )?[A-G](?: sharp| flat)*" if facts.names.places is not facts.names else ""
    return re.sub(rf"^(?:{note})?(?: (?:above|below) {middle}| in the middle of the keyboard)", "", text)


def _usual_and_turns(
    reading: ScriptReading, mentions: Sequence[NoteMention], aligned: dict[int, int], facts: PartFacts
) -> Iterator[Finding]:
    """The length that most notes are said to have, and two lengths that are said to take turns."""
    held = [rhythm.held for rhythm in facts.rhythm if rhythm is not None]
    for told in _MOST.finditer(reading.text):
        length = next((one for one in reading.lengths if one.start == told.end()), None)
        if length is not None and sum(facts.fits(length, one) for one in held) * 2 <= len(held):
            most = facts.length_words(Counter(held).most_common(1)[0][0])
            sentence = f"The words say that most notes last {length.said}, but in part {facts.number} they last {most}."
            yield Finding(length.start, length.end, sentence)
    for told in _TURNS.finditer(reading.text):
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
            many = number_word(count - count % 2)
            sentence = f"The words say that {told[1]} notes take turns like this, but in part {facts.number} {many} do."
            yield Finding(told.start(1), told.end(1), sentence)


def _waits(
    reading: ScriptReading, mentions: Sequence[NoteMention], aligned: dict[int, int], facts: PartFacts
) -> Iterator[Finding]:
    for told in _WAIT.finditer(reading.text):
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
        where = f"before the {mentions[after or 0].said}"
        right = f"the wait is {facts.length_words(gap)}" if gap else "there is nothing to wait for"
        sentence = f"The words wait {length.said} {where}, but in part {facts.number} {right}."
        yield Finding(length.start, length.end, sentence)


def _written_gap(melody: Sequence[Note], note: int) -> int:
    return max(0, melody[note].onset - (melody[note - 1].end if note else 0))


def _places(text: str, mentions: Sequence[NoteMention], aligned: dict[int, int], facts: PartFacts) -> Iterator[Finding]:
    """Places on the keyboard: of the note that is named in them, or, where degrees are said, just before them."""
    for told in facts.places(text):
        for place, mention in enumerate(mentions):
            named = told.start() <= mention.start < told.end() or text[mention.end : told.start()] == ", the "
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
        told = _MOVED.search(between)
        back = told or _BACK.search(between)
        if move is None or back is None or (told and not _INTERVALS.fullmatch(told["far"].lower())):
            continue
        way = {"up": 1, "down": -1}[back["way"].lower()]
        far = told["far"].lower() if told else move.interval
        right_way = {1: "up", -1: "down", 0: "the same key"}[move.direction]
        if way == move.direction and (
            far == move.interval or {far, move.interval} <= {"a step", "a second", "a half step"}
        ):
            continue
        right = right_way if move.kind == SAME else f"{right_way} {move.interval}"
        sentence = f"The words go {back['way'].lower()} {far} to {mention.said}, but it is {right}."
        yield Finding(before.end + back.start(), before.end + back.end(), sentence)
