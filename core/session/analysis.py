"""Everything computed for a part, kept as long as the part stays the same object.

An analysis depends on the part, its place and number, the song's keys, metres and tempos, and the player's
hands, on the part before where its first chord does, and on the part that it comes back from; nothing else of the
song. So an edit in one part costs that part and those that come back from it, and an undo, which brings the same
object back, costs nothing.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from core.arranging.left_hand import left_hand, left_hand_remarks
from core.arranging.right_hand import right_hand
from core.session.resembled import resembled
from core.song.identity_cache import IdentityCache
from core.song.metre import Bar, bar_at
from core.song.note import Hand, Note
from core.song.song import Song
from core.song.wording import say, to_say
from core.teaching.care import Caution, cautions
from core.teaching.effort import Effort, PlayedNote, effort_of
from core.teaching.fingering import Fingered, finger_chord, finger_hand, hand_positions
from core.teaching.fingering_positions import HandPosition
from core.teaching.landings import Landing, landings
from core.teaching.left_hand_voicings import Voicing, leads_in, voicings
from core.teaching.left_hand_words import left_hand_words
from core.teaching.naming import Names, Naming
from core.teaching.reach import BeyondReach, beyond_reach
from core.teaching.right_hand_words import leading_sentence, right_hand_words, taught_before
from core.teaching.sentences import capital
from core.teaching.together_words import together_words

WORTH_A_LOOK: Final = 50.0
"""A cause of effort below this does not need the teacher's eye."""
OLDER_THAN_THE_NOTES: Final = {
    "right_hand": to_say("Your own words for right hand are older than the notes; read them again."),
    "left_hand": to_say("Your own words for left hand are older than the notes; read them again."),
    "together": to_say("Your own words for together are older than the notes; read them again."),
}
"""What is said of own words that are to be read again, by their kind."""


class Remark(Struct, frozen=True):
    """Something to look at.

    Attributes:
        text: a sentence.
        tick: the moment it speaks of, in ticks from the song's start; None where it speaks of the whole part.
    """

    text: str
    tick: int | None = None


class PartAnalysis(Struct, frozen=True):
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
    lead = _lead(song, number)
    before = song.metre_at(song.part_onsets[number - 2]) if number > 1 else None
    facts = (*facts, before, lead, naming)
    known = _analyses.get(objects, facts)
    if known is not None:
        return known
    if naming is Naming.LETTERS:
        return _analyses.put(objects, facts, _analysed(song, number, lead))
    plain = analyse_part(song, number)
    own = len(_about_own_words(song, number, Naming.LETTERS))
    named = replace(
        plain,
        words=_words(song, number, naming, lead),
        remarks=(*_about_own_words(song, number, naming), *plain.remarks[own:]),
    )
    return _analyses.put(objects, facts, named)


def _lead(song: Song, number: int) -> str:
    """The sentence, without a note's name, that tells which part it comes back from; all that hangs on that part."""
    return leading_sentence(resembled(song, number, taught_before(song, number)))


def _words(song: Song, number: int, naming: Naming, lead: str) -> tuple[tuple[str, str], ...]:
    names = Names.of_part(song, number, naming)
    return (
        ("right_hand", right_hand_words(song, number, names, lead)),
        ("left_hand", left_hand_words(song, number, names)),
        ("together", together_words(song, number, names)),
    )


def _analysed(song: Song, number: int, lead: str) -> PartAnalysis:
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
        words=_words(song, number, Naming.LETTERS, lead),
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
            told.setdefault(beyond.sentence, start + beyond.onset)
    remarks = [
        (tick, say("Bar {bar}: {remark}", bar=bar_at(bars, tick).number, remark=text)) for text, tick in told.items()
    ]
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
        (reason.tick, capital(say("{reason}.", reason=reason.text)))
        for reason in effort.reasons
        if not reason.cause or getattr(effort.causes, reason.cause) >= WORTH_A_LOOK
    ]
    remarks += _care(song, number)
    remarks += left_hand_remarks(song, number)
    bars = song.bars
    for landing in found:
        if landing.note is None:
            bar = next(bar.number for bar in reversed(bars) if bar.onset <= start + landing.onset)
            alone = say("Bar {bar}: the left hand moves on its own; say it before you play it.", bar=bar)
            remarks.append((start + landing.onset, alone))
    remarks.sort(key=lambda remark: remark[0])
    first: dict[str, int] = {}
    for tick, text in remarks:
        first.setdefault(text, tick)
    own = _about_own_words(song, number, Naming.LETTERS)
    return (*own, *(Remark(text, tick) for text, tick in first.items()))


def _about_own_words(song: Song, number: int, naming: Naming) -> tuple[Remark, ...]:
    """What is to be looked at in the teacher's own words for a part."""
    own = song.part(number).teaching.words
    if not own:
        return ()
    from core.session.script_check import check_own_words  # slow to load, and most parts have none

    older = [Remark(say(OLDER_THAN_THE_NOTES[words.kind])) for words in own if words.review]
    wrong = [Remark(found.finding.sentence) for found in check_own_words(song, number, naming)]
    return (*older, *wrong)
