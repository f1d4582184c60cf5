"""Hanging the engine: how far back, how high, and what it does at rest and under way."""
