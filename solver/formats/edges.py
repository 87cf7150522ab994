"""How a piece comes off its pegs, drawn frame by frame: passed over, sewn with the needle, gathered off."""

from solver.formats.edge_rows import EdgeShape
from solver.formats.gathered import gathered
from solver.formats.passed_over import passed_over
from solver.formats.sewn import sewn
from solver.formats.strands import EdgePicture

KINDS = {"passed over": passed_over, "sewn": sewn, "gathered": gathered}


def edge_picture(shape: EdgeShape) -> EdgePicture:
    """The frames of an edge of at least three pegs."""
    return EdgePicture(shape.kind, tuple(KINDS[shape.kind](shape)))
