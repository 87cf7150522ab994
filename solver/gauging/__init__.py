"""Swatches in; stitch width, row height and yarn per stitch of any setting out, each with how sure it is."""
