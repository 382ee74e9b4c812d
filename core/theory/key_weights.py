"""Weights for finding keys: figures only, written by tests/benchmarks/train_key_finding.py.

Learned from one half of the European songs of the Essen Folksong Collection (Schaffrath 1995) and of the fiddle
tunes that lie in music21's corpus; no tune or part of one is in it. Each row has a kind of evidence
(`core.theory.key_finding.EVIDENCE`), each of its figures a semitone above the tonic; the first table is for major
keys, the second for minor ones. The profiles are the shares of the sounding time that each semitone above the tonic
has, in major and in minor songs.
"""

from typing import Final

WEIGHTS: Final = (
    (
        (4.99, -2.60, -0.58, -5.93, 5.75, 2.15, -5.39, 4.62, -3.12, 0.46, -5.42, 1.73),
        (3.86, 0.08, 0.05, -1.87, 3.22, -1.83, -1.96, 2.80, -0.83, -1.01, -0.74, -1.53),
        (2.43, 1.26, -0.22, -0.18, 0.31, -0.55, -1.07, 0.17, -0.09, -0.78, 0.26, -1.28),
        (0.15, -1.78, 0.10, 0.13, -0.22, 0.51, -0.24, 0.15, 0.38, 0.15, 1.02, -0.10),
        (1.02, -0.11, -0.30, -0.12, 0.97, -0.65, -0.91, 1.69, -0.20, -0.31, 0.14, -0.98),
        (0.81, -0.18, 0.41, -1.20, 0.51, -0.29, -0.56, 0.97, 0.48, -0.65, 0.35, -0.40),
    ),
    (
        (4.16, -2.95, 1.16, 5.68, -5.35, 1.80, -2.15, 3.77, -0.97, -1.30, -0.51, -0.00),
        (1.76, -1.37, 0.10, 0.53, -2.26, 0.49, -0.58, 3.28, -0.01, -1.27, -0.64, -0.28),
        (2.75, -0.31, -0.03, -0.64, 0.45, -0.70, -0.09, 0.02, -0.47, -0.79, -0.42, -0.03),
        (0.31, 0.78, 0.17, -0.31, -0.31, -1.00, 0.35, 0.09, -0.28, -0.06, 0.12, -0.11),
        (0.94, -0.42, 0.34, -0.52, -0.51, 0.03, -0.11, 1.41, -1.22, 0.70, -0.08, -0.82),
        (0.80, -1.10, -0.02, -0.01, -0.93, -0.62, -0.33, 1.52, 1.09, -0.89, 0.39, -0.16),
    ),
)
BIAS: Final = (0.25, -0.25)
PROFILES: Final = (
    (0.2080, 0.0006, 0.1559, 0.0004, 0.1985, 0.0958, 0.0029, 0.2183, 0.0005, 0.0714, 0.0015, 0.0464),
    (0.2175, 0.0040, 0.1440, 0.1681, 0.0017, 0.1299, 0.0013, 0.2080, 0.0282, 0.0160, 0.0637, 0.0175),
)
