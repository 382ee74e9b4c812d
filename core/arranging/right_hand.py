"""What lies under the melody: thirds, sixths, chord tones, octaves.

The rules (common practice of harmonising a melody at the keyboard):

- A second note lies below the melody, never above, and ends with it, with the next melody note, or with the chord.
- It is a third or sixth of the key. Under a note of the chord it is a note of the chord, so that a third may become a
  fourth, and a sixth a fifth; the chord's own accidentals come before the key's.
- Notes that only pass through, or touch a neighbour and come back, stay plain.
- It stays inside the hand's reach, above everything that the left hand holds, and never a semitone from it.

What does not fit is left away; the plain melody is always there.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import Final

from msgspec import Struct

from core.arranging.beats import beats_of
from core.arranging.left_hand import left_hand
from core.arranging.melody_rhythm import AS_WRITTEN, with_rhythm
from core.arranging.ornaments import ALL, with_ornaments
from core.song.chord import Chord
from core.song.errors import DomainError
from core.song.key import Key
from core.song.note import Hand, Note
from core.song.part import Part, in_order
from core.song.pitch import LETTERS, LOWEST_PIANO_KEY, Pitch
from core.song.song import Song
from core.song.wording import say, say_in, to_say, to_say_in
from core.teaching.landings import landings
from core.theory.chord_tones import chord_tones

NONE: Final = "none"
OCTAVE: Final = 12
NARROWEST: Final = 3
"""Semitones that two notes of one hand lie apart at least."""
THIRD, SIXTH = 2, 5
"""Steps of the scale from a note to the third and to the sixth below it."""
NEAR_THIRD: Final = (3, 7)
NEAR_SIXTH: Final = (7, 10)
"""Semitones within which a chord tone stands for a third or a sixth."""
STEP: Final = 2
"""Semitones of the largest step of a passing or neighbour note."""
MOST_BETWEEN: Final = 2


class Under(Struct, frozen=True):
    """A melody note with what stands around it."""

    note: Note
    chord: Chord | None
    key: Key
    decorates: bool
    """Whether it passes through or touches a neighbour, and is no chord tone."""
    lands: bool
    """Whether a chord lands with it."""
    is_long: bool
    reach: int

    @property
    def classes(self) -> frozenset[int]:
        """Pitch classes of the chord; none without one."""
        return frozenset() if self.chord is None else frozenset(n.pitch_class for n in chord_tones(self.chord.symbol))

    def below(self, steps: int, near: tuple[int, int]) -> tuple[Pitch, ...]:
        """The third or sixth below, as chord and key have it; nothing where the note stays plain."""
        if self.decorates:
            return ()
        pitch = self._at_step(self.note.pitch.staff_step - steps)
        classes = self.classes
        if not classes or pitch.midi % OCTAVE in classes:
            return (pitch,)
        if self.note.pitch.midi % OCTAVE not in classes:
            return ()
        low, high = near
        tones = [tone for tone in self.chord_tones_below(high) if self.note.pitch.midi - tone.midi >= low]
        return tuple(sorted(tones, key=lambda tone: abs(tone.midi - pitch.midi))[:1])

    def chord_tones_below(self, most: int) -> list[Pitch]:
        """The chord's tones up to so many semitones below the note, the highest first."""
        if self.chord is None:
            return []
        top = self.note.pitch.midi
        found = []
        for name in chord_tones(self.chord.symbol):
            down = (top - name.pitch_class) % OCTAVE
            if NARROWEST <= down <= most:
                found.append(Pitch.named(name, top - down))
        return sorted(found, key=lambda pitch: -pitch.midi)

    def _at_step(self, staff_step: int) -> Pitch:
        octave, place = divmod(staff_step, 7)
        names = chord_tones(self.chord.symbol) if self.chord is not None else ()
        letter = LETTERS[place]
        return Pitch.of(next((name for name in names if name.letter == letter), self.key.altered(letter)), octave)


def _thirds(under: Under) -> tuple[Pitch, ...]:
    return under.below(THIRD, NEAR_THIRD)


def _sixths(under: Under) -> tuple[Pitch, ...]:
    return under.below(SIXTH, NEAR_SIXTH)


def _long_notes(under: Under) -> tuple[Pitch, ...]:
    if not under.is_long or under.decorates:
        return ()
    return tuple(under.chord_tones_below(min(under.reach, OCTAVE - 1))[:MOST_BETWEEN])


def _octaves(under: Under) -> tuple[Pitch, ...]:
    pitch = under.note.pitch
    if pitch.midi - OCTAVE < LOWEST_PIANO_KEY:
        return ()
    return (pitch.in_octave(pitch.octave - 1),)


def _filled_octaves(under: Under) -> tuple[Pitch, ...]:
    if under.decorates:
        return _octaves(under)
    between = under.chord_tones_below(OCTAVE - NARROWEST)[:MOST_BETWEEN]
    return (*between, *_octaves(under))


def _landings(under: Under) -> tuple[Pitch, ...]:
    return _thirds(under) if under.lands else ()


class RightHandHarmony(Struct, frozen=True):
    """What lies under the melody.

    Attributes:
        name: how files name it.
        title_text: its title, to be said.
        words_text: what the teacher says of it, to be said.
        notes: a melody note to the pitches below it, before they are made to fit.
    """

    name: str
    title_text: str
    words_text: str
    notes: Callable[[Under], tuple[Pitch, ...]]

    @property
    def title(self) -> str:
        """How screens and plans name it."""
        return say_in("under the melody", self.title_text)

    @property
    def words(self) -> str:
        """How the teacher introduces it."""
        return say(self.words_text)


HARMONIES: Final = (
    RightHandHarmony(
        NONE, to_say_in("under the melody", "nothing"), to_say("Right hand: the melody alone."), lambda _: ()
    ),
    RightHandHarmony(
        "landings",
        to_say_in("under the melody", "thirds on landings"),
        to_say("Right hand: where a chord lands, add the note of the chord a third or so below."),
        _landings,
    ),
    RightHandHarmony(
        "long_notes",
        to_say_in("under the melody", "chord tones under long notes"),
        to_say("Right hand: under each long note, two of the chord."),
        _long_notes,
    ),
    RightHandHarmony(
        "thirds",
        to_say_in("under the melody", "thirds"),
        to_say("Right hand: a second note a third below, as the chord has it."),
        _thirds,
    ),
    RightHandHarmony(
        "sixths",
        to_say_in("under the melody", "sixths"),
        to_say("Right hand: a second note a sixth below, as the chord has it."),
        _sixths,
    ),
    RightHandHarmony(
        "octaves_below",
        to_say_in("under the melody", "octaves"),
        to_say("Right hand: every note with the octave below it."),
        _octaves,
    ),
    RightHandHarmony(
        "filled_octaves",
        to_say_in("under the melody", "filled octaves"),
        to_say("Right hand: every note with the octave below it, and notes of the chord between them."),
        _filled_octaves,
    ),
)


def harmony_named(name: str) -> RightHandHarmony:
    """What lies under the melody, by its name; raises DomainError for an unknown one."""
    for harmony in HARMONIES:
        if harmony.name == name:
            return harmony
    raise DomainError(
        say("what lies under the melody"),
        name,
        say("one of {names}", names=", ".join(harmony.name for harmony in HARMONIES)),
    )


def right_hand(
    song: Song,
    number: int,
    harmony: str | None = None,
    left: Sequence[Note] | None = None,
    rhythm: str | None = None,
    ornaments: Collection[str] = ALL,
) -> tuple[Note, ...]:
    """The right hand's notes of a part, with onsets from the part's start, in order.

    Without harmony it is what is written. With it, it is the melody and the notes below it; the added ones are no
    melody notes.

    Args:
        song: the song.
        number: part number from 1.
        harmony: its name, or None for the part's own choice.
        left: what the left hand plays meanwhile; None for what the part's own pattern has.
        rhythm: name of the melody's rhythm, or None for the part's own choice.
        ornaments: which ornaments are written out as notes.

    Raises:
        DomainError: for an unknown part, harmony or rhythm.
    """
    part = song.part(number)
    chosen = harmony_named(harmony or part.teaching.harmony)
    loosened = rhythm or part.teaching.rhythm
    start = song.part_onsets[number - 1]
    if chosen.name == NONE and loosened == AS_WRITTEN:
        return with_ornaments(song, start, part.hand(Hand.RIGHT), ornaments)
    below = left_hand(song, number) if left is None else left
    part = with_rhythm(song, number, loosened, below)
    if chosen.name == NONE:
        return with_ornaments(song, start, part.hand(Hand.RIGHT), ornaments)
    added: list[Note] = []
    melody = part.melody
    for place, under in enumerate(_unders(song, number, part)):
        if under is not None:
            end = min([melody[place].end, *(note.onset for note in melody[place + 1 : place + 2] if not note.is_grace)])
            added.extend(_fitted(under, chosen.notes(under), end, melody, below))
    return with_ornaments(song, start, in_order([*melody, *added]), ornaments)


def _fitted(
    under: Under, pitches: Sequence[Pitch], end: int, melody: Sequence[Note], left: Sequence[Note]
) -> list[Note]:
    """The pitches that the hand reaches and the left hand leaves room for, as notes."""
    note = under.note
    if under.chord is not None:
        end = min(end, under.chord.end)
    if end <= note.onset:
        return []
    above = [other.pitch.midi for other in melody if other.onset < end and other.end > note.onset]
    held = [other.pitch.midi for other in left if other.onset < end and other.end > note.onset]
    lowest = max([max(above) - under.reach, *(midi + NARROWEST - 1 for midi in held)])
    return [
        Note(note.onset, end - note.onset, pitch, Hand.RIGHT, melody=False)
        for pitch in dict.fromkeys(pitches)
        if lowest <= pitch.midi <= min(above) - NARROWEST
    ]


def _unders(song: Song, number: int, part: Part) -> list[Under | None]:
    """Each melody note with what stands around it; None for a grace note."""
    start = song.part_onsets[number - 1]
    landed = {landing.note for landing in landings(part)}
    indices = [index for index, note in enumerate(part.notes) if note.melody]
    melody = part.melody
    found: list[Under | None] = []
    for place, (index, note) in enumerate(zip(indices, melody, strict=True)):
        if note.is_grace:
            found.append(None)
            continue
        chord = next((one for one in part.chords if one.onset <= note.onset < one.end), None)
        if chord is not None and chord.symbol.is_silent:
            chord = None
        metre = song.metre_at(start + note.onset)
        beat = beats_of(metre)[0]
        long = beat.duration if beat.compound else 2 * beat.duration
        tones = {name.pitch_class for name in chord_tones(chord.symbol)} if chord is not None else set()
        decorates = chord is not None and note.pitch.midi % OCTAVE not in tones and _by_step(melody, place)
        key = song.key_at(start + note.onset)
        reach = song.hands.right_reach
        found.append(Under(note, chord, key, decorates, index in landed, note.duration >= long, reach))
    return found


def _by_step(melody: Sequence[Note], place: int) -> bool:
    """Whether a note is come to and left by step."""
    if not 0 < place < len(melody) - 1:
        return False
    here = melody[place].pitch.midi
    ways = (here - melody[place - 1].pitch.midi, melody[place + 1].pitch.midi - here)
    return all(0 < abs(way) <= STEP for way in ways)
