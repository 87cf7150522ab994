"""A plan in; what is done to the loops on the loom out, step by step, in no words yet."""
