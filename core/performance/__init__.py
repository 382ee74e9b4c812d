"""From a song to timed events, and the pure state of playback."""
