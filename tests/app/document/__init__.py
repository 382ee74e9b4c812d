"""Tests of app/document."""
