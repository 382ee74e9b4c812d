"""The command line: each command reads its words, calls core, and says what came of it.

Standard output carries results alone; everything said about them goes to standard error, one line each.
"""
