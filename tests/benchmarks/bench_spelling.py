"""Names for bare MIDI numbers: Bach's chorales and the two-staff piano works of music21's corpus.

Run by name: ``python -m tests.benchmarks.bench_spelling``. A note is right where its name is the score's. Notes are
named twice: under the signature that the score begins with, and bare, under the key that is found from the notes.
Compared with ps13s1 (Meredith 2006, windows of 10 notes before and 42 after) on the same notes, implemented here from
its published description; he reports 99.44 % on his own eight works by classical composers. Since ps13s1 knows no key
it may name a whole piece a diminished second off; that is forgiven to both sides (where it matters it is counted).
The half of the chorales that the weights were learned from is shown apart.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence

from core.song.key import Key
from core.theory.key_changes import find_keys
from core.theory.spelling import spell
from tests.benchmarks.results import keep, show
from tests.benchmarks.spelled_works import PIANO_WORKS, SpelledWork, chorale_paths, is_here, is_test, read_works

TARGET = 0.994
PUBLISHED = 0.9944
BEFORE, AFTER = 10, 42
STEPS = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)
"""Diatonic steps of each semitone above a tonic (Meredith 2006)."""
FIRST = (0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6)
"""Letter, counted from A, that ps13 gives the first note, by its semitones above A."""
LETTERS, ABOVE_A = "ABCDEFG", (0, 2, 3, 5, 7, 8, 10)


def ps13s1(midis: Sequence[int]) -> list[int]:
    """Meredith's first stage: each key in the window votes for the letter that the note has in it as tonic."""
    classes = [(midi - 21) % 12 for midi in midis]
    tonics = [(FIRST[classes[0]] - STEPS[(classes[0] - tonic) % 12]) % 7 for tonic in range(12)]
    names: list[int] = []
    for index, own in enumerate(classes):
        votes = [0] * 7
        for other in classes[max(0, index - BEFORE) : index + AFTER]:
            votes[(STEPS[(own - other) % 12] + tonics[other]) % 7] += 1
        letter = max(range(7), key=lambda step: votes[step])
        alteration = (own - ABOVE_A[letter] + 6) % 12 - 6
        names.append("FCGDAEB".index(LETTERS[letter]) - 1 + 7 * alteration)
    return names


def under_signature(work: SpelledWork) -> list[int]:
    """The answer of the project where the signature is known."""
    key = Key.of_signature(work.fifths)
    pitches = spell([note[2] for note in work.notes], key, [note[0] for note in work.notes])
    return [pitch.name.fifths for pitch in pitches]


def bare(work: SpelledWork) -> list[int]:
    """The answer of the project from the numbers alone."""
    keys = [(tick, guess.key) for tick, guess in find_keys([note[:3] for note in work.notes])]
    pitches = spell([note[2] for note in work.notes], keys[0][1], [note[0] for note in work.notes], keys[1:])
    return [pitch.name.fifths for pitch in pitches]


def as_ps13s1(work: SpelledWork) -> list[int]:
    """The reference."""
    return ps13s1([note[2] for note in work.notes])


METHODS = {"under the signature": under_signature, "bare": bare, "ps13s1": as_ps13s1}


def wrong(work: SpelledWork, names: list[int]) -> int:
    """How many names are not the score's, the whole piece moved by a diminished second where that is better."""
    return min(
        sum(fifths != name + moved for (_, _, _, fifths), name in zip(work.notes, names, strict=True))
        for moved in (0, -12, 12)
    )


def table(title: str, works: list[SpelledWork], figures: dict[str, object], each: bool = False) -> dict[str, float]:
    """Print and return the share of right names of each method; `each` prints every work."""
    notes = sum(len(work.notes) for work in works)
    mistakes: dict[str, list[int]] = {}
    seconds: dict[str, float] = {}
    for method, answer in METHODS.items():
        began = time.perf_counter()
        mistakes[method] = [wrong(work, answer(work)) for work in works]
        seconds[method] = round(time.perf_counter() - began, 3)
    if each:
        for index, work in enumerate(works):
            row = "  ".join(f"{method} {mistakes[method][index]:4}" for method in METHODS)
            show(f"  {work.path:40} {len(work.notes):6} notes; wrong: {row}")
    shares = {method: round(1 - sum(found) / notes, 5) for method, found in mistakes.items()}
    show(f"{title:34} {notes:7} notes  " + "  ".join(f"{method} {share:.4%}" for method, share in shares.items()))
    figures[title] = {"works": len(works), "notes": notes, "right": shares, "seconds": seconds}
    return shares


def main() -> int:
    """Print and keep the table."""
    if not is_here():
        show("music21 and its corpus are not installed.")
        return 1
    chorales = list(read_works(chorale_paths()))
    held_out = [work for work in chorales if is_test(work.path)]
    piano = list(read_works(list(PIANO_WORKS)))
    figures: dict[str, object] = {"published ps13s1": PUBLISHED, "to reach": TARGET}
    table("chorales learned from", [work for work in chorales if not is_test(work.path)], figures)
    judged = {"chorales": table("chorales held out", held_out, figures)}
    judged["two-staff works"] = table("two-staff works, held out", piano, figures, each=True)
    table("two-staff works without Schoenberg", [w for w in piano if "schoenberg" not in w.path], figures)
    judged["all"] = table("all held out", held_out + piano, figures)
    for what, shares in judged.items():
        # Chorales are most of the notes, so that the pooled figure alone would hide the piano works.
        show(f"to reach {TARGET:.2%}, {what}: {'reached' if shares['bare'] >= TARGET else 'not reached'}")
    keep("spelling", figures)
    return 0


if __name__ == "__main__":
    sys.exit(main())
