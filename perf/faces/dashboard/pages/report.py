"""Report."""

from perf.faces.dashboard.reporting import show_page

show_page()
