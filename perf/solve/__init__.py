"""What a boat does: at rest, in balance, driven, over the hump."""
