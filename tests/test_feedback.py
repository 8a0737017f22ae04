"""Each clinic's feedback: its own questions by its own numbers, and of the others nothing that tells who they are."""

import csv
import re

import networks
import pytest
from unsnag import feedback, store
from unsnag.workspace import load

HEADING = "case_number,admission_date,species,cause,sex,outcome,outcome_date\n"
NAMES = ("one", "two", "three", "four")


def rows(name: str, count: int, sexed: int, outcome: str = "released") -> str:
    """Tackle cases of one clinic, of which the first ``sexed`` have a sex."""
    return "".join(
        f"{name}-{number},2023-01-0{1 + number % 9},emydura_macquarii,fishing_tackle,"
        f"{'female' if number < sexed else ''},{outcome},2023-02-01\n"
        for number in range(count)
    )


def write(folder, name: str, text: str, label: str = "") -> None:
    networks.write_clinic(folder, name, HEADING + text, head=f"label = '{label or name}'")


def told(folder) -> dict[str, str]:
    """Clinic → its page, built as far as the feedback needs."""
    workspace = load(folder)
    store.build(workspace)
    feedback.write_all(workspace)
    return {path.parent.name: path.read_text("utf-8") for path in folder.glob("private/*/feedback.html")}


@pytest.fixture(scope="module")
def network(tmp_path_factory):
    folder = networks.write_network(tmp_path_factory.mktemp("feedback"))
    wrong = "one-x,2023-03-01,emydura_macquarii,<b>odd</b> word,,released,2023-02-01\n"
    formula = "=1+1,2023-03-01,emydura_macquarii,fishing_tackle,,released,2023-02-01\n"
    write(folder, "one", rows("one", 10, 5) + wrong + formula, 'Seal & "Bay"')
    write(folder, "two", rows("two", 20, 4))
    write(folder, "three", rows("three", 10, 10, "died"))
    write(
        folder,
        "four",
        rows("four", 10, 3) + "four-x,2023-03-01,emydura_macquarii,fishing_tackle,,released,2023-02-01\n",
    )
    write(folder, "broken", rows("broken", 10, 5))
    (folder / "clinics/broken/exports/stays/stays.csv").write_bytes(b"")
    return folder, told(folder)


def test_rows_that_the_settings_leave_out_are_told(tmp_path):
    folder = networks.write_network(tmp_path)
    only = 'export_date = 2024-01-31\nonly = { sex = ["female"] }'
    networks.write_clinic(folder, "one", HEADING + rows("one", 7, 4), settings=only)
    write(folder, "two", rows("two", 7, 4))
    pages = told(folder)
    assert "3 rows of your files count nowhere" in pages["one"]
    assert "count nowhere" not in pages["two"]


def test_rows_that_another_source_of_the_file_takes_are_not_left_out(tmp_path):
    folder = networks.write_network(tmp_path)
    only = 'export_date = 2024-01-31\nonly = { sex = ["female"] }'
    networks.write_clinic(
        folder, "one", HEADING + rows("one", 7, 4) + rows("odd", 2, 0, "died"), settings=only
    )
    path = folder / "clinics/one/clinic.toml"
    toml = path.read_text("utf-8")
    other = toml.replace('"stays"', '"others"').replace('sex = ["female"]', 'outcome = ["died"]')
    path.write_text(toml + "\n" + other[other.index("[[source]]") :], "utf-8")
    # By hand: of 9 rows 4 are of females, 2 others ended in death, 3 are in neither source.
    assert "3 rows of your files count nowhere" in told(folder)["one"]


def questions(folder, name: str) -> list[dict]:
    with (folder / "private" / name / "questions.csv").open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def cells(page: str, label: str) -> list[str]:
    """The cells of the table row that begins with a label."""
    row = re.search(rf"<tr><th[^>]*>{re.escape(label)}</th>(.*?)</tr>", page, re.DOTALL)[1]
    return re.findall(r"<td[^>]*>(.*?)</td>", row)


def test_a_question_names_the_clinics_own_number_file_and_row(network):
    folder, pages = network
    (row,) = questions(folder, "four")
    assert (row["rule"], row["case_number"], row["file"], row["row"]) == (
        "ending_before_admission", "four-x", "exports/stays/stays.csv", "12",
    )  # fmt: skip
    assert row["what_to_do"] == "Correct one of the two days at the clinic"
    assert "four-x" in pages["four"] and "admitted 2023-03-01, ended 2023-02-01" in pages["four"]


def test_no_number_name_or_label_of_another_clinic_is_told(network):
    folder, pages = network
    for name in NAMES:
        text = pages[name] + (folder / "private" / name / "questions.csv").read_text("utf-8")
        for other in set(NAMES) - {name}:
            assert f"{other}-" not in text and f">{other}<" not in text
        assert name == "one" or "Seal" not in text


def test_formulas_and_markup_stay_text(network):
    folder, pages = network
    assert "'=1+1" in [row["case_number"] for row in questions(folder, "one")]
    assert "&lt;b&gt;odd&lt;/b&gt; word" in pages["one"] and "<b>odd" not in pages["one"]
    assert "Seal &amp; &#34;Bay&#34;" in pages["one"]


def test_words_without_a_code_are_asked(network):
    _, pages = network
    assert cells(pages["one"], "&lt;b&gt;odd&lt;/b&gt; word") == ["cause", "1"]
    assert "We understood every word." in pages["two"]


def test_completeness_by_hand(network):
    # Sex: one 5 of 12 = 42 %; the others 4/20 = 20 %, 10/10 = 100 %, 3/11 = 27.3 %: to the nearest five.
    _, pages = network
    assert cells(pages["one"], "sex") == ["42 %", "5 of 12", "20 %", "25 %", "100 %"]


def test_figures_by_hand(network):
    # Tackle cases 11 + 20 + 10 + 11 = 52. Endings before admission have no time, but are endings: of three's ten, all
    # died; 42 of 52 were released.
    _, pages = network
    label = "released, of those admitted alive whose ending is known"
    assert cells(pages["three"], label) == ["0 of 10", "0.0 %", "42 of 52", "80.8 %"]
    assert cells(pages["two"], "died unassisted, of the same") == ["0 of 20", "0.0 %", "10 of 52", "19.2 %"]


def test_a_clinic_that_could_not_be_read_is_told_nothing(network):
    folder, pages = network
    assert set(pages) == set(NAMES) and not (folder / "private" / "broken").exists()


def test_the_page_fetches_nothing(network):
    for page in network[1].values():
        assert "http://" not in page and "https://" not in page and "<script" not in page


def test_below_the_floors_nothing_is_told_of_the_others(tmp_path):
    networks.write_network(tmp_path)
    for name in ("one", "two"):
        write(tmp_path, name, rows(name, 9, 5))
    page = told(tmp_path)["one"]
    assert "The other clinics are too few to be shown" in page and "Too few clinics take part" in page
    assert cells(page, "sex") == ["56 %", "5 of 9"]
    assert cells(page, "alive on arrival") == ["9 of 9", "too few for a percentage"]


def test_a_clinic_without_questions_is_told_so(tmp_path):
    networks.write_network(tmp_path)
    write(tmp_path, "one", rows("one", 3, 3))
    assert "We have no question about your records." in told(tmp_path)["one"]
