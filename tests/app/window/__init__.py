"""Tests of app/window."""
