"""Harmony and spelling: intervals, chord tones, chord symbols, keys, voicing."""
