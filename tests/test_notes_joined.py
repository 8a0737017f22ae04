"""What texts fill in the case tables: only gaps, only what is said plainly, marked, and never against the columns."""

import networks
import pytest
from unsnag import privacy
from unsnag.notes import tokens

# Every text is one case: its number says what is asked of it.
STAYS = """
    case_number,admission_date,cause,injury,gear,body_site,hook_kind,outcome,outcome_date,outcome_status,animal_count,notes
    all gaps,2023-03-01,fishing tackle,,,,,released,2023-03-20,,,Circle hook in stomach on xr. Line trailing from mouth.
    one gap,2023-03-01,fishing tackle,ingested,hook,,,released,2023-03-20,,,Treble hook in the stomach on xr.
    column wins,2023-03-01,fishing tackle,ingested,hook,oesophagus,,released,2023-03-20,,,Hook in the stomach on xr.
    other gear,2023-03-01,fishing tackle,,line,,,released,2023-03-20,,,Net wrapped round the left flipper.
    two things,2023-03-01,fishing tackle,,,,,released,2023-03-20,,,Hook in the beak. Second hook in the left wing.
    denied,2023-03-01,fishing tackle,,,,,released,2023-03-20,,,No hook on xr. No line.
    doubted,2023-03-01,fishing tackle,,,,,released,2023-03-20,,,?hook in crop
    of old,2023-03-01,fishing tackle,,,,,released,2023-03-20,,,Old hook scar at the commissure.
    vehicle,2023-03-01,vehicle,,,,,released,2023-03-20,,,Hook embedded in the left wing.
    cause open,2023-03-01,,,,,,released,2023-03-20,,,Swallowed a hook; it is in the stomach on xr.
    undetermined,2023-03-01,undetermined,,,,,released,2023-03-20,,,Fishing line wrapped round the left leg.
    no injury said,2023-03-01,,,,,,released,2023-03-20,,,Found beside a fishing line.
    clutch,2023-03-01,,,,,,released,2023-03-20,,2,Swallowed a hook; it is in the stomach on xr.
    ending,2023-03-01,fishing tackle,,,,,,,,,Hook in the foot. Released 14/3.
    ending in care,2023-03-01,fishing tackle,,,,,,,pending,,Hook in the foot. Released 14/3.
    ending day,2023-03-01,fishing tackle,,,,,released,,,,Hook in the foot. Released 14/3.
    ending otherwise,2023-03-01,fishing tackle,,,,,died,2023-03-20,,,Hook in the foot. Euthanased 14/3.
    two endings,2023-03-01,fishing tackle,,,,,,,,,Transferred to the zoo hospital 8/3. Released 14/3.
    contact,2023-03-01,fishing tackle,,,,,,,,,Hook in the foot. Ring Ann 0412 345 678 when released.
    """


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("joined"))
    settings = 'export_date = 2024-01-31\ndate_order = "ymd"'
    networks.write_clinic(folder, "north", STAYS, settings=settings)
    return networks.build(folder)


def pieces(built, number):
    return built.rows(
        "select gear_code, injury_code, body_site_code, hook_kind_code, line_trailing_code, axes_from_notes, "
        f"from_notes from mart.gear_items where case_id = 'north:{number}'"
    )


def case(built, number, column):
    return built.one(f"select {column} from mart.cases where case_id = 'north:{number}'")


def asked(built, rule):
    return {number for (number,) in built.rows(f"select case_number from checks.found where rule = '{rule}'")}


def test_a_tackle_case_without_gear_has_one_piece_from_its_text(built):
    axes = ["gear", "injury", "hook_kind", "body_site", "line_trailing"]
    assert pieces(built, "all gaps") == [("hook", "ingested", "stomach", "circle", "yes", axes, True)]
    assert case(built, "all gaps", "is_from_notes")


def test_only_what_the_columns_leave_empty_is_filled(built):
    (piece,) = pieces(built, "one gap")
    assert piece == ("hook", "ingested", "stomach", "treble", None, ["hook_kind", "body_site"], True)


def test_columns_win_and_the_difference_is_asked_about(built):
    assert pieces(built, "column wins")[0][2] == "oesophagus"
    assert asked(built, "notes_against_columns") == {"column wins", "other gear"}


def test_a_text_of_other_gear_fills_nothing(built):
    assert pieces(built, "other gear") == [("line", None, None, None, None, [], False)]


def test_two_things_fill_nothing_and_are_asked_about(built):
    assert pieces(built, "two things") == [("hook", "embedded", None, None, None, ["gear", "injury"], True)]
    assert asked(built, "notes_say_two_things") == {"two things", "two endings"}


@pytest.mark.parametrize("number", ["denied", "doubted", "of old", "no injury said", "clutch"])
def test_what_is_denied_doubted_old_or_of_several_animals_fills_nothing(built, number):
    assert pieces(built, number) == []


def test_another_cause_is_never_overruled_but_asked_about(built):
    assert not case(built, "vehicle", "is_tackle")
    assert pieces(built, "vehicle") == []
    assert asked(built, "notes_tell_of_tackle") == {"vehicle"}


@pytest.mark.parametrize("number", ["cause open", "undetermined"])
def test_an_open_cause_and_a_plain_text_make_a_tackle_case(built, number):
    assert case(built, number, "is_tackle") and case(built, number, "is_from_notes")


@pytest.mark.parametrize("number", ["no injury said", "clutch/1"])
def test_less_than_plain_makes_none(built, number):
    assert not case(built, number, "is_tackle")


def test_an_ending_is_filled_where_no_column_speaks_of_it(built):
    assert case(built, "ending", "(outcome_code, outcome_class, stay_days)") == ("released", "released", 13)
    assert case(built, "ending in care", "outcome_class") == "pending"
    assert case(built, "ending day", "(outcome_date::varchar, stay_days)") == ("2023-03-14", 13)


def test_another_ending_or_two_fill_nothing_and_are_asked_about(built):
    assert case(built, "ending otherwise", "(outcome_code, stay_days)") == ("died", 19)
    assert asked(built, "notes_end_otherwise") == {"ending otherwise"}
    assert case(built, "two endings", "outcome_class") == "unknown"


def test_a_blanked_contact_says_nothing(built):
    assert tokens.BLANKED == privacy.REMOVED
    assert (
        built.one("select notes from mart.stays where case_id = 'north:contact'").count(privacy.REMOVED) == 1
    )
    assert case(built, "contact", "outcome_class") == "unknown"
    assert built.rows("select * from mart.procedures where case_id = 'north:contact'") == []


def test_every_fact_has_its_words_and_its_rule(built):
    assert built.one("select count(*) from notes.facts where rule is null or words is null") == 0
    assert built.rows(
        "select distinct facts.words from notes.facts as facts inner join notes.texts as texts using (text_number) "
        "where texts.stay_id = 'north:one gap' and facts.axis = 'hook_kind'"
    ) == [("Treble",)]


def test_texts_are_read_where_the_columns_need_no_order_of_day_and_month(tmp_path):
    folder = networks.write_network(tmp_path)
    stays = """
        case_number,admission_date,cause,outcome,outcome_date,notes
        1,2023-03-01,fishing tackle,released,2023-04-20,Hook in wing. XR 2023-03-03. XR 5/4. XR 25/3.
        """
    networks.write_clinic(folder, "north", stays, settings="export_date = 2024-01-31")
    rows = networks.build(folder).rows(
        "select code, fact_date::varchar, is_day_written from notes.facts "
        "where axis in ('gear', 'procedure') order by all"
    )
    assert rows == [
        ("hook", None, False),
        ("radiograph", "2023-03-03", True),
        ("radiograph", "2023-03-25", True),  # no month is the 25th
        ("radiograph", None, True),  # the 5th of April or the 4th of May: nobody has said
    ]
