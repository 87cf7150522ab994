"""Pages to follow at the loom, as text, Markdown and HTML. They know blocks and drawings, nothing of items."""
