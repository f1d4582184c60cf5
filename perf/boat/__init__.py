"""What a boat is, how it is read, and many boats as arrays."""
