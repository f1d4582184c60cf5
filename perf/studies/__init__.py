"""What a person decides: each study takes boats and returns one Result."""
