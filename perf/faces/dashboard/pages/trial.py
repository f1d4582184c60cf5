"""Sea trial."""

from perf.faces.dashboard.trying import show_page

show_page()
