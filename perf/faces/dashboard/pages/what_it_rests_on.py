"""What it rests on."""

from perf.faces.dashboard.basis import show_page

show_page()
