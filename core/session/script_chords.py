"""Chords named in words laid beside the chords of a part."""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import SequenceMatcher
from functools import lru_cache
from typing import Final

from msgspec.structs import replace

from core.session.script_facts import ENOUGH_NAMED, Finding, PartFacts, sounds_like
from core.session.script_reading import ChordMention, ScriptReading, read_script
from core.song.chord import Chord, ChordSymbol
from core.song.pitch import NoteName
from core.teaching.naming import Names

_MOMENTS: Final = re.compile(r"\b(?:lands?|for \w+ (?:beat|count)s?)\b")
"""What tells one time that a chord is played from another; without it a list of chords may name each once."""
ChordName = tuple[NoteName, str]


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
        sentence = f"The words say {_called(mention)} for the chord that part {facts.number} calls {alike[1]}."
        found.append(Finding(mention.start, mention.end, sentence))
        mentions.append(replace(mention, root=alike[0]))
    return mentions, found


def align_chords(
    text: str, mentions: Sequence[ChordMention], chords: Sequence[Chord], facts: PartFacts, which: str
) -> tuple[dict[int, int], list[Finding]]:
    """Which chord each mention names, both by place, and what is not there, left out or out of order.

    Args:
        text: the words.
        mentions: chords named in them.
        chords: chords that the words are about.
        facts: the part.
        which: what a chord is to the part, such as ``a chord of part 2``.
    """
    wanted = chord_names(facts, chords)
    said: list[ChordName] = [(mention.root, mention.family) for mention in mentions]
    called = [facts.names.chord_said(chord.symbol) for chord in chords]
    matcher = SequenceMatcher(None, said, wanted, autojunk=False)
    aligned = {first + step: begin + step for first, begin, n in matcher.get_matching_blocks() for step in range(n)}
    names_all = len(set(said) & set(wanted)) >= ENOUGH_NAMED * len(set(wanted))
    each_once = len(set(said)) == len(said) and len(set(wanted)) < len(wanted) and not _MOMENTS.search(text)
    found: list[Finding] = []
    for tag, first, last, begin, end in matcher.get_opcodes():
        if tag == "equal":
            continue
        for mention in mentions[first:last]:
            is_there = (mention.root, mention.family) in wanted
            if is_there and (each_once or not names_all):
                continue
            instead = f"; there it is {called[begin]}" if tag == "replace" else ""
            what = "does not have at this point" if is_there else "does not have"
            sentence = f"The words name {_called(mention)}, which part {facts.number} {what}{instead}."
            found.append(Finding(mention.start, mention.end, sentence))
        if tag == "insert" and said and names_all:
            place = mentions[first].start if first < len(mentions) else mentions[-1].end
            left = [called[index] for index in range(begin, end) if not each_once or wanted[index] not in said]
            found += [Finding(place, place, f"The words leave out {name}, {which}.") for name in dict.fromkeys(left)]
    return aligned, found


def _called(mention: ChordMention) -> str:
    return mention.said[:1].lower() + mention.said[1:] if mention.said.startswith("Chord ") else mention.said
