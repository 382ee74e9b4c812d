"""Fingers against handbooks, against the published model, against every fingering there is, and against the clock.

Run by name: ``python -m tests.benchmarks.bench_fingering``. Sources of the rows are told in
`tests.reference.handbook_fingerings` and `tests.reference.test_fingering_published_model`. The plain published model
(Parncutt et al. 1997) has unit weights and one line; its left hand is the right hand on a mirrored keyboard, as ours.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from itertools import product
from math import prod

from core.song.hand_profile import HandProfile
from core.song.note import Hand, Note
from core.song.part import in_order
from core.song.pitch import Pitch
from core.teaching.fingering import finger_line
from core.teaching.fingering_passage import MIRROR, moments_of
from core.teaching.fingering_search import best_grips, cost_of, steps_of
from core.teaching.fingering_weights import POINT
from core.teaching.published_fingering_model import best_fingering, sub_costs
from tests.benchmarks.results import keep, show
from tests.reference.handbook_fingerings import EIGHTH, Exercise, arpeggio_exercises, scale_exercises
from tests.reference.test_fingering_handbook import agreement
from tests.reference.test_fingering_published_model import CYCLIC, FRAGMENTS, ROWS

SPELLED = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
HANDS = HandProfile()
REACH = HANDS.reach(Hand.RIGHT)
PHRASES = 24
MOST_FINGERINGS = 100_000
SIZES = (500, 1000, 2000)


def pitch(midi: int) -> Pitch:
    """A pitch on a key."""
    return Pitch.parse(f"{SPELLED[midi % 12]}{midi // 12 - 1}")


def ours(notes: Sequence[Note], hand: Hand) -> str:
    """The fingers of the project."""
    return "".join(str(fingered.finger) for fingered in finger_line(notes, hand, HANDS))


def published(notes: Sequence[Note], hand: Hand) -> str:
    """The fingers of the published model with unit weights."""
    midis = [note.pitch.midi if hand is Hand.RIGHT else MIRROR - note.pitch.midi for note in notes]
    return "".join(map(str, best_fingering(midis)))


def rows_alike(exercises: Sequence[Exercise], answer: Callable[[Sequence[Note], Hand], str]) -> int:
    """How many exercises come out as printed or as a listed variant."""
    return sum(answer(exercise.notes, exercise.hand) in exercise.fingerings for exercise in exercises)


def handbook() -> dict[str, object]:
    """Rows of the tables, alone and inside longer melodies."""
    scales, arpeggios = scale_exercises(), arpeggio_exercises()
    figures: dict[str, object] = {}
    show(f"{'as printed or a listed variant':40} {'of':>5} {'ours':>6} {'published':>9}")
    for name, exercises in (("scales", scales), ("arpeggios", arpeggios)):
        mine, theirs = rows_alike(exercises, ours), rows_alike(exercises, published)
        figures[name] = {"exercises": len(exercises), "ours": mine, "published model": theirs}
        show(f"{name:40} {len(exercises):5} {mine:6} {theirs:9}")
    alone = [exercise for exercise in (*scales, *arpeggios) if "up and down" not in exercise.name]
    for rest, name in ((0, "no rest"), (EIGHTH, "eighth rests"), (2 * EIGHTH, "quarter rests")):
        shares = [agreement(alone, rest, seed) for seed in range(1901, 1906)]
        figures[f"notes alike inside melodies, {name}"] = [round(share, 4) for share in shares]
        show(f"inside longer melodies, {name:16} {' '.join(f'{share:.3f}' for share in shares)}  to reach .900")
    return figures


def published_totals() -> dict[str, object]:
    """The published model against its own printed figures."""
    exact = sum(
        sub_costs(FRAGMENTS[row[0]], [int(finger) for finger in row[1]], cyclic=row[0] in CYCLIC).total == int(row[2])
        for row in ROWS
    )
    show(f"published totals reproduced: {exact} of {len(ROWS)}")
    figures: dict[str, object] = {"totals": len(ROWS), "reproduced": exact}
    for name, midis in FRAGMENTS.items():
        printed = min(int(row[2]) for row in ROWS if row[0] == name)
        if name in CYCLIC:
            every = product((1, 2, 3, 4, 5), repeat=len(midis))
            found = min(sub_costs(midis, fingers, cyclic=True).total for fingers in every)
        else:
            found = sub_costs(midis, best_fingering(midis)).total
        figures[f"fragment {name}"] = {"best found": found, "published best": printed}
        show(f"fragment {name}: best found {found}, published best {printed}")
    return figures


def phrase(chance: random.Random) -> tuple[Note, ...]:
    """A phrase of seven moments for one hand; one in five is a chord of two or three notes."""
    midi, notes = 66, []
    for place in range(7):
        midi = max(55, min(79, midi + chance.choice((-5, -4, -3, -2, -1, 1, 2, 3, 4, 5))))
        above = chance.sample((3, 4, 5, 7), chance.choice((1, 2))) if chance.random() < 0.2 else []
        notes += [Note(place * EIGHTH, EIGHTH, pitch(midi + interval)) for interval in (0, *above)]
    return in_order(notes)


def brute_force() -> dict[str, object]:
    """The search against every fingering of short phrases."""
    chance = random.Random(1997)
    gaps: list[float] = []
    searched, tried = 0.0, 0.0
    while len(gaps) < PHRASES:
        moments = moments_of(phrase(chance), Hand.RIGHT, REACH)
        if prod(len(moment.grips) for moment in moments) > MOST_FINGERINGS:
            continue
        began = time.perf_counter()
        steps = steps_of(moments, REACH)
        found = cost_of(moments, steps, best_grips(moments, steps))
        between = time.perf_counter()
        least = min(cost_of(moments, steps, grips) for grips in product(*(moment.grips for moment in moments)))
        searched, tried = searched + between - began, tried + time.perf_counter() - between
        gaps.append((found - least) / POINT)
    show(
        f"{PHRASES} phrases of 7 moments: the search costs at most {max(gaps)} points more than the best of all "
        f"fingerings, in {1e3 * searched / PHRASES:.2f} ms against {1e3 * tried / PHRASES:.0f} ms"
    )
    return {
        "phrases": PHRASES,
        "largest gap in points": max(gaps),
        "milliseconds searched": round(1e3 * searched / PHRASES, 3),
        "milliseconds trying all": round(1e3 * tried / PHRASES, 1),
    }


def two_hands(count: int) -> dict[Hand, tuple[Note, ...]]:
    """A song of so many notes: a tune with rests, and chords and broken chords under it."""
    chance = random.Random(60)
    right: list[Note] = []
    left: list[Note] = []
    onset, midi = 0, 67
    while len(right) < count * 2 // 3:
        midi = max(57, min(84, midi + chance.choice((-7, -4, -3, -2, -2, -1, -1, 0, 1, 1, 2, 2, 3, 4, 7))))
        length = chance.choice((EIGHTH, EIGHTH, 2 * EIGHTH))
        right.append(Note(onset, length, pitch(midi)))
        onset += length + (2 * EIGHTH if chance.random() < 0.05 else 0)
    onset = 0
    while len(left) < count - len(right):
        root = chance.randrange(41, 53)
        tones = [root, root + chance.choice((3, 4)), root + 7]
        if chance.random() < 0.5:
            left += [Note(onset, 8 * EIGHTH, pitch(tone), Hand.LEFT) for tone in tones]
        else:
            order = (0, 2, 1, 2, 0, 2, 1, 2)
            left += [Note(onset + i * EIGHTH, EIGHTH, pitch(tones[o]), Hand.LEFT) for i, o in enumerate(order)]
        onset += 8 * EIGHTH
    return {Hand.RIGHT: tuple(right), Hand.LEFT: in_order(left[: count - len(right)])}


def speed() -> dict[str, object]:
    """Both hands of songs of growing length, beside the plain published model on as many single notes."""
    figures: dict[str, object] = {}
    show(f"{'notes':>6} {'both hands, ms':>15} {'published model, ms':>20}")
    for size in SIZES:
        song = two_hands(size)
        mine, theirs = [], []
        for _ in range(5):
            began = time.process_time()
            for hand, notes in song.items():
                finger_line(notes, hand, HANDS)
            between = time.process_time()
            for hand, notes in song.items():
                published(notes, hand)
            mine.append(between - began)
            theirs.append(time.process_time() - between)
        own, other = 1e3 * statistics.median(mine), 1e3 * statistics.median(theirs)
        figures[f"{size} notes"] = {"ours, ms": round(own, 1), "published model, ms": round(other, 1)}
        show(f"{size:6} {own:15.1f} {other:20.1f}")
    return figures


def main() -> int:
    """Print and keep the tables."""
    keep(
        "fingering",
        {
            "published model": published_totals(),
            "handbook": handbook(),
            "every fingering tried": brute_force(),
            "speed": speed(),
        },
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
