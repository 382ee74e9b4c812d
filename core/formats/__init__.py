"""Files in and out: bytes to a song, a song to bytes."""
