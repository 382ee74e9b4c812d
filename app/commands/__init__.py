"""The command line: each command reads its words, calls core, and says what came of it.

Standard output carries results alone; everything said about them goes to standard error, one line each. Errors, notes
and progress are said in the language chosen. The texts of ``--help`` stay English: the library that makes them reads
them where the commands are declared and sets them among headings of its own, which are English too. So do its own
complaints about a command line that means nothing.
"""
