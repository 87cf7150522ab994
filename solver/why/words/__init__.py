"""A clash and its repairs in; the sentences that a person reads out."""
