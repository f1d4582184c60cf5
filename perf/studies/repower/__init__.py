"""Which engine and propeller, is it allowed, does it pay, and how sure."""
