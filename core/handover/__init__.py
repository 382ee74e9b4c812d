"""The files that leave the program for the lesson: the session plan."""
