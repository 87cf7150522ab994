"""Random tests draw the same asks whatever else is loaded."""

from hypothesis.internal.conjecture import providers

# hypothesis mixes in constants of every module of the project that happens to be imported, so that a derandomised test
# would draw other asks alone than in a full run. Where a later hypothesis has no such thing, nothing is lost.
if hasattr(providers, "_get_local_constants"):
    providers._get_local_constants = lambda: providers._local_constants
