"""What each word of the command does."""
