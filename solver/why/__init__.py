"""An ask without a setup in; the smallest clash and the least repairs out. What each loom allows, runs of sizes."""
