"""The log of a sea trial: any table of rpm, speed and burn, read into steady runs."""
