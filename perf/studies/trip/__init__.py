"""Fuel for a trip and how far out she may go."""
