"""Tests of app/draft."""
