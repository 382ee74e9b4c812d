"""Learn the weights of core/theory/key_weights.py from tunes with known keys.

Run by name: ``python -m tests.benchmarks.train_key_finding``. It needs scipy (among the extras for tests) and about a
minute. It learns from the halves of `keyed_tunes` that are not tested on: every European folk song counts once,
every fiddle tune three tenths, since their repeated strains need not end on the tonic. The model is a logistic
regression over 24 keys (12 tonics, major and minor) with weights shared between tonics.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from core.theory.key_finding import EVIDENCE, evidence
from tests.benchmarks.keyed_tunes import KeyedTune, european_songs, fiddle_tunes
from tests.benchmarks.results import show

Floats = NDArray[np.float64]

FIDDLE_WEIGHT = 0.3
SHRINKAGE = 0.3
"""How strongly weights are drawn to 0 (the square penalty's factor)."""
MODULE = Path(__file__).parents[2] / "core" / "theory" / "key_weights.py"

HEAD = '''"""Weights for finding keys: figures only, written by tests/benchmarks/train_key_finding.py.

Learned from one half of the European songs of the Essen Folksong Collection (Schaffrath 1995) and of the fiddle
tunes that lie in music21's corpus; no tune or part of one is in it. Each row has a kind of evidence
(`core.theory.key_finding.EVIDENCE`), each of its figures a semitone above the tonic; the first table is for major
keys, the second for minor ones. The profiles are the shares of the sounding time that each semitone above the tonic
has, in major and in minor songs.
"""

from typing import Final

'''


def seen_from_every_tonic(tune: KeyedTune) -> Floats:
    """The evidence of a tune as each of twelve tonics sees it: 12 rows."""
    found = np.array(evidence(tune.notes))
    return np.array([np.roll(found, -tonic, axis=1).ravel() for tonic in range(12)])


def learn(seen: Floats, right: NDArray[np.int64], counts: Floats) -> Floats:
    """Weights (major and minor, the bias last) that make the right keys likeliest."""
    size = seen.shape[2]

    def loss(flat: Floats) -> tuple[float, Floats]:
        weights = flat.reshape(2, size + 1)
        scores = np.stack([seen @ row[:size] + row[size] for row in weights], axis=2).reshape(len(seen), 24)
        scores -= scores.max(axis=1, keepdims=True)
        chances = np.exp(scores)
        chances /= chances.sum(axis=1, keepdims=True)
        every = np.arange(len(seen))
        cost = -(counts * np.log(chances[every, right])).sum()
        slope = chances.copy()
        slope[every, right] -= 1
        slope = (slope * counts[:, None]).reshape(-1, 12, 2)
        slopes = [
            np.append(np.einsum("nt,ntd->d", slope[:, :, minor], seen), slope[:, :, minor].sum()) for minor in (0, 1)
        ]
        return float(cost + SHRINKAGE * (flat**2).sum() / 2), np.concatenate(slopes) + SHRINKAGE * flat

    start: Any = np.zeros(2 * (size + 1))
    return np.asarray(minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 500}).x)


def figures(values: Floats, places: int = 2) -> str:
    """Numbers as they stand in a module."""
    return ", ".join(f"{value:.{places}f}" for value in values)


def profiles(songs: list[KeyedTune]) -> list[Floats]:
    """The mean share of the time of each semitone above the tonic, in major and in minor songs."""
    found: tuple[list[Floats], list[Floats]] = ([], [])
    for song in songs:
        share = np.array(evidence(song.notes)[EVIDENCE.index("share")])
        found[song.is_minor].append(np.roll(share, -song.key.tonic.pitch_class))
    return [np.mean(shares, axis=0) for shares in found]


def main() -> int:
    """Learn, and write the module."""
    songs = [tune for tune in european_songs() if not tune.is_test]
    tunes = [tune for tune in fiddle_tunes() if not tune.is_test]
    if not songs:
        show("music21 and its corpus are not installed.")
        return 1
    learned_from = songs + tunes
    seen = np.array([seen_from_every_tonic(tune) for tune in learned_from])
    minor = [tune.is_minor for tune in songs] + [tune.key.is_minor_like for tune in tunes]
    right = np.array(
        [2 * tune.key.tonic.pitch_class + low for tune, low in zip(learned_from, minor, strict=True)], dtype=np.int64
    )
    counts = np.array([1.0] * len(songs) + [FIDDLE_WEIGHT] * len(tunes))
    weights = learn(seen, right, counts).reshape(2, -1)
    tables = "".join(
        "    (\n" + "".join(f"        ({figures(row)}),\n" for row in table[:-1].reshape(-1, 12)) + "    ),\n"
        for table in weights
    )
    shares = "".join(f"    ({figures(profile, 4)}),\n" for profile in profiles(songs))
    MODULE.write_text(
        f"{HEAD}WEIGHTS: Final = (\n{tables})\nBIAS: Final = ({figures(weights[:, -1])})\n"
        f"PROFILES: Final = (\n{shares})\n",
        encoding="utf-8",
    )
    show(f"{len(EVIDENCE)} kinds of evidence, {len(songs)} songs and {len(tunes)} fiddle tunes: {MODULE.name} written")
    return 0


if __name__ == "__main__":
    sys.exit(main())
