"""How far to trust it: laws beside published rows, boats beside what was measured."""
