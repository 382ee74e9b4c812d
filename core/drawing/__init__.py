"""Lesson sheet, keyboard and chord pictures laid out as shapes, and an SVG writer for them."""
