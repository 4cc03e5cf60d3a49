"""From a build to arrays, and from arrays to temperatures: the compiled kernel and what wraps it."""
