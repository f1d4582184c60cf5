"""Published laws as plain array functions, one phenomenon a file."""
