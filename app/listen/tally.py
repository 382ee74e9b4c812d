"""What became of the notes that a player was to play, in a sentence."""

from __future__ import annotations

from collections import Counter
from typing import Final

from app.engine.protocol import KeyJudged

FAULTS: Final = (
    ("early", "came early"),
    ("late", "came late"),
    ("missed", "missed"),
    ("wrong", "wrong"),
)


class Tally:
    """Counts verdicts as they come."""

    def __init__(self) -> None:
        self._counts: Counter[str] = Counter()

    def take(self, report: KeyJudged) -> None:
        """Count one more."""
        self._counts[report.verdict] += 1

    @property
    def sentence(self) -> str:
        """How it went; empty where nothing was played."""
        counts = self._counts
        played = counts["right"] + counts["early"] + counts["late"]
        if not played and not counts["wrong"]:
            return ""
        meant = played + counts["missed"]
        faults = [f"{counts[verdict]} {words}" for verdict, words in FAULTS if counts[verdict]]
        if counts["apart"]:
            apart = counts["apart"]
            faults.append("hands apart once" if apart == 1 else f"hands apart {apart} times")
        told = f"You played {played} of {meant} {'note' if meant == 1 else 'notes'}"
        return f"{told}; {', '.join(faults)}." if faults else f"{told}, all in time."
