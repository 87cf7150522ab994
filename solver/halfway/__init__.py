"""A second look half-way: what a piece will really measure, the rows still to work, the yarn, starting again."""
