"""A kit and a wish in; options in plain measures out, and plans that are kept in a file."""
