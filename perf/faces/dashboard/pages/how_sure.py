"""How sure."""

from perf.faces.dashboard.surety import show_page

show_page()
