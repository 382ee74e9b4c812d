"""Make the samples of the built-in piano from the model in `core.sound.piano_model`.

Run by name from the top of a checkout, with SoX (with its Ogg Vorbis format) on the path::

    python assets/piano/make_piano.py

Every third key is struck softly and hard and written beside this script as ``<key>_<velocity>.ogg``, stereo,
44,100 frames a second, each at its own peak of `PEAK`; ``piano.json`` names them and the factor that gives each
the loudness its key has at velocity 80. Nothing is random from run to run. It takes about three minutes.

The samples are this project's own work and under its licence; SoX is needed here only, never to play.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from core.sound.piano_model import RATE, synthesise

HERE = Path(__file__).resolve().parent
ROOTS = (*range(22, 107, 3), 108)
LAYERS = (40, 112)
PEAK = 0.9
VORBIS_QUALITY = "6"
LARGEST = 4_000_000
"""Bytes that all samples together may take."""


def encode(samples: np.ndarray, path: Path) -> None:
    """Write samples as Ogg Vorbis through SoX; raises CalledProcessError where it fails."""
    raw = ["-t", "raw", "-r", str(RATE), "-e", "floating-point", "-b", "32", "-c", "2", "-"]
    command = ["sox", "-D", *raw, "-C", VORBIS_QUALITY, "-t", "ogg", str(path)]
    subprocess.run(command, input=samples.astype("<f4").tobytes(), check=True)


def main() -> None:
    """Make every sample and the list of them."""
    index, size = [], 0
    for key in ROOTS:
        for velocity in LAYERS:
            sound = synthesise(key, velocity)
            peak = float(np.abs(sound).max())
            path = HERE / f"{key:03d}_{velocity:03d}.ogg"
            encode(sound * PEAK / peak, path)
            size += path.stat().st_size
            index.append({"key": key, "velocity": velocity, "file": path.name, "gain": round(peak / PEAK, 6)})
            sys.stderr.write(f"\r{path.name}  {size / 1e6:.2f} MB")
    sys.stderr.write("\n")
    if size > LARGEST:
        sys.exit(f"The samples take {size} bytes; they may take {LARGEST}.")
    listing = {"rate": RATE, "samples": index}
    (HERE / "piano.json").write_text(json.dumps(listing, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
