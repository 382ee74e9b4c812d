"""Tests of app/songs."""
