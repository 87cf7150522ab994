"""From an ask in whole numbers to ranked, proven setups, a clash, or undecided."""
