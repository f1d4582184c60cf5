"""A trip."""

from perf.faces.dashboard.tripping import show_page

show_page()
