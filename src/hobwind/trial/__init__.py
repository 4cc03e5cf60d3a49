"""A real fire, measured: its log read, set beside the computed evening, and used to correct what was guessed."""
