"""Changes to a song, one file for each kind: a song and arguments in, a new song or an EditError out."""
