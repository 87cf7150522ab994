"""Why not, and what instead: the smallest clash, the least repairs, what each loom allows, and runs of sizes."""
