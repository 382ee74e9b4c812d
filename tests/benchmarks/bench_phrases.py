"""Phrase boundaries against the Essen folk songs, region by region.

Run by name: ``python -m tests.benchmarks.bench_phrases``. Protocol: `essen_phrases`. Compared with two simple rules
under the same protocol: a boundary after every rest, and one every two bars from the first note.
"""

from __future__ import annotations

import sys
import time

from core.teaching.boundaries import PHRASE_LIKELY, boundary_strengths
from tests.benchmarks.essen_phrases import REGIONS, Tune, tunes_of
from tests.benchmarks.results import keep, show

TARGETS = {"Erk": 0.88, "other German": 0.84, "Lorraine": 0.78, "China": 0.60}


def by_strength(tune: Tune) -> list[bool]:
    """The answer of the project."""
    return [strength >= PHRASE_LIKELY for strength in boundary_strengths(tune.notes, tune.bars)]


def after_rests(tune: Tune) -> list[bool]:
    """A boundary after every rest."""
    ends = [0, *(onset + duration for onset, duration, _ in tune.notes)]
    return [note[0] > end for note, end in zip(tune.notes, ends, strict=False)]


def every_two_bars(tune: Tune) -> list[bool]:
    """A boundary every two bars, counted from the first note."""
    return [(onset - tune.notes[0][0]) % (2 * tune.metre.bar_ticks) == 0 for onset, _, _ in tune.notes]


METHODS = {"phrasebench": by_strength, "after every rest": after_rests, "every two bars": every_two_bars}


def scores(tunes: list[Tune], answers: list[list[bool]]) -> dict[str, float]:
    """Precision, recall and F1 over every note but the first, pooled over songs."""
    pairs = [
        pair for tune, answer in zip(tunes, answers, strict=True) for pair in zip(tune.starts, answer, strict=True)
    ]
    firsts = len(tunes)
    hits = sum(truth and said for truth, said in pairs) - sum(answer[0] for answer in answers)
    said = sum(said for _, said in pairs) - sum(answer[0] for answer in answers)
    true = sum(truth for truth, _ in pairs) - firsts
    return {
        "precision": round(hits / max(1, said), 4),
        "recall": round(hits / max(1, true), 4),
        "F1": round(2 * hits / max(1, said + true), 4),
    }


def main() -> int:
    """Print and keep the table."""
    figures: dict[str, object] = {}
    show(f"{'region':14} {'songs':>5}  {'method':18} {'P':>6} {'R':>6} {'F1':>6}  to reach")
    seconds, notes = 0.0, 0
    for region in REGIONS:
        tunes = [tune for tune in tunes_of(region) if tune.is_test]
        if not tunes:
            show("music21's corpus is not here; nothing measured")
            return 0
        here: dict[str, object] = {"songs": len(tunes), "to reach": TARGETS.get(region)}
        for method, answer in METHODS.items():
            began = time.perf_counter()
            answers = [answer(tune) for tune in tunes]
            if method == "phrasebench":
                seconds += time.perf_counter() - began
                notes += sum(len(tune.notes) for tune in tunes)
            found = scores(tunes, answers)
            here[method] = found
            target = TARGETS.get(region, "") if method == "phrasebench" else ""
            show(
                f"{region:14} {len(tunes):5}  {method:18} {found['precision']:6.3f} {found['recall']:6.3f} "
                f"{found['F1']:6.3f}  {target}"
            )
        figures[region] = here
    figures["microseconds a note"] = round(1e6 * seconds / notes, 1)
    show(f"{1e6 * seconds / notes:.1f} microseconds a note")
    keep("phrases", figures)
    return 0


if __name__ == "__main__":
    sys.exit(main())
