"""Tests of app/widgets."""
