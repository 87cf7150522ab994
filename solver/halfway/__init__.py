"""A plan and what was counted on the piece in; what it will measure and what is left to do out."""
