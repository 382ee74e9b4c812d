"""Chords suggested under a melody that has none: a first draft for the teacher's ear, never a statement of the source.

Every half bar (every bar where the metre has no half) gets one of the chords of `core.theory.harmony_weights`. What
speaks for a chord: how the melody's notes there, before and after lie above its root (length, beat, longest note),
where the half bar stands in its group of four and of eight bars and from the end of the tune (the tonic ends, the
dominant comes before it), and which chord comes before it, told apart at a bar line and inside a bar. These weights
are those of a linear-chain conditional random field (Lafferty, McCallum and Pereira 2001), learned from major-key
lead sheets by tests/benchmarks/train_harmonies.py. The forward and backward sums give each chord's likelihood in each
cell; a Viterbi search then takes the chords that are likeliest to be right, a new one only where it gains enough.
In minor and its kin a chord has the weights of the major chord whose function it has (i those of I, iv of IV, VI of
vi, III of iii; common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from core.song.chord import ChordSymbol, Quality
from core.song.key import Key, Mode
from core.song.metre import Bar
from core.song.song import Song
from core.theory.harmony_weights import CHORDS, PLACES, STEPS_AT_BAR, STEPS_INSIDE, TONES
from core.theory.spelling import name_in_key

Floats = NDArray[np.float64]
SoundingNote = tuple[int, int, int]
"""Onset in ticks, duration in ticks, MIDI number."""

MAJOR, DOMINANT, MINOR, DIMINISHED = range(4)
EVIDENCE: Final = ("share", "beat", "longest", "before", "after")
PLACE_COUNT: Final = 28
_QUALITIES: Final = (Quality.MAJOR, Quality.DOMINANT, Quality.MINOR, Quality.DIMINISHED)
_IN_MINOR: Final = {
    (0, MAJOR): (0, MINOR),
    (7, DOMINANT): (7, DOMINANT),
    (7, MAJOR): (7, MAJOR),
    (5, MAJOR): (5, MINOR),
    (2, MINOR): (2, DIMINISHED),
    (9, MINOR): (8, MAJOR),
    (4, MINOR): (3, MAJOR),
    (10, MAJOR): (10, MAJOR),
}
"""Semitones above the tonic and family of a chord in major, and of the one with its function in minor."""
_CHANGE_COST: Final = (0.02, 0.15)
"""By how much likelier the root must become that a new chord is worth it, at a bar line and inside a bar."""

_WHOLE_CHORD: Final = 0.2
"""What it is worth that the whole chord is right, where its root being right is worth 1."""


class SuggestedChord(Struct, frozen=True):
    """A suggested chord and how likely its root is to be what a lead sheet would have.

    Attributes:
        onset: ticks from the song's start.
        duration: ticks.
        symbol: its name.
        confidence: 0 … 1.
    """

    onset: int
    duration: int
    symbol: ChordSymbol
    confidence: float


class Cell(Struct, frozen=True):
    """A stretch that has one chord: its start and end in ticks, its bar's number, and whether it begins inside it."""

    onset: int
    end: int
    bar: int
    inside: bool


def suggest_chords(song: Song) -> tuple[SuggestedChord, ...]:
    """The chords suggested under a song's plain melody; () where it has no melody.

    A pick-up has none, and neither have whole bars before the melody begins. Equal neighbours are one chord.
    """
    notes = [(onset, note.duration, note.pitch.midi) for onset, note in song.placed_notes() if note.melody]
    notes = [note for note in notes if note[1] > 0]
    cells = cells_of(song.bars)
    while (
        cells
        and notes
        and not any(onset < cells[0].end and onset + lasting > cells[0].onset for onset, lasting, _ in notes)
    ):
        cells = cells[1:]
    if not notes or not cells:
        return ()
    keys = [song.key_at(cell.onset) for cell in cells]
    path, sure = _best_path(notes, cells, keys)
    found: list[SuggestedChord] = []
    start = 0
    for index in range(1, len(cells) + 1):
        if index < len(cells) and path[index] == path[start] and keys[index] == keys[start]:
            continue
        root, family = path[start]
        symbol = _symbol(root, family, keys[start])
        confidence = round(min(1.0, float(sure[start:index].mean())), 3)
        found.append(SuggestedChord(cells[start].onset, cells[index - 1].end - cells[start].onset, symbol, confidence))
        start = index
    return tuple(found)


def cells_of(bars: Sequence[Bar]) -> tuple[Cell, ...]:
    """The halves of bars with four beats or another even number from there on, and of 2/2; other bars whole."""
    cells: list[Cell] = []
    for bar in bars:
        if bar.number == 0 or not bar.duration:
            continue
        half = bar.metre.bar_ticks // 2
        beats = bar.metre.beats
        if bar.duration > half and ((beats >= 4 and beats % 2 == 0) or (bar.metre.count, bar.metre.unit) == (2, 2)):
            middle = bar.onset + half
            cells += [Cell(bar.onset, middle, bar.number, inside=False), Cell(middle, bar.end, bar.number, inside=True)]
        else:
            cells.append(Cell(bar.onset, bar.end, bar.number, inside=False))
    return tuple(cells)


def evidence(notes: Sequence[SoundingNote], cells: Sequence[Cell], tonics: Sequence[int]) -> Floats:
    """What the melody says in each cell: cells x kinds of EVIDENCE x semitones above the tonic.

    Args:
        notes: the melody in order of onset, each with a duration.
        cells: in order.
        tonics: pitch class of the tonic in each cell.
    """
    found = np.zeros((len(cells), len(EVIDENCE), 12))
    first = 0
    for index, cell in enumerate(cells):
        length = cell.end - cell.onset
        while first < len(notes) and notes[first][0] + notes[first][1] <= cell.onset:
            first += 1
        longest = (0, 0)
        for onset, lasting, midi in notes[first:]:
            if onset >= cell.end:
                break
            held = min(cell.end, onset + lasting) - max(cell.onset, onset)
            if held <= 0:
                continue
            degree = (midi - tonics[index]) % 12
            found[index, 0, degree] += held / length
            if onset <= cell.onset:
                found[index, 1, degree] += 1.0
            elif 2 * (onset - cell.onset) == length:
                found[index, 1, degree] += 0.5
            longest = max(longest, (held, degree), key=lambda one: one[0])
        if longest[0]:
            found[index, 2, longest[1]] = 1.0
    found[1:, 3] = found[:-1, 0]
    found[:-1, 4] = found[1:, 0]
    return found


def places(cells: Sequence[Cell], empty: Sequence[bool]) -> Floats:
    """Where each cell stands: cells x PLACE_COUNT of 0 and 1.

    Always 1; place in four bars and in which half; place in eight bars; place in the last four bars from the end and
    in which half; the first; the last; without a note.
    """
    found = np.zeros((len(cells), PLACE_COUNT))
    found[:, 0] = 1.0
    last = cells[-1].bar
    for index, (cell, is_empty) in enumerate(zip(cells, empty, strict=True)):
        found[index, 1 + 2 * ((cell.bar - 1) % 4) + cell.inside] = 1.0
        found[index, 9 + (cell.bar - 1) % 8] = 1.0
        if last - cell.bar < 4:
            found[index, 17 + 2 * (last - cell.bar) + cell.inside] = 1.0
        found[index, 27] = float(is_empty)
    found[0, 25] = found[-1, 26] = 1.0
    return found


@lru_cache(maxsize=2)
def _chords_in(mode: str) -> tuple[tuple[tuple[int, int], ...], Floats, Floats, Floats]:
    """The chords to choose from, their weights for tones and places, and for steps (bar line and inside)."""
    if mode == "major":
        kept, chords = list(range(len(CHORDS))), list(CHORDS)
    else:
        kept = [index for index, chord in enumerate(CHORDS) if chord in _IN_MINOR]
        chords = [_IN_MINOR[CHORDS[index]] for index in kept]
        if mode == Mode.DORIAN.value:
            chords = [(5, MAJOR) if chord == (5, MINOR) else (2, MINOR) if chord[0] == 2 else chord for chord in chords]
    tied = np.array(TONES).reshape(4, len(EVIDENCE), 12)
    tones = np.stack([np.roll(tied[family], root, axis=1).ravel() for root, family in chords])
    steps = np.stack([np.array(STEPS_AT_BAR), np.array(STEPS_INSIDE)])[:, kept][:, :, kept]
    return tuple(chords), tones, np.array(PLACES)[kept], steps


def _best_path(
    notes: Sequence[SoundingNote], cells: Sequence[Cell], keys: Sequence[Key]
) -> tuple[list[tuple[int, int]], Floats]:
    """Root above the tonic and family of each cell's chord, and how likely that root is."""
    key = max(keys, key=keys.count)
    mode = "major" if not key.is_minor_like else Mode.DORIAN.value if key.mode is Mode.DORIAN else "minor"
    chords, tones, by_place, steps = _chords_in(mode)
    seen = evidence(notes, cells, [one.tonic.pitch_class for one in keys])
    where = places(cells, [not share.any() for share in seen[:, 0]])
    scores = seen.reshape(len(cells), -1) @ tones.T + where @ by_place.T
    inside = [int(cell.inside) for cell in cells]
    sure = _chances(scores, steps, inside)
    roots = np.array([root for root, _ in chords])
    same_root = (roots[:, None] == roots).astype(np.float64)
    by_root = sure @ same_root
    worth = by_root + _WHOLE_CHORD * sure
    change = -np.array(_CHANGE_COST)[:, None, None] * (1.0 - np.eye(len(chords)))
    path = _viterbi(worth, change, inside)
    confidence = by_root[np.arange(len(path)), path]
    return [chords[chosen] for chosen in path], confidence


def _viterbi(scores: Floats, steps: Floats, inside: Sequence[int]) -> list[int]:
    best = scores[0]
    back: list[NDArray[np.intp]] = []
    for index in range(1, len(scores)):
        ways = best[:, None] + steps[inside[index]]
        came = ways.argmax(axis=0)
        back.append(came)
        best = ways[came, np.arange(len(came))] + scores[index]
    path = [int(best.argmax())]
    for came in reversed(back):
        path.append(int(came[path[-1]]))
    return path[::-1]


def _chances(scores: Floats, steps: Floats, inside: Sequence[int]) -> Floats:
    """How likely each chord is in each cell, all ways through the song considered."""
    likely = np.exp(scores - scores.max(axis=1, keepdims=True))
    going = np.exp(steps)
    forward = likely.copy()
    forward[0] /= forward[0].sum()
    for index in range(1, len(scores)):
        forward[index] *= forward[index - 1] @ going[inside[index]]
        forward[index] /= forward[index].sum()
    backward = np.ones_like(scores)
    for index in range(len(scores) - 2, -1, -1):
        backward[index] = going[inside[index + 1]] @ (likely[index + 1] * backward[index + 1])
        backward[index] /= backward[index].sum()
    both = forward * backward
    return np.asarray(both / both.sum(axis=1, keepdims=True), dtype=np.float64)


def _symbol(root: int, family: int, key: Key) -> ChordSymbol:
    name = name_in_key((key.tonic.pitch_class + root) % 12, key)
    return ChordSymbol(name, _QUALITIES[family], 7 if family == DOMINANT else 5)
