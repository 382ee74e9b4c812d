"""Playback: a process of its own for sound, MIDI ports and their clock, and how the program talks to it."""
