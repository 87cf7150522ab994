"""What stands on a sheet and how it is said: steps in words, figures and drawings, pictures of the choice."""
