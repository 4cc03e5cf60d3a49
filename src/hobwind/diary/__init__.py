"""The fan's winters: what it was, what was measured, how long it was too hot, and what to look after next."""
