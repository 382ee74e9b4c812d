"""Hypothesis strategies for the domain: anything that a song may hold, in small."""

from __future__ import annotations

import json
from itertools import accumulate, pairwise

from hypothesis import strategies as st
from msgspec.structs import replace

from core.song.chord import Chord, ChordSymbol
from core.song.hand_profile import HandProfile
from core.song.key import Key, KeyChange, Mode
from core.song.metre import Metre, MetreChange
from core.song.note import Extra, Hand, Note
from core.song.part import OwnWords, Part, Teaching, in_order
from core.song.pattern_grid import Grid, OwnPattern
from core.song.pitch import LETTERS, NoteName, Pitch
from core.song.song import Song
from core.song.standing import STATES, Standing
from core.song.tempo import TempoChange
from core.song.time import TICKS_PER_QUARTER
from core.theory.chord_symbols import parse_chord

SUFFIXES = (
    "",
    "m",
    "7",
    "maj7",
    "m7",
    "m7b5",
    "dim7",
    "aug",
    "sus4",
    "6",
    "6/9",
    "add9",
    "7b9",
    "9",
    "13",
    "mMaj7",
    "5",
)

grids = st.builds(
    Grid.parse,
    st.sampled_from(("R 5 8 5", "R+5 - . C", "5_ . L M H U", "10 -")),
    st.sampled_from((1, 2)),
    compound=st.booleans(),
)
names_of_patterns = st.lists(st.sampled_from("XYZ"), max_size=2, unique=True)
note_names = st.builds(NoteName, st.sampled_from(LETTERS), st.integers(-2, 2))
keys = st.builds(Key.of_signature, st.integers(-7, 7), st.sampled_from(Mode))
metres = st.builds(Metre, st.integers(2, 9), st.sampled_from((2, 4, 8)))
tempos = st.integers(400, 2400).map(lambda tenths: tenths / 10)
texts = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=12)
moments = st.sampled_from((0, 1, 2520, 3360, 5040, 6720, 7560, 10080, 13440, 15120, 20160, 25200, 30240, 40320))
lengths = st.sampled_from((0, 1, 1440, 2016, 2520, 3360, 5040, 7560, 10080, 12600, 15120, 20160, 30240, 40320, 50400))


@st.composite
def pitches(draw: st.DrawFn, lowest: int = 21, highest: int = 108) -> Pitch:
    """A pitch on the piano's keys."""
    midi = draw(st.integers(lowest, highest))
    names = [NoteName(letter, sign) for letter in LETTERS for sign in (-2, -1, 0, 1, 2)]
    name = draw(st.sampled_from([name for name in names if name.pitch_class == midi % 12]))
    return Pitch.named(name, midi)


@st.composite
def chord_symbols(draw: st.DrawFn) -> ChordSymbol:
    """A chord symbol as people write them."""
    root = draw(st.builds(NoteName, st.sampled_from(LETTERS), st.integers(-1, 1)))
    bass = draw(st.none() | st.builds(NoteName, st.sampled_from(LETTERS), st.integers(-1, 1)))
    symbol = parse_chord(root.plain + draw(st.sampled_from(SUFFIXES)))
    return symbol if bass is None or bass == root else replace(symbol, bass=bass)


@st.composite
def extras(draw: st.DrawFn) -> Extra:
    """Fields that no version knows."""
    names = draw(st.lists(st.sampled_from(("colour", "x-mark", "später")), max_size=2, unique=True))
    values = st.none() | st.booleans() | st.integers(-9, 9) | texts | st.lists(st.integers(0, 3), max_size=2)
    return tuple((name, json.dumps(draw(values), ensure_ascii=False)) for name in names)


@st.composite
def notes(draw: st.DrawFn, before: int, *, with_extras: bool = True) -> Note:
    """A note that begins before a moment."""
    return Note(
        onset=draw(moments.filter(lambda moment: moment < before)),
        duration=draw(lengths),
        pitch=draw(pitches()),
        hand=draw(st.sampled_from(Hand)),
        hand_given=draw(st.booleans()),
        melody=draw(st.booleans()),
        finger=draw(st.none() | st.integers(1, 5)),
        extra=draw(extras()) if with_extras else (),
    )


@st.composite
def chords(draw: st.DrawFn, length: int, *, with_extras: bool = True) -> tuple[Chord, ...]:
    """Chords of a part of some length, in order."""
    edges = sorted({moment for moment in draw(st.lists(moments, max_size=4)) if moment < length})
    placed = []
    for onset, end in pairwise([*edges, length]) if edges else ():
        continued = onset == 0 and draw(st.booleans())
        extra = draw(extras()) if with_extras else ()
        voicing = draw(st.sampled_from((None, None, "root", "nearest")))
        given = not with_extras or draw(st.booleans())
        placed.append(Chord(onset, end - onset, draw(chord_symbols()), continued, extra, voicing, given))
    return tuple(placed)


@st.composite
def teachings(draw: st.DrawFn) -> Teaching:
    """A teacher's choices for a part."""
    kinds = draw(st.lists(st.sampled_from(("right_hand", "left_hand", "together")), max_size=2, unique=True))
    return Teaching(
        taught=draw(st.booleans()),
        pattern=draw(st.sampled_from(("block", "broken", "octaves"))),
        harmony=draw(st.sampled_from(("none", "thirds"))),
        tempo=draw(st.none() | tempos),
        words=tuple(OwnWords(kind, draw(texts), draw(st.booleans())) for kind in kinds),
        voicing=draw(st.sampled_from(("root", "nearest"))),
        rhythm=draw(st.sampled_from(("written", "early", "late", "repeated"))),
        pedal=draw(st.booleans()),
    )


@st.composite
def parts(draw: st.DrawFn, *, with_extras: bool = True) -> Part:
    """A part of one to four bars of common time, give or take."""
    length = draw(st.sampled_from((5040, 10080, 40320, 45360, 80640)))
    placed = draw(st.lists(notes(length, with_extras=with_extras), max_size=5))
    return Part(
        length,
        in_order(placed),
        draw(chords(length, with_extras=with_extras)),
        draw(teachings()),
        draw(extras()) if with_extras else (),
    )


@st.composite
def standings(draw: st.DrawFn) -> Standing:
    """How far a lesson has come."""
    days = st.one_of(st.just(""), st.dates().map(str))
    return Standing(draw(st.sampled_from(STATES)), draw(texts), draw(days), draw(st.booleans()))


@st.composite
def songs(draw: st.DrawFn, *, with_extras: bool = True) -> Song:
    """A song of one to three parts."""
    placed = draw(st.lists(parts(with_extras=with_extras), min_size=1, max_size=3))
    length = sum(part.duration for part in placed)
    first_metre = draw(metres)
    changes = sorted(draw(st.sets(st.integers(1, max(1, length // TICKS_PER_QUARTER)), max_size=2)))
    later = [quarter * TICKS_PER_QUARTER for quarter in changes if quarter * TICKS_PER_QUARTER < length]
    pickup = draw(st.sampled_from([moment for moment in (0, 5040, 10080) if moment < first_metre.bar_ticks]))
    return Song(
        title=draw(texts),
        parts=tuple(placed),
        keys=tuple(KeyChange(onset, draw(keys), draw(st.booleans())) for onset in (0, *later)),
        metres=(MetreChange(0, first_metre), *(MetreChange(onset, draw(metres)) for onset in later if onset > pickup)),
        tempos=tuple(TempoChange(onset, draw(tempos), draw(st.booleans())) for onset in (0, *later)),
        pickup=pickup,
        playing_order=tuple(draw(st.lists(st.integers(1, len(placed)), min_size=1, max_size=5))),
        section=draw(texts),
        composer=draw(texts),
        rights=draw(texts),
        hands=HandProfile(draw(st.integers(7, 17)), draw(st.integers(7, 17))),
        standing=draw(standings()),
        extra=draw(extras()) if with_extras else (),
        patterns=tuple(OwnPattern(name, (draw(grids),)) for name in draw(names_of_patterns)),
    )


def part_starts(song: Song) -> list[int]:
    """Where the parts of a song begin, and where it ends."""
    return list(accumulate((part.duration for part in song.parts), initial=0))
