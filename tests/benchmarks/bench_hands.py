"""The hand of each note: against pieces with a track a hand, and against the staves of music21's piano works.

Run by name: ``python -m tests.benchmarks.bench_hands``. The pieces with a track a hand are those that the trees were
learned from, so that the project's own figures on them are taken from the cross-validation kept by
``train_hands --measure`` (each piece judged by trees that never saw it or its opus); the simple methods beside it are
measured here, on the same notes. Without the folder that `two_hand_pieces` names these rows are skipped.

In music21's works the staff stands for the hand, which it is not always: a composer writes the right hand's notes in
the lower staff where ledger lines would be too many. Speed is measured on the longest piece, cut to several lengths.
"""

from __future__ import annotations

import io
import json
import sys
import time
import zipfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import music21

from core.formats.registry import read_song
from core.song.note import Hand
from core.teaching.hands import assign_hands
from tests.benchmarks.former_hands import assign_hands as beam_search
from tests.benchmarks.results import FOLDER as RESULTS
from tests.benchmarks.results import keep, show
from tests.benchmarks.two_hand_pieces import FOLDER, TwoHandPiece, two_hand_pieces

Sounding = Sequence[tuple[int, int, int]]
MIDDLE_C = 60
LENGTHS = (500, 1000, 2000, 4000, 8000)
TARGETS = {"right": 0.955, "right where not flagged": 0.985, "flagged": 0.15}


def split_at(key: int, notes: Sounding) -> list[Hand]:
    """Everything from a key up to the right hand."""
    return [Hand.RIGHT if midi >= key else Hand.LEFT for _, _, midi in notes]


def best_split(piece: TwoHandPiece) -> list[Hand]:
    """The fixed split that suits the piece best, which knows the answer."""
    splits = [split_at(key, piece.notes) for key in range(36, 85)]
    return max(splits, key=lambda hands: share(hands, piece.hands))


def share(said: Sequence[Hand], true: Sequence[Hand]) -> float:
    """The share of notes that are right."""
    return sum(one is other for one, other in zip(said, true, strict=True)) / len(true)


METHODS: dict[str, Callable[[TwoHandPiece], list[Hand]]] = {
    "split at middle C": lambda piece: split_at(MIDDLE_C, piece.notes),
    "best fixed split of the piece": best_split,
    "former beam search": lambda piece: [guess.hand for guess in beam_search(piece.notes)],
}


def compared(pieces: list[TwoHandPiece]) -> dict[str, object]:
    """The simple methods, pooled and as the mean over pieces."""
    kept: dict[str, object] = {}
    for title, method in METHODS.items():
        shares = [share(method(piece), piece.hands) for piece in pieces]
        notes = [len(piece.notes) for piece in pieces]
        pooled = sum(one * number for one, number in zip(shares, notes, strict=True)) / sum(notes)
        kept[title] = {"right": round(pooled, 4), "mean over pieces": round(sum(shares) / len(shares), 4)}
        show(f"{title:34} {pooled:.3f}  mean over pieces {sum(shares) / len(shares):.3f}")
    return kept


def staff_works() -> Iterator[TwoHandPiece]:
    """The works of music21's corpus that are one part on two staves, as the project reads them."""
    corpus = Path(music21.__file__).parent / "corpus"
    for path in sorted(path for path in corpus.rglob("*") if path.suffix in (".mxl", ".xml", ".musicxml")):
        data = path.read_bytes()
        text = unpacked(data)
        if text.count(b"<score-part ") != 1 or b"<staves>2</staves>" not in text:
            continue
        song = read_song(path.name, data).song
        placed = sorted(song.placed_notes(), key=lambda one: (one[0], one[1].pitch.midi))
        if {note.hand for _, note in placed if note.hand_given} == set(Hand):
            name = str(path.relative_to(corpus))
            notes = tuple((onset, note.duration, note.pitch.midi) for onset, note in placed)
            yield TwoHandPiece(name, name, notes, tuple(note.hand for _, note in placed))


def unpacked(data: bytes) -> bytes:
    """The text of a score, compressed or not."""
    if not zipfile.is_zipfile(io.BytesIO(data)):
        return data
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        names = [name for name in packed.namelist() if not name.startswith("META-INF")]
        return packed.read(names[0])


def against_staves() -> list[dict[str, object]]:
    """A row for each work."""
    rows: list[dict[str, object]] = []
    show(f"\n{'against the staff':44} {'notes':>6} {'right':>6} {'flagged':>8} {'unflagged':>9} {'beam':>6}")
    for piece in staff_works():
        guesses = assign_hands(piece.notes)
        sure = [index for index, guess in enumerate(guesses) if not guess.is_doubtful]
        right = share([guess.hand for guess in guesses], piece.hands)
        unflagged = (
            share([guesses[index].hand for index in sure], [piece.hands[index] for index in sure]) if sure else 0
        )
        beam = share([guess.hand for guess in beam_search(piece.notes)], piece.hands)
        flagged = 1 - len(sure) / len(guesses)
        rows.append(
            {
                "work": piece.name,
                "notes": len(guesses),
                "right": round(right, 4),
                "flagged": round(flagged, 4),
                "right where not flagged": round(unflagged, 4),
                "former beam search": round(beam, 4),
            }
        )
        show(f"{piece.name:44} {len(guesses):6} {right:6.3f} {flagged:8.3f} {unflagged:9.3f} {beam:6.3f}")
    return rows


def seconds(notes: Sounding) -> dict[str, object]:
    """Processor seconds for several lengths."""
    assign_hands(notes[:100])
    kept: dict[str, object] = {}
    for length in (length for length in LENGTHS if length <= len(notes)):
        times = []
        for _ in range(3):
            began = time.process_time()
            assign_hands(notes[:length])
            times.append(time.process_time() - began)
        kept[f"{length} notes"] = round(min(times), 4)
        show(f"{length:6} notes {min(times):.3f} s of processor time")
    return kept


def main() -> int:
    """Print and keep the tables."""
    figures: dict[str, object] = {"to reach": TARGETS}
    pieces = two_hand_pieces()
    learned = RESULTS / "hands_learned.json"
    if learned.exists():
        figures["cross-validated"] = json.loads(learned.read_text(encoding="utf-8"))
    if pieces:
        figures["beside it"] = compared(pieces)
        figures["speed"] = seconds(max(pieces, key=lambda piece: len(piece.notes)).notes)
    else:
        show(f"{FOLDER} is not set: skipped")
    figures["against the staff, which is not always the hand"] = against_staves()
    keep("hands", figures)
    return 0


if __name__ == "__main__":
    sys.exit(main())
