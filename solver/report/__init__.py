"""The published models and nothing else: what --json prints, tables draw and pages show."""
