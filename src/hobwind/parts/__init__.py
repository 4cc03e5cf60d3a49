"""Parts: what they are, and where they are looked up."""
