"""Paints what core.drawing lays out, and the small controls that every workspace shares."""
