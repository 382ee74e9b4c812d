"""The domain: pitch, key, metre, tempo, note, chord, part, song, hand profile and the errors they raise."""
