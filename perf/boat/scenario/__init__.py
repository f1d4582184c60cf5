"""Everything of one boat in one file."""
