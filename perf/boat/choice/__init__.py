"""Candidates for a repower and the duty of a season, read into boats."""
