"""How a Result is shown; no arithmetic here."""
