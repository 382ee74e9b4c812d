"""Parts: numbered stretches of a song, each owning its notes, chords and teaching choices.

Onsets are counted from the part's start, so that an edit in one part leaves every other part the same object.
"""

from __future__ import annotations

from msgspec import Struct, field

from core.song.chord import ROOT_POSITION, VOICING_STYLES, Chord
from core.song.errors import DomainError
from core.song.note import Extra, Hand, Note
from core.song.wording import say


class OwnWords(Struct, frozen=True):
    """Words of the teacher's own for one segment of a part, in place of the computed ones.

    Attributes:
        kind: ``right_hand``, ``left_hand`` or ``together``.
        text: what is said.
        review: whether the song under them has changed since they were written.
    """

    kind: str
    text: str
    review: bool = False


class Aside(Struct, frozen=True):
    """A remark at a place of a part, that the teacher may make or leave out while the part is taught.

    Attributes:
        onset: ticks from the part's start.
        text: what may be said.
        kind: the segment it belongs to: ``right_hand``, ``left_hand`` or ``together``.
        extra: unknown fields of a lesson file, kept.
    """

    onset: int
    text: str
    kind: str = "right_hand"
    extra: Extra = ()


class Teaching(Struct, frozen=True):
    """What the teacher has decided for a part.

    Attributes:
        taught: False for a part that is played but not taught.
        pattern: name of the left hand's pattern, ``block`` unless chosen otherwise.
        harmony: name of what lies under the melody, ``none`` unless chosen otherwise.
        rhythm: name of how the melody's rhythm is loosened, ``written`` unless chosen otherwise.
        tempo: teaching tempo in quarter notes a minute, or None for the computed one.
        words: own words, at most one of each kind.
        voicing: how the left hand takes its chords, ``root`` (position) or ``nearest`` (inversion); a chord may
            have a choice of its own.
        pedal: whether the sustain pedal is used, with each chord anew.
    """

    taught: bool = True
    pattern: str = "block"
    harmony: str = "none"
    tempo: float | None = None
    words: tuple[OwnWords, ...] = ()
    voicing: str = ROOT_POSITION
    rhythm: str = "written"
    pedal: bool = False

    def __post_init__(self) -> None:
        if self.voicing not in VOICING_STYLES:
            raise DomainError(say("the voicing of a part's chords"), self.voicing, say("root or nearest"))

    def words_for(self, kind: str) -> OwnWords | None:
        """The teacher's own words of a kind, or None."""
        return next((words for words in self.words if words.kind == kind), None)


class Part(Struct, frozen=True):
    """A numbered stretch of a song; its number is its place in the song, from 1.

    Attributes:
        duration: length in ticks, more than 0.
        notes: every note that starts in the part, in order (`Note.order`); both hands.
        chords: in order, not overlapping, none past the part's end.
        teaching: the teacher's choices.
        extra: unknown fields of a lesson file, kept.
        asides: in order, none at or past the part's end.
    """

    duration: int
    notes: tuple[Note, ...] = ()
    chords: tuple[Chord, ...] = ()
    teaching: Teaching = field(default_factory=Teaching)
    extra: Extra = ()
    asides: tuple[Aside, ...] = ()

    def __post_init__(self) -> None:
        if self.duration <= 0:
            raise DomainError(say("a part's duration"), self.duration, say("more than 0 ticks"))
        onset = 0
        for note in self.notes:
            if note.onset < onset:
                raise DomainError(say("a part's notes"), note.onset, say("in order of onset"))
            onset = note.onset
        if onset >= self.duration:
            raise DomainError(
                say("a note's onset"), onset, say("before its part's end at {ticks} ticks", ticks=self.duration)
            )
        end = 0
        for chord in self.chords:
            if chord.onset < end:
                raise DomainError(
                    say("a chord's onset"), chord.onset, say("at or after the end of the chord before it")
                )
            end = chord.end
        if end > self.duration:
            raise DomainError(
                say("a chord's end"), end, say("at or before its part's end at {ticks} ticks", ticks=self.duration)
            )
        onset = 0
        for aside in self.asides:
            if not onset <= aside.onset < self.duration:
                raise DomainError(say("an aside's onset"), aside.onset, say("in order, and before its part's end"))
            onset = aside.onset

    @property
    def melody(self) -> tuple[Note, ...]:
        """The plain version's right hand, in order."""
        return tuple(note for note in self.notes if note.melody)

    @property
    def has_left_hand(self) -> bool:
        """Whether the left hand has anything to play: chords, or notes that are written out."""
        return bool(self.chords) or any(note.hand is Hand.LEFT and not note.is_grace for note in self.notes)

    def hand(self, hand: Hand) -> tuple[Note, ...]:
        """Every written note of a hand, in order."""
        return tuple(note for note in self.notes if note.hand is hand)


def in_order(notes: tuple[Note, ...] | list[Note]) -> tuple[Note, ...]:
    """Notes sorted as a part keeps them."""
    return tuple(sorted(notes, key=lambda note: note.order))
