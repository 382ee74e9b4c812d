"""The desktop program and the command line of Phrasebench, thin over core."""

__version__ = "0.1.0"
