"""The Songs workspace: the lessons of a folder."""
