"""What is computed becomes paper on the bench: threads, templates, clamp, guard stack-up, wiring, order of building."""
