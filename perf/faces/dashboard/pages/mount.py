"""Hanging the engine."""

from perf.faces.dashboard.hanging import show_page

show_page()
