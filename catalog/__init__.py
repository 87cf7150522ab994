"""What exists: units, kits, yarns, kinds of section, items, bodies. Never imports `solver`."""
