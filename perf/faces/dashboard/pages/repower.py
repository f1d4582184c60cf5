"""Which engine."""

from perf.faces.dashboard.weighing import show_page

show_page()
