"""The desktop program and the command line of Phrasebench, thin over core."""
