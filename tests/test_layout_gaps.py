"""Layouts that clinic.toml puts into the model's rows without code: each test is one habit of some clinic."""

from datetime import date

import intake
import pytest
from intake import STAY, laid
from unsnag.errors import UnsnagError
from unsnag.workspace import load


def findings(folder) -> list[tuple]:
    return intake.rows(
        folder,
        "select case_number, finding, finding_date, item_number from stage.findings order by row_number, block_number, "
        "item_number",
    )


def test_repeated_columns_are_written_once(tmp_path):
    block = '[[source.procedure]]\nrepeat = 3\nprocedure = "did {n}"\nprocedure_date = "on {n}"\n'
    export = "no,in,did 1,on 1,did 2,on 2,did 3,on 3\nA1,1/2/2023,fluids,1/2/2023,,,watch,3/2/2023\n"
    assert intake.rows(
        laid(tmp_path, block, export),
        "select procedure, procedure_date, block_number from stage.procedures order by block_number",
    ) == [("fluids", date(2023, 2, 1), 1), ("watch", date(2023, 2, 3), 3)]


def test_repeated_columns_may_be_told_apart_by_words(tmp_path):
    block = '[[source.procedure]]\nrepeat = ["first", "second"]\nprocedure = "{n} treatment"\n'
    export = "no,in,first treatment,second treatment\nA1,1/2/2023,fluids,watch\n"
    rows = intake.rows(laid(tmp_path, block, export), "select procedure from stage.procedures order by 1")
    assert rows == [("fluids",), ("watch",)]


def test_repeat_without_a_place_for_the_number_is_a_slip(tmp_path):
    block = '[[source.procedure]]\nrepeat = 3\nprocedure = "did"\n'
    with pytest.raises(UnsnagError, match=r"source.1.procedure: repeat needs numbers or words, and \{n\}"):
        load(laid(tmp_path, block, "no,in,did\n"))


FACTS = (
    '[[source.finding]]\nfacts = { column = "films", between = ";", form = "{finding_date}: {finding}" }\n'
)


def test_several_dated_facts_in_one_cell_are_rows(tmp_path):
    export = "no,in,films\nA1,1/2/2023,3/2/2023: hook in place; 10/2/2023 : not moved;\nA2,1/2/2023,\n"
    assert findings(laid(tmp_path, FACTS, export)) == [
        ("A1", "hook in place", date(2023, 2, 3), 1),
        ("A1", "not moved", date(2023, 2, 10), 2),
    ]


def test_a_fact_that_fits_no_form_is_kept_whole_to_be_asked(tmp_path):
    export = "no,in,films\nA1,1/2/2023,3/2/2023: gone; film lost\n"
    rows = findings(laid(tmp_path, FACTS, export))
    assert rows == [("A1", "gone", date(2023, 2, 3), 1), ("A1", "film lost", None, 2)]


def test_facts_without_a_parting_sign_begin_with_their_day(tmp_path):
    block = '[[source.finding]]\nfacts = { column = "films", form = "{finding_date} {finding}" }\n'
    export = 'no,in,films\nA1,1/2/2023,"3/2/2023 in place 4 Feb 2023 moved, 2 cm 2023-02-05 09:30 gone"\n'
    assert findings(laid(tmp_path, block, export)) == [
        ("A1", "in place", date(2023, 2, 3), 1),
        ("A1", "moved, 2 cm", date(2023, 2, 4), 2),
        ("A1", "gone", date(2023, 2, 5), 3),
    ]


def test_of_several_forms_the_first_that_fits_is_read(tmp_path):
    block = (
        '[[source.finding]]\nfinding = { constant = "lead_level" }\nfinding_unit = { constant = "ug/dL" }\n'
        'facts = { column = "lead", between = [";", "|"], form = ["{finding_value} ({finding_date})", '
        '"{finding_value}"] }\n'
    )
    export = "no,in,lead\nA1,1/2/2023,12.5 (3/2/2023) | 8;not done\n"
    assert intake.rows(
        laid(tmp_path, block, export),
        "select finding_value, finding_date, finding_value_text, finding from stage.findings order by item_number",
    ) == [
        (12.5, date(2023, 2, 3), "12.5", "lead_level"),
        (8.0, None, "8", "lead_level"),
        (None, None, "not done", "lead_level"),
    ]


def test_facts_name_fields_of_their_record(tmp_path):
    block = '[[source.finding]]\nfacts = { column = "films", form = "{day}: {finding}" }\n'
    with pytest.raises(UnsnagError, match=r"source.1.finding: finding has no field 'day'"):
        load(laid(tmp_path, block, "no,in,films\n"))


@pytest.mark.parametrize(
    ("block", "said"),
    [
        (
            '[[source.gear_item]]\nhook_size = "size"\n',
            "gear_item needs the field gear or injury or body_site or hook_kind",
        ),
        ('[[source.procedure]]\nprocedure_date = "in"\n', "procedure needs the field procedure"),
    ],
)
def test_a_block_that_would_say_nothing_is_a_slip(tmp_path, block, said):
    with pytest.raises(UnsnagError, match=said):
        load(laid(tmp_path, block, "no,in,size\n"))


def test_records_of_their_own_need_the_number_of_their_stay(tmp_path):
    toml = intake.SOURCE + '\n[[source.procedure]]\nprocedure = "did"\n'
    with pytest.raises(UnsnagError, match="its rows are no stays, so procedure needs the field case_number"):
        load(intake.clinic(tmp_path, toml, "did\nfluids\n"))


def test_a_code_means_what_the_legend_says_in_any_case_and_exactly_first(tmp_path):
    toml = f'[legend.outcome]\n1 = "Released"\nd = "Died"\nD = "Disposed"\n{intake.SOURCE}\n{STAY}outcome = "end"\n'
    folder = intake.clinic(
        tmp_path, toml, "no,in,end\nA1,2023-01-01,1\nA2,2023-01-01,D\nA3,2023-01-01,d\nA4,2023-01-01,7\n"
    )
    rows = intake.rows(folder, "select outcome from stage.stays order by case_number")
    assert rows == [("Released",), ("Disposed",), ("Died",), ("7",)]


# 1 lb = 453.59237 g exactly (international pound, 1959), 1 oz = 1/16 of it; sums by hand.
@pytest.mark.parametrize(
    ("unit", "mass", "grams"),
    [
        ("lb", "2", 907.18474),
        ("oz", "8", 226.796185),
        ("kg", "5 lb 3 oz", 2353.010419),
        ("g", "1.2kg", 1200.0),
    ],
)
def test_masses_in_pounds_and_ounces(tmp_path, unit, mass, grams):
    block = f'mass = {{ column = "weight", unit = "{unit}" }}\n'
    folder = laid(tmp_path, block, f"no,in,weight\nA1,1/2/2023,{mass}\n")
    assert intake.rows(folder, "select mass_g from stage.stay_rows") == [(pytest.approx(grams, abs=1e-6),)]


def test_a_unit_that_would_do_nothing_is_refused(tmp_path):
    block = 'found_place = { column = "place", unit = "kg" }\n'
    with pytest.raises(UnsnagError, match=r"found_place: only a mass has a unit"):
        load(laid(tmp_path, block, "no,in,place\n"))
