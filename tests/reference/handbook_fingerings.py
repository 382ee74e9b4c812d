"""Fingerings of scales and arpeggios as a handbook prints them.

Source of the scales: Oscar Beringer & Thomas Dunhill, "Daily Technical Studies for the Pianoforte" (1900), through a
public transcription, for the twelve major scales, with the variants of their two-octave forms. The minor scales are
as commonly taught: the one-octave harmonic minors were compared with two public tables, of which variants are listed;
two-octave forms, the melodic minors and harmonic G sharp minor are from memory.

Source of the arpeggios: the same book, root positions over two octaves up and down with alternates; B major is from
memory, since the transcription has another key in its place.

Fingers are in the order of the notes; the first is what is printed, others after commas are listed variants.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from core.song.note import Hand, Note
from core.song.pitch import LETTERS, SEMITONES, NoteName, Pitch

EIGHTH: Final = 5_040
SCALE_STEPS: Final = {
    "major": (0, 2, 4, 5, 7, 9, 11),
    "harmonic_minor": (0, 2, 3, 5, 7, 8, 11),
    "melodic_minor": (0, 2, 3, 5, 7, 9, 11),
    "natural_minor": (0, 2, 3, 5, 7, 8, 10),
}
TRIADS: Final = {"major": (0, 4, 7), "minor": (0, 3, 7)}
LOWEST_OCTAVE: Final = {Hand.RIGHT: 3, Hand.LEFT: 2}
HANDS: Final = {"RH": Hand.RIGHT, "LH": Hand.LEFT}

# Tonic, scale, hand, direction, fingers over one octave, fingers over two octaves.
SCALES: Final = """
C major RH up 12312345 123123412312345
C major LH up 54321321 543213214321321
G major RH up 12312345 123123412312345
G major LH up 54321321 543213214321321,321321432132143
D major RH up 12312345 123123412312345
D major LH up 54321321 543213214321321,214321321432132
A major RH up 12312345 123123412312345
A major LH up 54321321 543213214321321,213214321321432
E major RH up 12312345 123123412312345
E major LH up 54321321 543213214321321
B major RH up 12312345 123123412312345
B major LH up 43214321 432143213214321
F# major RH up 23412312 234123123412312,234123123412345
F# major LH up 43213214 432132143213214,432132143213212
Db major RH up 23123412 231234123123412
Db major LH up 32143213 321432132143213,321432132143212
Ab major RH up 34123123 341231234123123,231231234123123
Ab major LH up 32143213 321432132143213,321432132143212
Eb major RH up 31234123 312341231234123,212341231234123
Eb major LH up 32143213 321432132143213,321432132143212
Bb major RH up 21231234 212312341231234
Bb major LH up 32143213 321432132143213,321432132143212
F major RH up 12341234 123412312341234
F major LH up 54321321 543213214321321,321432132143212
A harmonic_minor RH up 12312345 123123412312345
A harmonic_minor LH up 54321321 543213214321321
E harmonic_minor RH up 12312345 123123412312345
E harmonic_minor LH up 54321321 543213214321321
B harmonic_minor RH up 12312345 123123412312345
B harmonic_minor LH up 43214321 432143213214321
F# harmonic_minor RH up 34123123,23123123 341231234123123
F# harmonic_minor LH up 43213214 432132143213214
C# harmonic_minor RH up 34123123 341231234123123
C# harmonic_minor LH up 32143213 321432132143213
G# harmonic_minor RH up 34123123,23123123 341231234123123
G# harmonic_minor LH up 32143213,32132132 321432132143213
Eb harmonic_minor RH up 31234123 312341231234123
Eb harmonic_minor LH up 21432132 214321321432132
Bb harmonic_minor RH up 21231234 212312341231234
Bb harmonic_minor LH up 21321432 213214321321432
F harmonic_minor RH up 12341234 123412312341234
F harmonic_minor LH up 54321321 543213214321321
C harmonic_minor RH up 12312345 123123412312345
C harmonic_minor LH up 54321321 543213214321321
G harmonic_minor RH up 12312345 123123412312345
G harmonic_minor LH up 54321321 543213214321321
D harmonic_minor RH up 12312345 123123412312345
D harmonic_minor LH up 54321321 543213214321321
A melodic_minor RH up 12312345 123123412312345
A melodic_minor RH down 54321321 543213214321321
A melodic_minor LH up 54321321 543213214321321
A melodic_minor LH down 12312345 123123412312345
E melodic_minor RH up 12312345 123123412312345
E melodic_minor RH down 54321321 543213214321321
E melodic_minor LH up 54321321 543213214321321
E melodic_minor LH down 12312345 123123412312345
B melodic_minor RH up 12312345 123123412312345
B melodic_minor RH down 54321321 543213214321321
B melodic_minor LH up 43214321 432143213214321
B melodic_minor LH down 12341234 123412312341234
F# melodic_minor RH up 34123412 341234123123412
F# melodic_minor RH down 32132143 321321432132143
F# melodic_minor LH up 43213214 432132143213214
F# melodic_minor LH down 41231234 412312341231234
C# melodic_minor RH up 34123412 341234123123412
C# melodic_minor RH down 32132143 321321432132143
C# melodic_minor LH up 32143213 321432132143213
C# melodic_minor LH down 31234123 312341231234123
G# melodic_minor RH up 34123123 341231234123123
G# melodic_minor RH down 32132143 321321432132143
G# melodic_minor LH up 32143213 321432132143213
G# melodic_minor LH down 34123123 341231234123123
Eb melodic_minor RH up 31234123 312341231234123
Eb melodic_minor RH down 32143213 321432132143213
Eb melodic_minor LH up 21432132 214321321432132
Eb melodic_minor LH down 23123412 231234123123412
Bb melodic_minor RH up 21231234 212312341231234
Bb melodic_minor RH down 43213212 432132143213212
Bb melodic_minor LH up 21321432 213214321321432
Bb melodic_minor LH down 23412312 234123123412312
F melodic_minor RH up 12341234 123412312341234
F melodic_minor RH down 43214321 432143213214321
F melodic_minor LH up 54321321 543213214321321
F melodic_minor LH down 12312345 123123412312345
C melodic_minor RH up 12312345 123123412312345
C melodic_minor RH down 54321321 543213214321321
C melodic_minor LH up 54321321 543213214321321
C melodic_minor LH down 12312345 123123412312345
G melodic_minor RH up 12312345 123123412312345
G melodic_minor RH down 54321321 543213214321321
G melodic_minor LH up 54321321 543213214321321
G melodic_minor LH down 12312345 123123412312345
D melodic_minor RH up 12312345 123123412312345
D melodic_minor RH down 54321321 543213214321321
D melodic_minor LH up 54321321 543213214321321
D melodic_minor LH down 12312345 123123412312345
"""

# Tonic, triad, hand, fingers over two octaves up and down.
ARPEGGIOS: Final = """
C major RH 1231235321321
C major LH 5421421241245
G major RH 1231235321321
G major LH 5421421241245
D major RH 1231235321321
D major LH 5321321231235
A major RH 1231235321321
A major LH 5321321231235
E major RH 1231235321321
E major LH 5321321231235
B major RH 1231235321321
B major LH 5321321231235
F# major RH 1231235321321
F# major LH 5321321231235
Db major RH 2124124214212
Db major LH 2142142412412,3142142412413
Ab major RH 2124124214212
Ab major LH 2142142412412,3142142412413
Eb major RH 2124124214212
Eb major LH 2142142412412,3142142412413
Bb major RH 2124124214212
Bb major LH 3213212123123
F major RH 1231235321321
F major LH 5421421241245
A minor RH 1231235321321
A minor LH 5421421241245
E minor RH 1231235321321
E minor LH 5421421241245
B minor RH 1231235321321
B minor LH 5421421241245
F# minor RH 2124124214212
F# minor LH 3142142412413
C# minor RH 2124124214212
C# minor LH 2142142412412,3142142412413
G# minor RH 2124124214212
G# minor LH 2142142412412,3142142412413
Eb minor RH 1231235321321
Eb minor LH 5421421241245
Bb minor RH 2312312132132,2312313132132
Bb minor LH 3213212123123
F minor RH 1231235321321
F minor LH 5421421241245
C minor RH 1231235321321
C minor LH 5421421241245
G minor RH 1231235321321
G minor LH 5421421241245
D minor RH 1231235321321
D minor LH 5421421241245
"""


@dataclass(frozen=True)
class Exercise:
    """A scale or arpeggio for one hand, with the fingerings that are right for it."""

    name: str
    row: str
    hand: Hand
    pitches: tuple[Pitch, ...]
    fingerings: tuple[str, ...]

    @property
    def notes(self) -> tuple[Note, ...]:
        """The exercise in legato eighths."""
        return line(self.pitches, self.hand)


def line(pitches: tuple[Pitch, ...], hand: Hand, start: int = 0) -> tuple[Note, ...]:
    """Pitches as legato eighths."""
    return tuple(Note(start + place * EIGHTH, EIGHTH, pitch, hand) for place, pitch in enumerate(pitches))


def steps_up(tonic: NoteName, hand: Hand, semitones: tuple[int, ...], letters: tuple[int, ...]) -> tuple[Pitch, ...]:
    """Pitches above a tonic, each so many semitones and so many letters higher."""
    first = Pitch.of(tonic, LOWEST_OCTAVE[hand])
    spelled = []
    for semitone, steps in zip(semitones, letters, strict=True):
        octave, letter = divmod(LETTERS.index(tonic.letter) + steps, 7)
        natural = 12 * (first.octave + octave + 1) + SEMITONES[LETTERS[letter]]
        spelled.append(Pitch(LETTERS[letter], first.midi + semitone - natural, first.octave + octave))
    return tuple(spelled)


def scale(tonic: NoteName, hand: Hand, kind: str, octaves: int) -> tuple[Pitch, ...]:
    """A scale upwards."""
    count = 7 * octaves + 1
    degrees = [SCALE_STEPS[kind][step % 7] + 12 * (step // 7) for step in range(count)]
    return steps_up(tonic, hand, tuple(degrees), tuple(range(count)))


def arpeggio(tonic: NoteName, hand: Hand, triad: str) -> tuple[Pitch, ...]:
    """A root-position triad over two octaves upwards."""
    tones = TRIADS[triad]
    return steps_up(tonic, hand, (*tones, *(tone + 12 for tone in tones), 24), (0, 2, 4, 7, 9, 11, 14))


def up_and_down(pitches: tuple[Pitch, ...]) -> tuple[Pitch, ...]:
    """Pitches up, and down again."""
    return pitches + pitches[-2::-1]


def scale_exercises() -> tuple[Exercise, ...]:
    """Every row of the scales: one and two octaves, up, down, and both where both are one row."""
    exercises: list[Exercise] = []
    for row in SCALES.strip().splitlines():
        tonic, kind, hand_name, direction, *columns = row.split()
        hand = HANDS[hand_name]
        name = f"{tonic} {kind} {hand_name}"
        for octaves, column in enumerate(columns, start=1):
            fingers = tuple(column.split(","))
            if direction == "down":
                pitches = scale(NoteName.parse(tonic), hand, "natural_minor", octaves)[::-1]
                exercises.append(Exercise(f"{name} down, {octaves}", row, hand, pitches, fingers))
                continue
            pitches = scale(NoteName.parse(tonic), hand, kind, octaves)
            exercises.append(Exercise(f"{name} up, {octaves}", row, hand, pitches, fingers))
            if kind != "melodic_minor":
                back = tuple(each[::-1] for each in fingers)
                exercises.append(Exercise(f"{name} down, {octaves}", row, hand, pitches[::-1], back))
                both = tuple(up + down[-2::-1] for up in fingers for down in fingers if up[-1] == down[-1])
                exercises.append(Exercise(f"{name} up and down, {octaves}", row, hand, up_and_down(pitches), both))
    return tuple(exercises)


def arpeggio_exercises() -> tuple[Exercise, ...]:
    """Every row of the arpeggios: up, down, and up and down."""
    exercises: list[Exercise] = []
    for row in ARPEGGIOS.strip().splitlines():
        tonic, triad, hand_name, column = row.split()
        hand = HANDS[hand_name]
        fingers = tuple(column.split(","))
        pitches = arpeggio(NoteName.parse(tonic), hand, triad)
        name = f"{tonic} {triad} arpeggio {hand_name}"
        exercises.append(Exercise(f"{name} up", row, hand, pitches, tuple(each[:7] for each in fingers)))
        exercises.append(Exercise(f"{name} down", row, hand, pitches[::-1], tuple(each[6:] for each in fingers)))
        exercises.append(Exercise(f"{name} up and down", row, hand, up_and_down(pitches), fingers))
    return tuple(exercises)
