"""Tests of app/listen."""
