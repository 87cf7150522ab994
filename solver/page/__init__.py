"""A plan's steps in; what stands on a page out: words, figures and drawings."""
