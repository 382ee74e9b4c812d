"""The lesson that is open: its song, its file, its history of changes."""
