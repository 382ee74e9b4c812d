"""Chords named in words laid beside the chords of a part."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher
from functools import lru_cache
from typing import Final

from msgspec.structs import replace

from core.session.script_facts import ENOUGH_NAMED, Finding, PartFacts, sounds_like
from core.session.script_patterns import CHORD_MOMENTS
from core.session.script_reading import ChordMention, ScriptReading, read_script
from core.song.chord import Chord, ChordSymbol
from core.song.pitch import NoteName
from core.song.wording import say, to_say
from core.teaching.naming import Names

ChordName = tuple[NoteName, str]
_NOT_THERE: Final = {
    (False, False): to_say("The words name {chord}, which part {part} does not have."),
    (False, True): to_say("The words name {chord}, which part {part} does not have; there it is {instead}."),
    (True, False): to_say("The words name {chord}, which part {part} does not have at this point."),
    (True, True): to_say(
        "The words name {chord}, which part {part} does not have at this point; there it is {instead}."
    ),
}
"""A chord that is named in vain: whether the part has it elsewhere, and whether another chord stands there."""


def sounding_chords(facts: PartFacts) -> list[Chord]:
    """The chords of a part, without rests."""
    return [chord for chord in facts.part.chords if not chord.symbol.is_silent]


def chord_names(facts: PartFacts, chords: Sequence[Chord]) -> list[ChordName]:
    """What chords are called, root and family apart, as a mention of them would be read."""
    return [_chord_name(facts.names, chord.symbol) for chord in chords]


@lru_cache(maxsize=4096)
def _chord_name(names: Names, symbol: ChordSymbol) -> ChordName:
    said = read_script(names.chord_said(symbol), names).chords
    return (said[0].root, said[0].family) if said else (symbol.root, "")


def one_chord_name_each(
    reading: ScriptReading, chords: Sequence[Chord], facts: PartFacts
) -> tuple[list[ChordMention], list[Finding]]:
    """The mentions by the part's own names; a second name for one of its chords is a finding."""
    wanted = chord_names(facts, chords)
    mentions: list[ChordMention] = []
    found: list[Finding] = []
    for mention in reading.chords:
        alike = next(
            (
                (root, facts.names.chord_said(chord.symbol))
                for (root, family), chord in zip(wanted, chords, strict=True)
                if family == mention.family and sounds_like(chord.symbol.root, mention.root)
            ),
            None,
        )
        if alike is None or (mention.root, mention.family) in wanted:
            mentions.append(mention)
            continue
        sentence = say(
            "The words say {chord} for the chord that part {part} calls {other}.",
            chord=_called(mention),
            part=facts.number,
            other=alike[1],
        )
        found.append(Finding(mention.start, mention.end, sentence))
        mentions.append(replace(mention, root=alike[0]))
    return mentions, found


def align_chords(
    text: str, mentions: Sequence[ChordMention], chords: Sequence[Chord], facts: PartFacts, left_out: str
) -> tuple[dict[int, int], list[Finding]]:
    """Which chord each mention names, both by place, and what is not there, left out or out of order.

    Args:
        text: the words.
        mentions: chords named in them.
        chords: chords that the words are about.
        facts: the part.
        left_out: what is said of a chord that is not named, to be said with its name as ``chord`` and ``part``.
    """
    wanted = chord_names(facts, chords)
    said: list[ChordName] = [(mention.root, mention.family) for mention in mentions]
    called = [facts.names.chord_said(chord.symbol) for chord in chords]
    matcher = SequenceMatcher(None, said, wanted, autojunk=False)
    aligned = {first + step: begin + step for first, begin, n in matcher.get_matching_blocks() for step in range(n)}
    names_all = len(set(said) & set(wanted)) >= ENOUGH_NAMED * len(set(wanted))
    each_once = len(set(said)) == len(said) and len(set(wanted)) < len(wanted) and not CHORD_MOMENTS.search(text)
    found: list[Finding] = []
    for tag, first, last, begin, end in matcher.get_opcodes():
        if tag == "equal":
            continue
        for mention in mentions[first:last]:
            is_there = (mention.root, mention.family) in wanted
            if is_there and (each_once or not names_all):
                continue
            found.append(
                Finding(
                    mention.start,
                    mention.end,
                    say(
                        _NOT_THERE[is_there, tag == "replace"],
                        chord=_called(mention),
                        part=facts.number,
                        instead=called[begin] if tag == "replace" else "",
                    ),
                )
            )
        if tag == "insert" and said and names_all:
            place = mentions[first].start if first < len(mentions) else mentions[-1].end
            left = [called[index] for index in range(begin, end) if not each_once or wanted[index] not in said]
            found += [
                Finding(place, place, say(left_out, chord=name, part=facts.number)) for name in dict.fromkeys(left)
            ]
    return aligned, found


def _called(mention: ChordMention) -> str:
    return mention.said[:1].lower() + mention.said[1:] if mention.said.startswith("Chord ") else mention.said
