"""What goes on paper: the report, the card to hang by, the sheets to take aboard."""
