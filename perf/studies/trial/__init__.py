"""A sea trial that makes the estimate this boat's own."""
