"""Arrangement: left-hand patterns, and a full arrangement made plain."""
