"""The slowest tests, by how their names begin: `make slow` runs them, `make test` all others.

Each stands beside faster tests of the same; together they would keep `make test` from ending
within a quarter of an hour.
"""

#: Members whose sections deform beside published figures; the validation book has them all.
_CHECKS = ("taper_J", "lag_sixboom", "lag_reissner_udl", "lag_karman", "um_")
#: Long jobs of the documentation.
_DOCUMENTS = ("docs/odd-deck", "docs/stress-contours", "docs/walkway")
#: Twice solved, these take longest; their displacements and stresses are held by `make test`.
_OWN_CHANGE = "test_what_the_member_says_of_its_own_change_holds"
#: The desk in a browser: what is dragged, refused, undone, saved, cut, pushed and heard in other
#: ways than the tests beside these.
_IN_A_BROWSER = (
    "test_campaign.py::",
    "test_ways.py::test_parts_in_contact",
    "test_keeping.py::test_a_reload",
    "test_keeping.py::test_an_edit_outside_is_not",
    "test_shaping.py::test_undo",
    "test_ways.py::test_axe_finds_no_barrier[light",
    "test_ways.py::test_a_lesson",
    "test_ways.py::test_a_cut",
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
    "test_members.py::test_a_box_without_diaphragms",
    "test_export.py::",
    "test_touch_and_drop.py::",
    "test_members.py::test_a_member_of_fewer",
    "test_ways.py::test_sections_come_and_go",
    "test_ways.py::test_a_second_click",
)
#: Live pages in a browser, in other ways than `test_browser` and `test_live_data`.
_LIVE_PAGES = (
    "tests/page/test_barriers.py::",
    "tests/page/test_browser.py::test_axe_finds_no_barrier[dark",
    "tests/page/test_live_member.py::",
    "tests/page/test_live_section.py::",
    "tests/page/test_live_shape.py::",
    "tests/page/test_peak_points.py::",
)
#: Others that take longest.
_OTHERS = (
    "tests/api/test_notebook_session.py::",
    "tests/cli/test_demo.py::test_every_member_example_solves_and_is_drawn[curved-landing",
    "tests/cli/test_joints_printed.py::test_cases_have_an_envelope",
    "tests/cli/test_member_command.py::test_the_figure_shows_the_combination",
    "tests/deforming/test_against_elasticity.py::test_stresses_are_those_of_elasticity[haunched",
    "tests/desk/test_conversation.py::test_a_member_by_both_theories",
    "tests/desk/test_staged_sight.py::test_it_is_told",
    "tests/desk/test_staged_sight.py::test_its_report",
    "tests/desk/test_conversation.py::test_what_is_seen_is_exported[report",
    "tests/desk/test_lessons.py::test_distortion",
    "tests/geometry/test_boolean.py::test_set_identities",
    "tests/geometry/test_boolean.py::test_agrees_with_shapely",
    "tests/member/test_faces.py::test_a_member_with_faces",
    "tests/member/test_mismatch.py::test_the_table_leaves_out",
    "tests/member_deforming/test_both_theories.py::test_plates_and_frames",
    "tests/page/desk/test_members.py::test_a_member_is_added_to",
    "tests/study/test_fitting.py::test_most_of_the_ranges",
    "tests/study/test_fitting.py::test_stability_is_a_limit",
    "tests/study/test_size.py::test_the_closest_miss",
    "tests/study/test_size.py::test_the_lightest_are",
    "tests/study/test_sweep.py::test_a_cluster_needs",
    "tests/cli/test_demo.py::test_every_member_example_solves_and_is_drawn[landing-",
    "tests/cli/test_demo.py::test_every_member_example_solves_and_is_drawn[girder-with-",
    "tests/cli/test_study_output_unit.py::",
    "tests/critical/test_local_and_distortional.py::test_a_beam_that_steps",
    "tests/critical/test_braced.py::test_braced_members_as_in_elasticity[fork-",
    "tests/critical/test_braced.py::test_braced_members_as_in_elasticity[deck-on-top",
    "tests/critical/test_braced.py::test_thick_diaphragms",
    "tests/desk/test_conversation.py::test_an_edit_is_solved",
    "tests/influence/test_envelope_command.py::test_member_command",
    "tests/influence/test_envelope_command.py::test_surfaces",
    "tests/section/test_many_vertices.py::test_layers_go",
    "tests/study/test_cluster.py::test_a_row_that_kills",
    "tests/study/test_cluster.py::test_a_study_on_a_cluster",
    "tests/study/test_confirmation.py::",
    "tests/study/test_moving_loads.py::test_a_range_is_searched",
    "tests/deforming/test_against_elasticity.py::test_displacements_are_those_of_elasticity[haunched",
    *(
        f"tests/deforming/test_against_elasticity.py::test_{what}_are_those_of_elasticity[{case}"
        for what in ("displacements", "stresses")
        for case in ("curved-box-haunch", "taper-between-steps")
    ),
    "tests/desk/test_conversation.py::test_following_an_edit",
    "tests/desk/test_conversation.py::test_a_drawing_that_is_dropped",
    "tests/geometry/test_boolean.py::test_results_move_turn",
    "tests/joint/test_member_joints.py::test_table_record_csv_and_page",
    "tests/member/test_mismatch.py::test_a_stress_that_still_changes",
)

SLOW = (
    *(f"tests/test_checks.py::test_check[{name}" for name in _CHECKS),
    *(f"tests/test_readme.py::test_the_document_runs[{name}" for name in _DOCUMENTS),
    *_LIVE_PAGES,
    *_OTHERS,
    *(f"tests/page/desk/{name}" for name in _IN_A_BROWSER),
    f"tests/deforming/test_against_elasticity.py::{_OWN_CHANGE}",
)

#: Files that take minutes, first, so that neither process is left alone with one at the end.
LONGEST = ("tests/test_readme.py", "tests/page/", "tests/desk/", "tests/cli/test_demo.py")
