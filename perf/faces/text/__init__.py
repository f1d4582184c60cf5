"""A result in plain lines for a terminal."""
