"""`show`: the whole catalogue can be seen, and every number in it is signed."""

from catalog.figure import figures
from catalog.item import item_names, kinds, sourced
from catalog.source import FLAGS
from tests.command import pegwright


def test_every_number_has_a_flag_and_what_is_published_a_source() -> None:
    """Figures, recipes and kinds: flags are the four known ones; pub and mem name their source, practice says so."""
    rows = [(name, f.flag, f.source) for name, f in figures().items()]
    rows += [(where, flag, source) for where, _, flag, source in sourced()]
    assert len(rows) > 100
    for where, flag, source in rows:
        assert flag in FLAGS, where
        assert source or flag == "own", where
        assert flag != "practice" or "no source" in source, where


def test_each_page_of_the_catalogue_shows_what_there_is() -> None:
    """Items, yarns, stitches, bodies, rules and sources print, and name what they hold."""
    for page, names in {
        "items": item_names(),
        "yarns": ["super bulky", "acrylic", "1.31"],
        "stitches": kinds(),
        "bodies": ["newborn", "adult-man", "ANSUR II"],
        "rules": ["boards-on-hand", "pin-strands"],
        "sources": ["kw_dry", "Munden", "gather extra", "WHO", "common practice"],
    }.items():
        ran = pegwright("show", page)
        assert ran.code == 0
        for name in names:
            assert name in ran.out, (page, name)
        assert max(len(line) for line in ran.out.splitlines()) <= 80


def test_an_unknown_schema_names_the_nearest() -> None:
    """`show schema fnd` is bad input."""
    ran = pegwright("show", "schema", "fnd")
    assert ran.code == 2
    assert 'did you mean "find"?' in ran.err
