"""Everything computed for a part, kept as long as the part stays the same object.

An analysis depends on the part, its place and number, the song's keys, metres and tempos, and the player's
hands, and on the part before where its first chord does; nothing else of the song. So an edit in one part costs
that part alone, and an undo, which brings the same object back, costs nothing.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable, Sequence
from dataclasses import dataclass, replace
from typing import Final, Generic, TypeVar

from core.arranging.left_hand import left_hand, left_hand_remarks
from core.arranging.right_hand import right_hand
from core.session.script_check import check_script
from core.song.metre import Bar, bar_at
from core.song.note import Hand, Note
from core.song.song import Song
from core.teaching.care import Caution, cautions
from core.teaching.directions import COMPUTED_WORDS, computed_words
from core.teaching.effort import Effort, PlayedNote, effort_of
from core.teaching.fingering import Fingered, finger_chord, finger_hand, hand_positions
from core.teaching.fingering_positions import HandPosition
from core.teaching.landings import Landing, landings
from core.teaching.left_hand_voicings import Voicing, leads_in, voicings
from core.teaching.naming import Naming
from core.teaching.reach import BeyondReach, beyond_reach

Value = TypeVar("Value")

MOST_KEPT: Final = 1024
WORTH_A_LOOK: Final = 45.0
"""A cause of effort below this does not need the teacher's eye."""


class IdentityCache(Generic[Value]):
    """Values kept by the identity of what they were computed from; the longest unused go first.

    What a value was computed from is held on to, so that an identity cannot come to mean another object.
    """

    def __init__(self, most: int = MOST_KEPT) -> None:
        self._most = most
        self._kept: OrderedDict[Hashable, tuple[tuple[object, ...], Value]] = OrderedDict()

    def get(self, objects: tuple[object, ...], facts: tuple[Hashable, ...]) -> Value | None:
        """The value for these very objects and equal facts, or None."""
        key = (tuple(map(id, objects)), facts)
        found = self._kept.get(key)
        if found is None:
            return None
        self._kept.move_to_end(key)
        return found[1]

    def put(self, objects: tuple[object, ...], facts: tuple[Hashable, ...], value: Value) -> Value:
        """Keep a value and give it back."""
        self._kept[(tuple(map(id, objects)), facts)] = (objects, value)
        while len(self._kept) > self._most:
            self._kept.popitem(last=False)
        return value


@dataclass(frozen=True, slots=True)
class Remark:
    """Something to look at.

    Attributes:
        text: a sentence.
        tick: the moment it speaks of, in ticks from the song's start; None where it speaks of the whole part.
    """

    text: str
    tick: int | None = None


@dataclass(frozen=True, slots=True)
class PartAnalysis:
    """What is computed for a part.

    Attributes:
        number: the part's number.
        effort: with its causes and their moments (ticks from the song's start).
        landings: where its chords land.
        voicings: of each chord, in the order of ``part.chords``; empty for 'no chord'.
        chord_fingers: of each voicing, low to high.
        fingers: of each note, in the order of ``part.notes``.
        positions: of each hand where it lies as the part is played, in order; ticks from the part's start.
        beyond_reach: of each note, in the order of ``part.notes``, what is too far in it and something smaller; None
            for a note within reach.
        words: computed words by kind: ``right_hand``, ``left_hand``, ``together``; may be empty.
        remarks: sentences about moments that deserve a look, with the moments, in order of the song.
    """

    number: int
    effort: Effort
    landings: tuple[Landing, ...]
    voicings: tuple[Voicing, ...]
    chord_fingers: tuple[tuple[int, ...], ...]
    fingers: tuple[Fingered, ...]
    positions: tuple[tuple[Hand, tuple[HandPosition, ...]], ...]
    beyond_reach: tuple[BeyondReach | None, ...]
    words: tuple[tuple[str, str], ...]
    remarks: tuple[Remark, ...]

    @property
    def to_look_at(self) -> tuple[str, ...]:
        """Sentences about moments that deserve a look, in order of the song."""
        return tuple(remark.text for remark in self.remarks)

    def words_of(self, kind: str) -> str:
        """The computed words of a kind; may be empty."""
        return dict(self.words)[kind]


_analyses: IdentityCache[PartAnalysis] = IdentityCache()
_efforts: IdentityCache[Effort] = IdentityCache()


def depends_on(song: Song, number: int) -> tuple[tuple[object, ...], tuple[Hashable, ...]]:
    """What the analysis of a part depends on: objects by identity, and facts by value."""
    part = song.part(number)
    onset = song.part_onsets[number - 1]
    facts = (number, onset, song.keys, song.metres, song.tempos, song.pickup, song.length, song.hands, song.patterns)
    return (part, *leads_in(song, number)), facts


def played_notes(song: Song, number: int, pattern: str | None = None) -> tuple[PlayedNote, ...]:
    """Both hands of a part as they are played, with onsets from the song's start.

    Args:
        song: the song.
        number: part number from 1.
        pattern: a left-hand pattern in place of the part's own choice.
    """
    start = song.part_onsets[number - 1]
    left = left_hand(song, number, pattern)
    notes: list[Note] = [*right_hand(song, number, left=left), *left]
    return tuple(PlayedNote(start + note.onset, note.duration, note.pitch.midi, note.hand) for note in notes)


def part_effort(song: Song, number: int, pattern: str | None = None) -> Effort:
    """The effort of a part at the song's tempo, with its own or another left-hand pattern."""
    objects, facts = depends_on(song, number)
    known = _efforts.get(objects, (*facts, pattern))
    if known is not None:
        return known
    start = song.part_onsets[number - 1]
    end = start + song.part(number).duration
    bars = [bar for bar in song.bars if bar.end > start and bar.onset < end]
    effort = effort_of(played_notes(song, number, pattern), song.tempo_at(start), bars)
    return _efforts.put(objects, (*facts, pattern), effort)


def song_effort(song: Song) -> Effort:
    """The effort of the whole song as its parts are played; of both hands as written where both are written."""
    notes = [note for number in range(1, len(song.parts) + 1) for note in played_notes(song, number)]
    return effort_of(notes, song.tempo, song.bars)


def song_cautions(song: Song) -> tuple[tuple[Caution, str], ...]:
    """The passages of a song that can tire a hand, as its parts are played, each with its sentence, in order."""
    notes = [note for number in range(1, len(song.parts) + 1) for note in played_notes(song, number)]
    return _said(cautions(notes, song.hands, song.tempos), song.bars)


def analyse_part(song: Song, number: int, naming: Naming = Naming.LETTERS) -> PartAnalysis:
    """Everything computed for a part; raises DomainError where there is no such part.

    Args:
        song: the song.
        number: part number from 1.
        naming: what notes and chords are called in the words, and in own words that are read against the part.
    """
    objects, facts = depends_on(song, number)
    known = _analyses.get(objects, (*facts, naming))
    if known is not None:
        return known
    if naming is Naming.LETTERS:
        return _analyses.put(objects, (*facts, naming), _analysed(song, number))
    plain = analyse_part(song, number)
    own = len(_about_own_words(song, number, Naming.LETTERS))
    named = replace(
        plain,
        words=_words(song, number, naming),
        remarks=(*_about_own_words(song, number, naming), *plain.remarks[own:]),
    )
    return _analyses.put(objects, (*facts, naming), named)


def _words(song: Song, number: int, naming: Naming) -> tuple[tuple[str, str], ...]:
    return tuple((kind, computed_words(song, number, kind, naming)) for kind in COMPUTED_WORDS)


def _analysed(song: Song, number: int) -> PartAnalysis:
    part = song.part(number)
    placed = voicings(song, number)
    effort = part_effort(song, number)
    found = landings(part)
    fingers, positions = _fingers(song, number)
    return PartAnalysis(
        number=number,
        effort=effort,
        landings=found,
        voicings=placed,
        chord_fingers=tuple(finger_chord(voicing, Hand.LEFT, song.hands) if voicing else () for voicing in placed),
        fingers=fingers,
        positions=positions,
        beyond_reach=_beyond_reach(song, number),
        words=_words(song, number, Naming.LETTERS),
        remarks=_to_look_at(song, number, effort, found),
    )


def _fingers(song: Song, number: int) -> tuple[tuple[Fingered, ...], tuple[tuple[Hand, tuple[HandPosition, ...]], ...]]:
    notes = song.part(number).notes
    key = song.key_at(song.part_onsets[number - 1])
    fingered: dict[int, Fingered] = {}
    positions: list[tuple[Hand, tuple[HandPosition, ...]]] = []
    for hand in Hand:
        places = [index for index, note in enumerate(notes) if note.hand is hand]
        written = tuple(notes[index] for index in places)
        found = finger_hand(written, hand, song.hands, key)
        fingered.update(zip(places, found.fingers, strict=True))
        played = written if hand is Hand.RIGHT else left_hand(song, number)
        lies = found.positions if played == written else hand_positions(played, hand, song.hands, key)
        positions.append((hand, lies))
    return tuple(fingered[index] for index in range(len(notes))), tuple(positions)


def _beyond_reach(song: Song, number: int) -> tuple[BeyondReach | None, ...]:
    notes = song.part(number).notes
    found: dict[int, BeyondReach] = {}
    for hand in Hand:
        places = [index for index, note in enumerate(notes) if note.hand is hand]
        for beyond in beyond_reach([notes[index] for index in places], hand, song.hands):
            found[places[beyond.note]] = beyond
    return tuple(found.get(index) for index in range(len(notes)))


def _said(found: Sequence[Caution], bars: Sequence[Bar]) -> tuple[tuple[Caution, str], ...]:
    return tuple(
        (caution, caution.sentence(bar_at(bars, caution.onset).number, bar_at(bars, caution.end - 1).number))
        for caution in found
    )


def _care(song: Song, number: int) -> list[tuple[int, str]]:
    """What is beyond the hands and what can tire them in a part as it is played, with the ticks from the song's start.

    A place that comes in every bar is told once, where it comes first.
    """
    start = song.part_onsets[number - 1]
    bars = song.bars
    by_hand = {Hand.RIGHT: right_hand(song, number), Hand.LEFT: left_hand(song, number)}
    told: dict[str, int] = {}
    for hand, notes in by_hand.items():
        for beyond in beyond_reach(notes, hand, song.hands):
            told.setdefault(f"{beyond.trouble}: {beyond.alternative}.", start + beyond.onset)
    remarks = [(tick, f"Bar {bar_at(bars, tick).number}: {text}") for text, tick in told.items()]
    played = [
        PlayedNote(start + note.onset, note.duration, note.pitch.midi, hand)
        for hand, notes in by_hand.items()
        for note in notes
    ]
    found = cautions(played, song.hands, song.tempos)
    return remarks + [(caution.onset, sentence) for caution, sentence in _said(found, bars)]


def _to_look_at(song: Song, number: int, effort: Effort, found: tuple[Landing, ...]) -> tuple[Remark, ...]:
    start = song.part_onsets[number - 1]
    remarks: list[tuple[int, str]] = [
        (reason.tick, _capital(reason.text))
        for reason in effort.reasons
        if not reason.cause or getattr(effort.causes, reason.cause) >= WORTH_A_LOOK
    ]
    remarks += _care(song, number)
    remarks += left_hand_remarks(song, number)
    bars = song.bars
    for landing in found:
        if landing.note is None:
            bar = next(bar.number for bar in reversed(bars) if bar.onset <= start + landing.onset)
            remarks.append(
                (start + landing.onset, f"Bar {bar}: the left hand moves on its own; say it before you play it.")
            )
    remarks.sort(key=lambda remark: remark[0])
    first: dict[str, int] = {}
    for tick, text in remarks:
        first.setdefault(text, tick)
    own = _about_own_words(song, number, Naming.LETTERS)
    return (*own, *(Remark(text, tick) for text, tick in first.items()))


def _about_own_words(song: Song, number: int, naming: Naming) -> tuple[Remark, ...]:
    """What is to be looked at in the teacher's own words for a part."""
    part = song.part(number)
    older = [
        Remark(f"Your own words for {words.kind.replace('_', ' ')} are older than the notes; read them again.")
        for words in part.teaching.words
        if words.review
    ]
    wrong = [
        Remark(finding.sentence)
        for words in part.teaching.words
        for finding in check_script(song, number, words.kind, words.text, naming)
    ]
    return (*older, *wrong)


def _capital(text: str) -> str:
    sentence = text[:1].upper() + text[1:]
    return sentence if sentence.endswith((".", "!", "?")) else f"{sentence}."
