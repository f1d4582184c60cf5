"""What everything rests on: units, sources, cautions, columns, results; no boats here."""
