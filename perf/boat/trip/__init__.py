"""The trip file: stops, loads and pace, read, checked and written."""
