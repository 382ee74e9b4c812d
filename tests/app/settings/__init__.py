"""Tests of app/settings."""
