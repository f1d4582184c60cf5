"""How she runs."""

from perf.faces.dashboard.running import show_page

show_page()
