"""Tests that take long, whose ground others cover in part: LONG_TESTS=1 runs them, too."""

LONG = (
    "tests/proof/test_design_space.py::test_checking_never_crashes_and_always_gives_reasons",
    "tests/checks/test_seal.py::test_every_proposal_applied_passes",
    "tests/test_calliper_input.py::test_every_command",
    "tests/exchange/test_files.py::test_same_bytes_on_a_second_run_and_in_a_second_process",
    "tests/test_cli.py::test_a_failing_design_is_written_marked_and_ends_with_1",
    "tests/test_graft_cli.py::test_assembly_keeps_names_colours_and_bytes",
    "tests/test_graft_cli.py::test_files_that_are_no_tank_end_with_2",
    "tests/report/test_layout.py::test_design_sheets_of_random_designs",
    "tests/report/test_layout.py::test_all_sheets_of_the_examples[irrigation_drain]",
    "tests/report/test_layout.py::test_all_sheets_of_the_examples[brewery_vent]",
    "tests/interface/test_scripting.py::test_types_take_plain_numbers_and_find_misspellings",
    "tests/house/test_budget.py",
    "tests/benchmarks",
    "tests/solids/test_every_processor.py::test_solids_have_the_same_bytes[brewery_vent.toml]",
    "tests/page/test_live.py::test_files_are_made_and_offered",
    "tests/tolerance/test_advice.py::test_opening_what_is_called_harmless_is_harmless",
    "tests/solids/test_graft.py::test_fillet_on_any_wall",
    "tests/proof/test_floating_space.py",
    "tests/developed/test_region.py::test_against_brute_force[irrigation_drain",
)
"""Beginnings of their names."""
