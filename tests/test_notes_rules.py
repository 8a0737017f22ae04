"""Every rule and every cue of sql/codes/notes_*.csv: an example that fires, one that must not, codes that exist."""

import csv
from pathlib import Path

import pytest
from unsnag.errors import Problem
from unsnag.notes import load_rules, understand
from unsnag.notes.read import reader
from unsnag.notes.tokens import Tokeniser, fold
from unsnag.resources import folder

CODES = folder("sql") / "codes"
MARKS = {"#", "/", ".", "?", "<date>"}
YES_NO = ("line_trailing", "lead", "seen_again")


def rows(name: str) -> list[dict[str, str]]:
    with (CODES / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


RULES = rows("notes_rules.csv")
CUES = rows("notes_cues.csv")
SAYING = [row for row in RULES if row["axis"] not in ("not", "helper")]
BLOCKING = [row for row in RULES if row["axis"] == "not"]


def by_id(row: dict[str, str]) -> str:
    return row["id"]


def says(row: dict[str, str], text: str) -> bool:
    """Whether the rule reports something of the text, other than that it is denied."""
    expected = row["status"] or "present"
    return any(
        mention.rule == row["id"] and mention.status in ("present", expected) for mention in understand(text)
    )


def blocks(row: dict[str, str], text: str) -> bool:
    return any(each.rule == row["id"] for each in reader(load_rules()).ignored(text))


def changes(row: dict[str, str], text: str) -> bool:
    """Whether the cue is the reason for some mention's status or result."""
    return any(
        f"({row['id']})" in mention.why and row["sets"] in (mention.status, mention.result)
        for mention in understand(text)
    )


@pytest.mark.parametrize("row", SAYING, ids=by_id)
def test_a_rule_fires_on_its_example_and_not_on_its_look_alike(row):
    assert says(row, row["example_fires"])
    assert not says(row, row["example_not"])


@pytest.mark.parametrize("row", BLOCKING, ids=by_id)
def test_a_look_alike_is_recognised_and_the_real_thing_is_not_taken_for_it(row):
    assert blocks(row, row["example_fires"])
    assert not blocks(row, row["example_not"])


@pytest.mark.parametrize("row", CUES, ids=by_id)
def test_a_cue_changes_its_example_and_leaves_the_other_alone(row):
    assert changes(row, row["example_fires"])
    assert not changes(row, row["example_not"])


def test_a_lesion_gives_a_part_of_the_body_a_reason_to_be_named():
    assert [mention.code for mention in understand("wing swollen")] == ["wing"]
    assert understand("wing normal") == []


def test_one_of_several_hooks_is_a_hook():
    said = {
        (mention.axis, mention.code) for mention in understand("two hooks, one in mouth and another in crop")
    }
    assert {("body_site", "mouth"), ("body_site", "crop"), ("injury", "ingested")} <= said


def test_every_code_is_in_the_shared_vocabulary():
    for row in SAYING:
        vocabulary = "yes_no" if row["axis"] in YES_NO else row["axis"]
        shared = {code["code"] for code in rows(f"{vocabulary}.csv")}
        written = {row["code"], row["denied"]} - {"", "absent", "nothing", "ignore", "itself"}
        codes = written if row["axis"] != "finding" else written & {row["code"]} | {row["denied"]} & shared
        assert codes <= shared, row["id"]


def test_what_a_look_alike_blocks_exists():
    known = {row["axis"] for row in SAYING} | {row["code"] for row in SAYING} | {"cue"}
    for row in BLOCKING:
        assert set(row["code"].split()) <= known, row["id"]


def test_ids_are_unique_and_every_row_says_why():
    for table in (RULES, CUES):
        assert len({row["id"] for row in table}) == len(table)
        assert all(row["why"] and row["example_fires"] and row["example_not"] for row in table)


def write(folder_: Path, name: str, text: str) -> None:
    folder_.mkdir(exist_ok=True)
    for source in CODES.glob("*.csv"):
        (folder_ / source.name).write_text(source.read_text("utf-8"), "utf-8")
    (folder_ / name).write_text(text, "utf-8")


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("hook,{hoook}", r"notes_patterns.csv, line \d+: there is no word list 'hoook'"),
        ("hook,no ; ; not", r"notes_patterns.csv, line \d+: an alternative between ';' is empty"),
        ("hoook,{hook}", r"notes_patterns.csv, line \d+: there is no rule and no cue 'hoook'"),
    ],
)
def test_a_wording_that_cannot_be_used_names_file_and_line(tmp_path, row, said):
    shipped = (CODES / "notes_patterns.csv").read_text("utf-8")
    write(tmp_path, "notes_patterns.csv", f"{shipped}{row}\n")
    with pytest.raises(Problem, match=said):
        load_rules(tmp_path)


def test_a_rule_without_a_wording_is_refused(tmp_path):
    header = ",".join(RULES[0])
    write(tmp_path, "notes_rules.csv", f"{header}\nx,gear,hook" + "," * (len(RULES[0]) - 3) + "\n")
    with pytest.raises(Problem, match=r"notes_rules.csv, line 2: 'x' has no wording"):
        load_rules(tmp_path)


def test_wordings_stand_in_the_order_of_rules_and_none_twice():
    wordings = rows("notes_patterns.csv")
    order = [row["id"] for row in (*RULES, *CUES)]
    assert list(dict.fromkeys(row["rule"] for row in wordings)) == order
    places = [order.index(row["rule"]) for row in wordings]
    assert places == sorted(places)
    assert len({(row["rule"], row["pattern"]) for row in wordings}) == len(wordings)
    assert not any(";" in row["pattern"] for row in wordings)


def test_a_status_that_does_not_exist_is_refused(tmp_path):
    header = ",".join(CUES[0])
    write(tmp_path, "notes_cues.csv", f"{header}\nx,perhaps,before,1,clause,gear,en,a,b,c\n")
    with pytest.raises(Problem, match="'perhaps' is no status and no result"):
        load_rules(tmp_path)


def test_a_row_with_a_stray_comma_is_refused(tmp_path):
    header = ",".join(CUES[0])
    write(tmp_path, "notes_cues.csv", f"{header}\nx,absent,before,1,clause,gear,en,a,b,c,d\n")
    with pytest.raises(Problem, match="another number of cells than the header"):
        load_rules(tmp_path)


def test_every_word_of_the_rules_can_occur_in_a_note():
    """An accent, a capital or letters glued to digits would never match what a note is turned into."""
    rules, reads = load_rules(), Tokeniser(lambda word: word).read
    patterns = [pattern for owner in rules.rules + rules.cues for pattern in owner.patterns]
    patterns += [pattern for rule in rules.rules for pattern in rule.needs]
    for word in {word.removesuffix("*") for pattern in patterns for word in pattern.words} - MARKS:
        assert reads(fold(word)).words == [".", word, "."], word
