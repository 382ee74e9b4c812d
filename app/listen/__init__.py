"""The Listen workspace: hearing parts, run-throughs and the song."""
