"""Tests of app/camera."""
