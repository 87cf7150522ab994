"""Pages in; text, Markdown, HTML and SVG out. They know blocks and drawings, nothing of items."""
