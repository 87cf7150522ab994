"""Many asks and one kit in; who gets which setup, and in which order on each loom, out."""
