"""The slowest tests, by how their names begin: `make slow` runs them, `make test` all others.

Each stands beside faster tests of the same; together they would keep `make test` from ending
within a quarter of an hour.
"""

#: Members whose sections deform beside published figures; the validation book has them all.
_CHECKS = ("taper_J", "lag_sixboom", "lag_reissner_udl", "lag_karman", "um_")
#: Long jobs of the documentation.
_DOCUMENTS = ("docs/walkway.md",)
_OWN_CHANGE = "test_what_the_member_says_of_its_own_change_holds"
#: Twice solved, these take longest; their displacements and stresses are held by `make test`.
_TWICE = ("haunched-and-stepped", "tapered-web-and-flanges", "tapered-web")
#: The desk in a browser: what is dragged, refused, undone, saved, cut, pushed and heard in other
#: ways than the tests beside these.
_IN_A_BROWSER = (
    "test_keeping.py::test_a_reload",
    "test_keeping.py::test_an_edit_outside_appears",
    "test_keeping.py::test_a_new_sheet",
    "test_shaping.py::test_a_file_shows",
    "test_shaping.py::test_a_drag_is_one_step",
    "test_shaping.py::test_keys_move",
    "test_shaping.py::test_typing",
    "test_shaping.py::test_numbers_are_marked_stale",
    "test_shaping.py::test_a_screen_reader",
    "test_ways.py::test_membranes",
    "test_ways.py::test_the_membrane_drawn",
    "test_ways.py::test_sections_scaled",
    "test_ways.py::test_films",
    "test_ways.py::test_it_fits",
    "test_ways.py::test_the_projector",
)

SLOW = (
    *(f"tests/test_checks.py::test_check[{name}" for name in _CHECKS),
    *(f"tests/test_readme.py::test_the_document_runs[{name}]" for name in _DOCUMENTS),
    *(f"tests/page/desk/{name}" for name in _IN_A_BROWSER),
    *(f"tests/deforming/test_against_elasticity.py::{_OWN_CHANGE}[{name}]" for name in _TWICE),
)
