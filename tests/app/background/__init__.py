"""Tests of app/background."""
