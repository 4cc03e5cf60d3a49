"""Questions asked of a build: each a function from a build to a small result."""
